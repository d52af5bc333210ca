"""The text of an IFC file looked over before a parser sees it: damage that would crash the parser is refused here."""

import re
from functools import lru_cache
from typing import Any

from wardwright.errors import IntakeError

_COMMENT = re.compile(rb"/\*.*?\*/", re.DOTALL)
_STRING = re.compile(rb"'(?:[^']|'')*'")
_INSTANCE = re.compile(rb"\s*#\d+\s*=\s*[A-Z][A-Z0-9_]*\s*\(", re.IGNORECASE)
_DEFINED = re.compile(rb"#(\d+)\s*=")
_NAMED = re.compile(rb"#(\d+)")
_EMPTY_FIRST = re.compile(rb"=\s*([A-Z][A-Z0-9_]*)\s*\(\s*\$", re.IGNORECASE)
_SCHEMA = re.compile(rb"FILE_SCHEMA\s*\(\s*\(\s*'([^']*)'", re.IGNORECASE)
DAMAGED = "the file is damaged and cannot be read as IFC; fetch or save it again"


def lost_lines(text: bytes, ifc: Any, where: str) -> int:
    """Check the text of an IFC file.

    Parameters
    ----------
    text : bytes
        The whole file.
    ifc : module
        The IFC library, for its knowledge of the schema.
    where : str
        File name for the message.

    Returns
    -------
    int
        How many lines are spoken of in the file but not in it.

    Raises
    ------
    IntakeError
        If the file is no IFC, is cut short, or has a line that is not whole.
    """
    schema = _SCHEMA.search(text)
    if schema is None or not schema[1].strip().upper().startswith(b"IFC"):
        said = schema[1].decode("ascii", "replace") if schema else "no schema"
        raise IntakeError(f"the file says it holds {said}, not IFC", where=where)
    start = re.search(rb"\bDATA\s*(\([^;]*\))?\s*;", text)
    end = text.rfind(b"ENDSEC")
    if start is None or end < start.end():
        raise IntakeError(DAMAGED, where=where)
    data = _STRING.sub(b"''", _COMMENT.sub(b"", text[start.end() : end]))
    if b"'" in data.replace(b"''", b""):
        raise IntakeError(DAMAGED, where=where)
    for statement in data.split(b";"):
        if statement.strip() and not (
            _INSTANCE.match(statement)
            and statement.count(b"(") == statement.count(b")")
            and statement.rstrip().endswith(b")")
        ):
            raise IntakeError(DAMAGED, where=where)
    rooted = _rooted(schema[1].strip().decode("ascii", "replace").upper(), ifc)
    if any(m[1].upper() in rooted for m in _EMPTY_FIRST.finditer(data)):
        raise IntakeError("the file is damaged: an element has lost its identifier; save it again", where=where)
    defined = set(_DEFINED.findall(data))
    return len(set(_NAMED.findall(data)) - defined)


@lru_cache(maxsize=4)
def _rooted(schema: str, ifc: Any) -> frozenset[bytes]:
    """Names of the entities that must carry a global identifier."""
    name = next((s for s in ("IFC4X3", "IFC2X3", "IFC4") if schema.startswith(s)), "IFC4")
    for candidate in (schema, f"{name}_ADD2", name):
        try:
            declarations = ifc.schema_by_name(candidate).entities()
            break
        except (RuntimeError, AttributeError, ValueError, TypeError):
            continue
    else:
        return frozenset()

    def is_rooted(entity: Any) -> bool:
        while entity is not None:
            if entity.name() == "IfcRoot":
                return True
            entity = entity.supertype()
        return False

    return frozenset(e.name().upper().encode() for e in declarations if is_rooted(e))
