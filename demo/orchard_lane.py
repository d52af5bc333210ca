"""Orchard Lane: an invented house with a shop in front and a workshop behind, two storeys, as drawings give it.

Nobody lives here. Metres; x east, y north (the street is south), origin at the south-west outer corner, 11.0 by 9.0 m
outside. Floors at 0.00 and 2.70, ceilings 2.45 and 2.40 above them. Wall thicknesses, leaf widths and the stair are
those of ordinary British brick houses of the 1980s (common practice, no source).

Upstairs the house covers the rear only as far as x = 6.4; the workshop behind the shop has a flat roof at 2.70, and a
porch roof stands over the back door: both lie under a bedroom window.
"""

from dataclasses import dataclass

XY = tuple[float, float]

GROUND, UPPER = "Ground floor", "First floor"
STOREYS: dict[str, tuple[float, float]] = {GROUND: (0.0, 2.45), UPPER: (2.70, 2.40)}
"""Floor level and clear height. [m]"""

BUILD_UPS: dict[str, tuple[tuple[str, float], ...]] = {
    "Cavity wall": (
        ("Facing brick", 0.102),
        ("Cavity insulation", 0.085),
        ("Concrete block", 0.100),
        ("Plaster", 0.013),
    ),
    "Double block wall": (
        ("Plaster", 0.013),
        ("Concrete block", 0.100),
        ("Mineral wool insulation", 0.074),
        ("Concrete block", 0.100),
        ("Plaster", 0.013),
    ),
    "Stud partition": (("Plasterboard", 0.0125), ("Timber stud", 0.075), ("Plasterboard", 0.0125)),
}


@dataclass(frozen=True)
class WallLine:
    """A wall by its axis."""

    name: str
    storey: str
    start: XY
    end: XY
    build_up: str
    outside: bool = False


WALLS: tuple[WallLine, ...] = (
    WallLine("G south", GROUND, (0.0, 0.15), (11.0, 0.15), "Cavity wall", True),
    WallLine("G east", GROUND, (10.85, 0.30), (10.85, 8.70), "Cavity wall", True),
    WallLine("G north", GROUND, (11.0, 8.85), (0.0, 8.85), "Cavity wall", True),
    WallLine("G west", GROUND, (0.15, 8.70), (0.15, 0.30), "Cavity wall", True),
    WallLine("G house to business", GROUND, (6.25, 0.30), (6.25, 8.70), "Double block wall"),
    WallLine("G shop to workshop", GROUND, (6.40, 4.65), (10.70, 4.65), "Double block wall"),
    WallLine("G hall west", GROUND, (3.95, 0.30), (3.95, 8.70), "Stud partition"),
    WallLine("G living to kitchen", GROUND, (0.30, 4.75), (3.90, 4.75), "Stud partition"),
    WallLine("G hall to WC", GROUND, (4.00, 6.95), (6.10, 6.95), "Stud partition"),
    WallLine("U south", UPPER, (0.0, 0.15), (11.0, 0.15), "Cavity wall", True),
    WallLine("U east", UPPER, (10.85, 0.30), (10.85, 4.80), "Cavity wall", True),
    WallLine("U over workshop", UPPER, (10.70, 4.65), (6.40, 4.65), "Cavity wall", True),
    WallLine("U rear east", UPPER, (6.25, 4.80), (6.25, 8.70), "Cavity wall", True),
    WallLine("U north", UPPER, (6.40, 8.85), (0.0, 8.85), "Cavity wall", True),
    WallLine("U west", UPPER, (0.15, 8.70), (0.15, 0.30), "Cavity wall", True),
    WallLine("U landing to bedroom 3", UPPER, (6.25, 0.30), (6.25, 4.80), "Double block wall"),
    WallLine("U landing west", UPPER, (3.95, 0.30), (3.95, 8.70), "Stud partition"),
    WallLine("U bedroom 1 to 2", UPPER, (0.30, 4.75), (3.90, 4.75), "Stud partition"),
    WallLine("U landing to bathroom", UPPER, (4.00, 6.95), (6.10, 6.95), "Stud partition"),
)


@dataclass(frozen=True)
class Hole:
    """A door or window: where its centre lies, its structural size and how it works (words of IFC 4)."""

    name: str
    wall: str
    at: float
    """x of the centre in an east-west wall, y in a north-south wall. [m]"""
    width: float
    height: float
    sill: float = 0.0
    works: str = "SINGLE_SWING_LEFT"
    glass: bool = False


