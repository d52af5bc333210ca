"""The building while it is being put together from a draft."""

from dataclasses import dataclass, field

from wardwright.intake.draft import Draft
from wardwright.intake.enclosure import Enclosure
from wardwright.intake.hosting import Hosted
from wardwright.intake.levels import Level
from wardwright.intake.report import Ids, Report
from wardwright.intake.room_outlines import Floor
from wardwright.intake.wall_pieces import Piece


@dataclass
class Site:
    """The building while it is put together."""

    draft: Draft
    report: Report
    ids: Ids
    levels: list[Level] = field(default_factory=list)
    floors: list[Floor] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    openings: list[Hosted] = field(default_factory=list)
    names: dict[str, str] = field(default_factory=dict)
    """Id by the source's key."""
    by_level: dict[str, Enclosure] = field(default_factory=dict)

    def level(self, key: str) -> Level:
        """The level with a draft key."""
        return next((lv for lv in self.levels if lv.key == key), self.levels[0])

    def floors_on(self, level: Level, *, indoors: bool = True) -> list[Floor]:
        """Rooms standing on a level."""
        return [f for f in self.floors if f.draft.storey_key == level.key and (f.draft.indoors or not indoors)]
