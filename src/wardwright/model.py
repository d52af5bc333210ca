"""The base of every stored record: frozen, strict about names, finite numbers only.

Stored fields carry their unit in the name (``width_m``, ``standby_current_a``) and are SI, save the
few the trade never converts (``capacity_ah``, ``level_db``, temperatures in ``_c``).
"""

from collections.abc import Mapping
from typing import Annotated, Any, Self

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError

Id = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.:-]{0,79}$")]
"""An element's name for the program: never reused within a job."""

XY = tuple[float, float]
"""x, y on a storey. [m]"""

Ring = tuple[XY, ...]
"""A closed outline, first point not repeated. [m]"""

Metres = Annotated[float, Field(ge=-10_000.0, le=10_000.0)]
Positive = Annotated[float, Field(gt=0.0)]
NonNegative = Annotated[float, Field(ge=0.0)]
Share = Annotated[float, Field(ge=0.0, le=1.0)]


class Record(BaseModel):
    """A frozen stored record. Change it with ``model_copy(update=...)``."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """A copy with some fields changed; what was worked out from the old fields is forgotten."""
        copied = super().model_copy(update=update, deep=deep)
        for name in [key for key in copied.__dict__ if key not in type(copied).model_fields]:
            del copied.__dict__[name]
        return copied


def plain_errors(error: ValidationError, tree: Any = None, *, with_given: bool = False) -> list[str]:
    """One plain line for each thing a record refused.

    Parameters
    ----------
    error : ValidationError
        What the record refused.
    tree : optional
        What it was made from, to name elements by their id.
    with_given : bool
        Say what was given, where it is a word or a number.

    Returns
    -------
    list of str
        Element, place, and what was expected.
    """
    lines = []
    for item in error.errors(include_url=False, include_context=False):
        node = tree
        named = ""
        for step in item["loc"]:
            try:
                node = node[step]
            except (KeyError, IndexError, TypeError):
                continue
            if isinstance(node, dict) and isinstance(node.get("id"), str):
                named = f"“{node['id']}”, "
        given = item.get("input")
        telling = with_given and (given is None or isinstance(given, str | int | float | bool))
        shown = f" (given: {given!r})" if telling else ""
        lines.append(f"{named}{'.'.join(str(step) for step in item['loc'])}: {item['msg']}{shown}")
    return lines