DOORS: tuple[Hole, ...] = (
    Hole("House front door", "G south", 4.70, 0.95, 2.05),
    Hole("Shop entrance door", "G south", 7.20, 1.00, 2.10, glass=True),
    Hole("Back door", "G north", 3.20, 0.90, 2.05, works="SINGLE_SWING_RIGHT"),
    Hole("French doors", "G west", 2.50, 1.50, 2.10, works="DOUBLE_DOOR_SINGLE_SWING", glass=True),
    Hole("Workshop roller door", "G north", 8.40, 2.40, 2.20, works="ROLLINGUP"),
    Hole("Living room door", "G hall west", 3.90, 0.80, 2.00),
    Hole("Kitchen door", "G hall west", 5.60, 0.80, 2.00),
    Hole("WC door", "G hall to WC", 4.60, 0.70, 2.00),
    Hole("Door from hall to shop", "G house to business", 0.95, 0.85, 2.00),
    Hole("Door from shop to workshop", "G shop to workshop", 7.40, 0.90, 2.00),
    Hole("Bedroom 1 door", "U landing west", 3.90, 0.80, 2.00),
    Hole("Bedroom 2 door", "U landing west", 5.60, 0.80, 2.00),
    Hole("Bedroom 3 door", "U landing to bedroom 3", 0.95, 0.80, 2.00),
    Hole("Bathroom door", "U landing to bathroom", 4.60, 0.70, 2.00),
)

WINDOWS: tuple[Hole, ...] = (
    Hole("Living room sash window", "G south", 2.10, 1.40, 1.40, 0.75, "DOUBLE_PANEL_HORIZONTAL", True),
    Hole("Shop front", "G south", 9.15, 2.40, 1.90, 0.40, "SINGLE_PANEL", True),
    Hole("Kitchen window", "G north", 1.45, 1.50, 1.05, 1.05, "DOUBLE_PANEL_VERTICAL", True),
    Hole("WC window", "G north", 5.05, 0.50, 0.60, 1.45, "SINGLE_PANEL", True),
    Hole("Workshop window", "G east", 6.50, 1.20, 0.80, 1.30, "SINGLE_PANEL", True),
    Hole("Bedroom 1 sash window", "U south", 2.10, 1.20, 1.30, 0.85, "DOUBLE_PANEL_HORIZONTAL", True),
    Hole("Landing window", "U south", 4.70, 0.70, 1.10, 1.00, "SINGLE_PANEL", True),
    Hole("Bedroom 3 front window", "U south", 8.60, 1.80, 1.20, 0.90, "DOUBLE_PANEL_VERTICAL", True),
    Hole("Bedroom 3 rear window", "U over workshop", 9.20, 0.90, 1.10, 1.00, "SINGLE_PANEL", True),
    Hole("Bedroom 2 sash window", "U north", 2.40, 1.10, 1.25, 0.85, "DOUBLE_PANEL_HORIZONTAL", True),
    Hole("Bathroom window", "U north", 5.05, 0.60, 0.90, 1.15, "SINGLE_PANEL", True),
)


def rectangle(west: float, south: float, east: float, north: float) -> tuple[XY, ...]:
    """Corners of a rectangle, anticlockwise. [m]"""
    return ((west, south), (east, south), (east, north), (west, north))


STAIR_WELL = (5.20, 1.60, 6.10, 4.85)
"""West, south, east and north edge: thirteen goings of 0.25 m, fourteen rises of 0.193 m, climbing north. [m]"""
RISES, GOING = 14, 0.25

ROOMS: dict[str, tuple[str, tuple[XY, ...]]] = {
    "Living room": (GROUND, rectangle(0.30, 0.30, 3.90, 4.70)),
    "Kitchen": (GROUND, rectangle(0.30, 4.80, 3.90, 8.70)),
    "Hall": (GROUND, rectangle(4.00, 0.30, 6.10, 6.90)),
    "WC": (GROUND, rectangle(4.00, 7.00, 6.10, 8.70)),
    "Shop": (GROUND, rectangle(6.40, 0.30, 10.70, 4.50)),
    "Workshop": (GROUND, rectangle(6.40, 4.80, 10.70, 8.70)),
    "Bedroom 1": (UPPER, rectangle(0.30, 0.30, 3.90, 4.70)),
    "Bedroom 2": (UPPER, rectangle(0.30, 4.80, 3.90, 8.70)),
    "Bedroom 3": (UPPER, rectangle(6.40, 0.30, 10.70, 4.50)),
    "Bathroom": (UPPER, rectangle(4.00, 7.00, 6.10, 8.70)),
    "Landing": (
        UPPER,
        (
            (4.00, 0.30),
            (6.10, 0.30),
            (6.10, STAIR_WELL[1]),
            (STAIR_WELL[0], STAIR_WELL[1]),
            (STAIR_WELL[0], STAIR_WELL[3]),
            (6.10, STAIR_WELL[3]),
            (6.10, 6.90),
            (4.00, 6.90),
        ),
    ),
}

L_SHAPE = ((0.0, 0.0), (11.0, 0.0), (11.0, 4.80), (6.40, 4.80), (6.40, 9.0), (0.0, 9.0))


@dataclass(frozen=True)
class Plate:
    """A level slab or flat roof."""

    name: str
    storey: str
    kind: str
    outline: tuple[XY, ...]
    bottom: float
    top: float
    hole: tuple[XY, ...] = ()


