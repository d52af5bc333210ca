"""Colours of paper and screen: ink, verdicts, and one scale for probability. Colour is evidence, never decoration.

Every verdict also has a shape, so that a black-and-white print loses nothing.
"""

from wardwright.findings import Outcome

PAPER = "#ffffff"
"""Printed papers are white; the screen's paper is warmer and equally light."""
SCREEN_PAPER = "#fbfaf6"
RAISED = "#f2efe7"
INK = "#1c1f23"
QUIET = "#5b5f66"
RULE = "#d8d3c7"

VERDICT: dict[Outcome, str] = {
    Outcome.MET: "#00628f",
    Outcome.NOT_MET: "#7f1d00",
    Outcome.NOT_DECIDED: "#876800",
    Outcome.DOES_NOT_APPLY: QUIET,
}
VERDICT_WORD: dict[Outcome, str] = {
    Outcome.MET: "holds",
    Outcome.NOT_MET: "fails",
    Outcome.NOT_DECIDED: "open",
    Outcome.DOES_NOT_APPLY: "n/a",
}

MARGIN_STEPS_DB: tuple[float, ...] = (-6.0, 0.0, 6.0, 12.0)
"""Bounds between the five steps of a margin map. [dB]"""
MARGIN_COLOURS: tuple[str, ...] = ("#727274", "#928c78", "#b5a86f", "#dac65b", "#fee838")
"""Five even steps of the open, colour-blind-safe map *cividis* (0.45 to 1.0 of its length): dark little, light much."""
MARGIN_WORDS: tuple[str, ...] = ("unlikely", "doubtful", "likely", "very likely", "as good as certain")


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour, as the web accessibility guidelines define it.

    Parameters
    ----------
    colour : str
        ``#rrggbb``.

    Returns
    -------
    float
        Luminance from 0 (black) to 1 (white). [-]
    """
    linear = []
    for start in (1, 3, 5):
        value = int(colour[start : start + 2], 16) / 255
        linear.append(value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4)
    red, green, blue = linear
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, from 1 to 21.

    Parameters
    ----------
    one, other : str
        ``#rrggbb``.

    Returns
    -------
    float
        Ratio. [-]
    """
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
