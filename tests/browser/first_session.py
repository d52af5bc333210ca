"""The first session as a script: from an empty store to a proposal, every action counted."""

import time
from collections.abc import Callable
from dataclasses import dataclass, field

from playwright.sync_api import Page, expect

Point = tuple[float, float]
NOTHING_WAITS = "!Object.keys(localStorage).some(k => k.startsWith('wardwright-waiting'))"


def until(page: Page, asked: str, seconds: float = 15.0) -> None:
    """Wait until a script answers yes; the page's content policy forbids the usual way of waiting inside it."""
    end = time.monotonic() + seconds
    while not page.evaluate(asked):
        assert time.monotonic() < end, f"never came: {asked}"
        page.wait_for_timeout(25)


@dataclass
class Session:
    """Somebody at the workbench; `count` is the number of clicks, drags and typings."""

    page: Page
    count: int = 0
    did: list[str] = field(default_factory=list)

    def counted(self, what: str, act: Callable[[], object]) -> None:
        act()
        self.count += 1
        self.did.append(what)

    def press(self, name: str, *, role: str = "button", exact: bool = True, within: str | None = None) -> None:
        """Click a button or link by its name."""
        scope = self.page.get_by_role("region", name=within) if within else self.page
        self.counted(f"press {name}", lambda: scope.get_by_role(role, name=name, exact=exact).first.click())  # type: ignore[arg-type]

    def type(self, label: str, text: str) -> None:
        """Fill a field by its label."""
        self.counted(f"type {label}", lambda: self.page.get_by_label(label, exact=True).fill(text))

    def choose(self, label: str, option: str) -> None:
        """Choose from a list by its label."""
        self.counted(f"choose {option}", lambda: self.page.get_by_label(label, exact=True).select_option(label=option))

    def pixel(self, at: Point) -> Point:
        x, y = self.page.evaluate("at => window.__plan.pixelAt(at)", list(at))
        return float(x), float(y)

    def click(self, at: Point, what: str = "plan") -> None:
        """Click on the plan, at metres; done when the server has it."""

        def act() -> None:
            x, y = self.pixel(at)
            self.page.mouse.move(x - 3, y)
            self.page.mouse.move(x, y)
            self.page.mouse.click(x, y)
            self.settled()

        self.counted(f"click {what} at {at[0]:g}, {at[1]:g}", act)

    def drag(self, start: Point, end: Point, what: str = "plan") -> None:
        """Drag on the plan, from metres to metres."""

        def act() -> None:
            (x0, y0), (x1, y1) = self.pixel(start), self.pixel(end)
            self.page.mouse.move(x0, y0)
            self.page.mouse.down()
            for n in range(1, 6):
                self.page.mouse.move(x0 + (x1 - x0) * n / 5, y0 + (y1 - y0) * n / 5)
            self.page.mouse.up()
            self.settled()

        self.counted(f"drag {what} from {start[0]:g}, {start[1]:g}", act)

    def settled(self) -> None:
        """Wait until the server has every edit."""
        self.page.wait_for_timeout(30)
        until(self.page, NOTHING_WAITS)
        self.page.wait_for_timeout(30)


def draw_three_rooms(session: Session) -> None:
    """Hall, living room and bedroom in a row of two by one; doors, windows, and what is worth stealing."""
    page = session.page
    session.type("Name of the job", "Three rooms")
    session.press("Draw it")
    until(page, "window.__plan?.storey && window.__plan.map.getSize()?.[0] > 300")
    expect(page.get_by_role("button", name="Room", exact=True)).to_have_attribute("aria-pressed", "true")
    session.drag((0, 0), (3, 5), "hall")
    session.drag((3, 0), (8, 5), "living room")
    session.drag((0, 5), (8, 8), "bedroom")
    session.press("Door")
    for at in ((1.5, 0), (3, 2.5), (1.5, 5)):
        session.click(at, "door")
    session.press("Window")
    for at in ((5.5, 0), (4, 8)):
        session.click(at, "window")
    session.press("Target")
    session.click((6.5, 7), "target")


def protect_three_rooms(session: Session) -> None:
    """Panel, keypad, contacts, motion detectors, glass-break, sounder, communicator; wired by the usual rules."""
    page = session.page
    session.press("Design", role="link")
    for kind, spots in (
        ("Surface magnetic contact", ((1.5, 0), (5.5, 0), (4, 8))),
        ("Passive infrared detector, wide", ((2.7, 4.7), (7.7, 4.7), (0.3, 5.3))),
        ("Keypad", ((0.3, 2.0),)),
        ("Control panel, 8 inputs", ((7.7, 6.5),)),
        ("Inner sounder", ((0.3, 3.5),)),
        ("Communicator, IP and cellular", ((7.7, 5.5),)),
    ):
        listed = page.get_by_role("list", name="Kinds").get_by_role("button")
        session.counted(f"take {kind}", lambda: listed.filter(has_text=kind).first.click())  # noqa: B023
        for at in spots:
            session.click(at, kind)
    session.press("Wire and programme")


def print_proposal(session: Session) -> bytes:
    """The client's paper, as the browser gets it."""
    page = session.page
    session.press("Papers", role="link")
    link = page.get_by_role("link", name="The client’s proposal")
    expect(link).to_be_visible()
    address = f"{page.url.split('/#')[0]}{link.get_attribute('href')}"
    held: list[bytes] = []
    session.counted("open the proposal", lambda: held.append(page.request.get(address, timeout=90_000).body()))
    return held[0]