PLATES: tuple[Plate, ...] = (
    Plate("Ground slab", GROUND, "BASESLAB", rectangle(0.0, 0.0, 11.0, 9.0), -0.20, 0.0),
    Plate("First floor", UPPER, "FLOOR", L_SHAPE, 2.45, 2.70, rectangle(*STAIR_WELL)),
    Plate("Workshop flat roof", GROUND, "ROOF", rectangle(6.40, 4.80, 11.0, 9.0), 2.45, 2.70),
    Plate("Porch roof", GROUND, "ROOF", rectangle(1.70, 9.0, 4.00, 10.30), 2.30, 2.42),
    Plate("Top ceiling", UPPER, "FLOOR", L_SHAPE, 5.10, 5.30),
)
PORCH_POSTS: tuple[XY, ...] = ((1.80, 10.20), (3.90, 10.20))

ROOFS: dict[str, tuple[tuple[float, float, float, float], tuple[XY, XY]]] = {
    "House roof": ((-0.30, -0.30, 6.70, 9.30), ((3.20, 3.20), (3.20, 5.80))),
    "Wing roof": ((3.20, -0.30, 11.30, 5.10), ((3.20, 2.40), (8.60, 2.40))),
}
"""Hipped roofs by their eaves (west, south, east, north) and the ends of the ridge. [m]"""
EAVES, PITCH_RISE = 5.30, 0.70
"""Level of the eaves [m]; rise per metre of run, about 35 degrees. [-]"""


@dataclass(frozen=True)
class Piece:
    """A piece of furniture or equipment: a box standing on the floor."""

    name: str
    ifc_class: str
    kind: str
    storey: str
    box: tuple[float, float, float, float]
    height: float
    base: float = 0.0


FITTINGS: tuple[Piece, ...] = (
    Piece("Sofa", "IfcFurniture", "SOFA", GROUND, (0.40, 3.60, 2.40, 4.50), 0.85),
    Piece("Low table", "IfcFurniture", "TABLE", GROUND, (1.00, 2.30, 2.00, 2.90), 0.45),
    Piece("Bookcase", "IfcFurniture", "SHELF", GROUND, (3.55, 0.60, 3.88, 2.20), 1.90),
    Piece("Kitchen table", "IfcFurniture", "TABLE", GROUND, (1.60, 5.50, 3.00, 6.40), 0.75),
    Piece("Kitchen units", "IfcFurniture", "USERDEFINED", GROUND, (0.32, 8.08, 2.40, 8.68), 0.90),
    Piece("Cooker", "IfcElectricAppliance", "ELECTRICCOOKER", GROUND, (0.32, 7.40, 0.92, 8.00), 0.90),
    Piece("Boiler", "IfcBoiler", "WATER", GROUND, (3.55, 7.90, 3.88, 8.35), 0.75, 1.30),
    Piece("Shop counter", "IfcFurniture", "DESK", GROUND, (8.20, 2.60, 10.00, 3.20), 1.05),
    Piece("Shop shelves", "IfcFurniture", "SHELF", GROUND, (10.30, 0.60, 10.68, 4.20), 2.00),
    Piece("Workbench", "IfcFurniture", "TABLE", GROUND, (10.00, 5.20, 10.68, 8.20), 0.90),
    Piece("Tool cabinet", "IfcFurniture", "FILECABINET", GROUND, (6.42, 7.40, 6.90, 8.60), 1.90),
    Piece("Double bed", "IfcFurniture", "BED", UPPER, (0.32, 1.30, 2.32, 2.80), 0.55),
    Piece("Wardrobe", "IfcFurniture", "SHELF", UPPER, (1.00, 4.10, 2.80, 4.68), 2.00),
    Piece("Single bed, rear", "IfcFurniture", "BED", UPPER, (0.32, 5.20, 1.22, 7.20), 0.50),
    Piece("Desk", "IfcFurniture", "DESK", UPPER, (0.32, 7.90, 1.60, 8.60), 0.75),
    Piece("Single bed, front", "IfcFurniture", "BED", UPPER, (9.78, 1.40, 10.68, 3.40), 0.50),
    Piece("Radiator, living room", "IfcSpaceHeater", "RADIATOR", GROUND, (1.50, 0.32, 2.70, 0.42), 0.60, 0.12),
    Piece("Radiator, kitchen", "IfcSpaceHeater", "RADIATOR", GROUND, (3.78, 6.40, 3.88, 7.40), 0.60, 0.12),
    Piece("Radiator, hall", "IfcSpaceHeater", "RADIATOR", GROUND, (4.02, 2.00, 4.12, 3.00), 0.60, 0.12),
    Piece("Radiator, shop", "IfcSpaceHeater", "RADIATOR", GROUND, (6.42, 2.40, 6.52, 3.60), 0.60, 0.12),
    Piece("Radiator, upstairs front west", "IfcSpaceHeater", "RADIATOR", UPPER, (1.60, 0.32, 2.60, 0.42), 0.60, 0.12),
    Piece("Radiator, upstairs rear", "IfcSpaceHeater", "RADIATOR", UPPER, (1.90, 8.58, 2.90, 8.68), 0.60, 0.12),
    Piece("Radiator, upstairs front east", "IfcSpaceHeater", "RADIATOR", UPPER, (8.00, 0.32, 9.20, 0.42), 0.60, 0.12),
    Piece("Fan heater, workshop", "IfcSpaceHeater", "CONVECTOR", GROUND, (8.90, 4.82, 9.40, 5.02), 0.40, 2.00),
)
