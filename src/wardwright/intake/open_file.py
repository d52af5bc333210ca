"""Any file with a building in it: told by what is in the file, not by its name, and read by the reader for it."""

import zipfile
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

from wardwright.errors import InputError, IntakeError
from wardwright.intake.assemble import assemble
from wardwright.intake.draft import Assumption, Draft
from wardwright.intake.services import overlay_services
from wardwright.premises.model import Premises

Kind = Literal["ifc", "dxf", "json", "tape survey"]
_LARGEST_IN_ZIP = 400_000_000


@dataclass(frozen=True)
class Intake:
    """A building taken in, with everything that was guessed on the way."""

    premises: Premises
    assumptions: tuple[Assumption, ...]
    source: str
    """File and format."""


def read_premises(
    path: Path,
    *,
    scale: float | None = None,
    unit: str | None = None,
    plan: str | None = None,
    services: Path | None = None,
) -> Intake:
    """Read a building from a file of any kind this program knows.

    Parameters
    ----------
    path : Path
        IFC, DXF, JSON plan, or a tape survey in plain text.
    scale : float, optional
        Metres in one unit of the file, where the file does not say or is wrong. [m]
    unit : str, optional
        The file's unit by name: ``m``, ``mm``, ``ft``, ``in``.
    plan : str, optional
        Which plan, where a JSON file holds several.
    services : Path, optional
        An IFC file of the same project's building services, to lay over the building.

    Returns
    -------
    Intake
        Premises, assumptions and source.

    Raises
    ------
    IntakeError
        With one plain sentence, if the file cannot serve.
    """
    path = Path(path)
    draft = _draft(path, kind_of(path), scale=scale, unit=unit, plan=plan)
    premises, assumptions = assemble(draft)
    source = draft.source or path.name
    if services is not None:
        from wardwright.intake.ifc_services import read_ifc_services

        held = read_ifc_services(Path(services))
        premises, more = overlay_services(premises, held)
        assumptions, source = (*assumptions, *more), f"{source}, {held.source}"
    return Intake(premises, assumptions, source)


def _draft(path: Path, kind: Kind, *, scale: float | None, unit: str | None, plan: str | None) -> Draft:
    """The draft by the reader for the kind, loaded only now: each drags its own libraries along."""
    if kind == "ifc":
        return _ifc(path, _scale(scale, unit))
    if kind == "dxf":
        from wardwright.intake.dxf import read_dxf

        return read_dxf(path, scale=scale, unit=unit)
    if kind == "json":
        from wardwright.intake.plan_json import read_plan_json

        return read_plan_json(path, plan=plan, scale=scale, unit=unit)
    from wardwright.intake.tape import read_tape

    return read_tape(path)


def kind_of(path: Path) -> Kind:
    """What a file holds, by its content.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    IntakeError
        If it cannot be read, is empty, or is of no kind this program knows.
    """
    where = path.name
    try:
        with path.open("rb") as stream:
            head = stream.read(65536)
    except IsADirectoryError as error:
        raise IntakeError("this is a folder; name the file in it", where=where) from error
    except OSError as error:
        raise IntakeError(f"the file cannot be read ({error.strerror or 'unknown reason'})", where=where) from error
    if not head.strip():
        raise IntakeError("the file is empty", where=where)
    if b"ISO-10303-21" in head[:4096] or (head[:2] == b"PK" and _ifc_in_zip(path)):
        return "ifc"
    if head.startswith(b"AutoCAD Binary DXF") or _looks_like_dxf(head):
        return "dxf"
    text = head.removeprefix(b"\xef\xbb\xbf").lstrip()
    if text[:1] in (b"{", b"["):
        return "json"
    for signature, name in ((b"%PDF", "a PDF"), (b"\x89PNG", "a picture"), (b"\xff\xd8\xff", "a photograph")):
        if head.startswith(signature):
            raise IntakeError(
                f"this is {name}, which holds no measurable building; walk the rooms with the tape survey form instead",
                where=where,
            )
    if b"\x00" in head:
        raise IntakeError("this is no IFC, DXF, JSON plan or tape survey", where=where)
    for suffix, name in ((".ifc", "an IFC file"), (".dxf", "a DXF drawing"), (".json", "a JSON plan")):
        if path.suffix.lower() == suffix:
            raise IntakeError(f"this is not {name}: it does not begin as one, or it is cut short", where=where)
    return "tape survey"


def _looks_like_dxf(head: bytes) -> bool:
    lines = [line.strip() for line in head[:4096].splitlines() if line.strip()]
    pairs = list(zip(lines[::2], lines[1::2], strict=False))
    while pairs and pairs[0][0] == b"999":  # comments may come first
        pairs = pairs[1:]
    return bool(pairs) and pairs[0] == (b"0", b"SECTION")


def _ifc_in_zip(path: Path) -> bool:
    try:
        with zipfile.ZipFile(path) as archive:
            return any(n.lower().endswith(".ifc") for n in archive.namelist())
    except (zipfile.BadZipFile, OSError):
        return False


def _scale(scale: float | None, unit: str | None) -> float | None:
    if scale is not None or unit is None:
        return scale
    metres = {"m": 1.0, "mm": 0.001, "cm": 0.01, "ft": 0.3048, "in": 0.0254}.get(unit.strip().lower())
    if metres is None:
        raise InputError("the unit must be one of m, cm, mm, ft, in", where=unit)
    return metres


def _ifc(path: Path, scale: float | None) -> Draft:
    from wardwright.intake.ifc import read_ifc

    if not zipfile.is_zipfile(path):
        return read_ifc(path, scale=scale)
    with zipfile.ZipFile(path) as archive, TemporaryDirectory() as folder:
        member = next(i for i in archive.infolist() if i.filename.lower().endswith(".ifc"))
        if member.file_size > _LARGEST_IN_ZIP:
            raise IntakeError("the file inside is too large; save only the building", where=path.name)
        inner = Path(folder) / f"{path.stem}.ifc"
        try:
            inner.write_bytes(archive.read(member))
        except (zipfile.BadZipFile, OSError, RuntimeError) as error:
            raise IntakeError("the packed file is damaged; fetch or save it again", where=path.name) from error
        return read_ifc(inner, scale=scale)
