"""What a layer, block or linetype name means, whoever's office named it.

Words in English, German, French, Spanish, Italian, Portuguese, Dutch, the Nordic languages, Polish, Czech, Turkish,
Russian and Chinese; from memory of the trade's words, not from a source.
"""

import re
import unicodedata
from enum import StrEnum
from functools import cache


class Meaning(StrEnum):
    """What is drawn on a layer."""

    WALL = "wall"
    DOOR = "door"
    WINDOW = "window"
    GARAGE_DOOR = "garage door"
    OPENING = "opening"
    """Doors or windows, the name does not say which."""
    HEADER = "header"
    """The head of a door or window, drawn across its wall."""
    STAIR = "stair"
    ROOM = "room"
    TEXT = "text"
    OTHER = "other"
    """Known not to be walls or openings: furniture, dimensions, structure, services, site."""
    UNKNOWN = "unknown"


# In this order: the first list that matches wins. Words of fewer than five letters match whole words only.
_WORDS: tuple[tuple[Meaning, str], ...] = (
    (Meaning.STAIR, "stair stairs strs treppe treppen escalier escaliers escalera scala step steps trapp trap schody"),
    (
        Meaning.OTHER,
        "dim dims dimension bemassung mass masse cota cotas cotation quote acotado defpoints grid achse "
        "achsen raster axes footing footer foundation fundament fondation stem retaining found fndn roof dach "
        "toit toiture rafter joist beam ceiling decke plafond rcp elec electric elektro power lighting light "
        "plumb plumbing sanit sanitaer hvac mech furn furniture moebel mobilier mobiliario arredo equip "
        "equipment fixture fixtures casework appl appliance landscape site topo contour contours road roads "
        "street parcel property survey tree trees vegetation elevation section schnitt coupe detail details "
        "viewport vport vports border titleblock title schedule legend symbol "
        "rail railing gelaender handrail demo demolition abbruch clng flor slab "
        "paving kitchen kueche bath sink cabinet cabinets rebar steel stahl column_grid water gas sewer",
    ),
    (
        Meaning.TEXT,
        "text txt anno annotation note notes notiz beschriftung tag tags iden label labels texte texto testo",
    ),
    (
        Meaning.GARAGE_DOOR,
        "garagedoor garage_door garagentor rolltor sektionaltor ohdoor overheaddoor porte_garage "
        "puerta_garaje",
    ),
    (
        Meaning.WINDOW,
        "window windows wind win wdw wndw glaz glazing glass fenster fenetre fenetres ventana ventanas "
        "finestra finestre infissi janela janelas raam ramen kozijn vindu fonster ikkuna okno okna okien "
        "pencere okon окно окна 窗",
    ),
    (
        Meaning.DOOR,
        "door doors dr drs tuer tueren tur turen porte portes puerta puertas porta porte deur deuren dor dorr "
        "ovi drzwi dvere kapi двери дверь 门 門",
    ),
    (
        Meaning.OPENING,
        "opening openings opng oeffnung oeffnungen offnung ouverture ouvertures baie baies vano vanos "
        "apertura aperture menuiserie menuiseries carpinteria serramenti",
    ),
    (Meaning.HEADER, "header headers lintel lintels sturz linteau dintel"),
    (
        Meaning.WALL,
        "wall walls wal wand waende wande mauer mauerwerk mur murs muro muros muri pared paredes parede "
        "paredes parete pareti vegg vagg seina zid stena steny sciana sciany duvar tabique tabiques cloison "
        "cloisons partition partitions partn muur muren maconnerie masonry brickwork trennwand стена стены 墙 "
        "牆 壁",
    ),
    (
        Meaning.ROOM,
        "room rooms raum raeume raume space spaces area areas piece pieces habitacion ambiente vano_raum zone "
        "nutzflaeche flaeche flache surface surfaces netto bruttogeschoss polygon_room ruimte rum stanza "
        "locale locali",
    ),
)  # fmt: skip
_NOT_WALL = frozenset(
    "text txt dim dims anno iden tag note notes elev foundation fndn stem retaining footing footer head".split()  # noqa: SIM905
)


def plain_name(name: str) -> str:
    """A layer's or block's own name: prefixes of bound or attached files cut off, lower case, no accents.

    Parameters
    ----------
    name : str
        For example ``house$0$A-WALL`` or ``plan|WÄNDE``.
    """
    own = re.split(r"\$\d+\$|\|", name)[-1]
    own = own.replace("ß", "ss").replace("ä", "ae").replace("ö", "oe").replace("ü", "ue")
    own = own.replace("Ä", "Ae").replace("Ö", "Oe").replace("Ü", "Ue").replace("ø", "o").replace("Ø", "O")
    folded = unicodedata.normalize("NFKD", own)
    return "".join(c for c in folded if not unicodedata.combining(c)).lower()


@cache
def meaning_of(name: str) -> Meaning:
    """What a layer or block name says is drawn there.

    Parameters
    ----------
    name : str
        Name as in the file.

    Returns
    -------
    Meaning
        ``UNKNOWN`` where no word is known.
    """
    plain = plain_name(name)
    words = [w for w in re.split(r"[^\w一-鿿]+|_|\d+", plain) if w]
    joined = "".join(words)
    if "garage" in joined and any(w in joined for w in ("door", "tor", "porte", "puerta")):
        return Meaning.GARAGE_DOOR
    if any(w in words for w in ("overhead", "ohd", "rollup")):
        return Meaning.GARAGE_DOOR
    hits = [m for m, listed in _WORDS if any(_matches(w, words, joined, plain) for w in listed.split())]
    if not hits:
        return Meaning.UNKNOWN
    if Meaning.WALL in hits and not any(w in _NOT_WALL for w in words):
        opens = [m for m in hits if m in (Meaning.WINDOW, Meaning.DOOR, Meaning.OPENING)]
        return opens[0] if opens else Meaning.WALL
    if Meaning.WALL in hits and "head" in words:
        return Meaning.HEADER
    if hits[0] is Meaning.OTHER and any(m in hits for m in (Meaning.DOOR, Meaning.WINDOW)):
        annotation = {"dim", "dims", "text", "iden", "tag", "schedule", "symbol", "legend"}
        if not annotation & set(words):
            return next(m for m in hits if m in (Meaning.DOOR, Meaning.WINDOW))
    return hits[0]


def _matches(word: str, words: list[str], joined: str, plain: str) -> bool:
    if any(ord(c) > 0x2FF for c in word):
        return word in plain
    if "_" in word:
        return word.replace("_", "") in joined
    if word in words:
        return True
    # German and office codes write compounds in one word: AUSSENWAND, AWALL, HAUSTUER.
    if word in ("wall", "walls", "wand", "waende", "tuer", "tueren", "fenster", "door", "doors", "window", "windows"):
        return any(w.endswith(word) for w in words)
    return False
