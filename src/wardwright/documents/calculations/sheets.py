"""All calculation sheets of a proof, subject by subject."""

from wardwright.documents.calculations import circuits, detection, formulas, inputs, telling
from wardwright.documents.calculations.records import Calculations, merged
from wardwright.prove import Proof

SUBJECTS = (
    ("Ways in", formulas.WAY_IN, detection.ways_in),
    ("Routes", formulas.ROUTE, detection.routes),
    ("Contacts", formulas.CONTACT, detection.contacts),
    ("Breaking glass", formulas.GLASS, detection.glass),
    ("Motion detectors", formulas.MOTION, detection.motion),
    ("Beams", formulas.BEAM, detection.beams),
    ("Siting of detectors", formulas.SITING, detection.siting),
    ("Batteries", formulas.BATTERY, circuits.batteries),
    ("Cells of radio devices", formulas.CELL, circuits.cells),
    ("Voltages", formulas.VOLTAGE, circuits.voltages),
    ("Loops", formulas.LOOP, circuits.loops),
    ("Cables", formulas.CABLE, circuits.cables),
    ("Radio", formulas.RADIO, telling.radio),
    ("Signalling", formulas.SIGNAL, telling.signalling),
    ("Sound", formulas.SOUND, telling.sound),
    ("Walks to the keypad", formulas.WALK, telling.walks),
    ("Panel programme", formulas.PROGRAMME, telling.programme),
    ("Inputs", (), inputs.inputs),
    ("Measured on site", formulas.READING, circuits.readings),
)
"""Subject, its formulas, and what makes its sheets."""


def calculations(proof: Proof) -> tuple[Calculations, ...]:
    """Every calculation of a proof.

    Parameters
    ----------
    proof : Proof
        The proof.

    Returns
    -------
    tuple of Calculations
        Subjects that have a sheet; sheets worked exactly alike stand once.
    """
    made = ((subject, known, merged(tuple(sheets(proof)))) for subject, known, sheets in SUBJECTS)
    return tuple(Calculations(subject, known, sheets) for subject, known, sheets in made if sheets)
