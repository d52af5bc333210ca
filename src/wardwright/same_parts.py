"""A record read anew, with every part that is as before taken from the record held before.

What is worked out once for a record (`worked_out`) is then found again after a small edit.
"""

from typing import Any, TypeVar

from wardwright.model import Record

T = TypeVar("T", bound=Record)


def with_parts_of(record: T, before: Record | None) -> T:
    """A record of the same content that shares the parts it has in common with another.

    Parameters
    ----------
    record : Record
        What is to be shared out.
    before : Record or None
        What it may share parts of.

    Returns
    -------
    Record
        ``before`` itself where they are equal; else equal to ``record``.
    """
    if type(before) is not type(record) or before is None:
        return record
    parts = {}
    is_same = True
    for name in type(record).model_fields:
        new, old = getattr(record, name), getattr(before, name)
        kept = _shared(new, old)
        is_same = is_same and kept is old
        if kept is not new:
            parts[name] = kept
    if is_same:
        return before
    return record.model_copy(update=parts) if parts else record


def _shared(new: Any, old: Any) -> Any:
    if isinstance(new, Record):
        return with_parts_of(new, old)
    if isinstance(new, tuple) and isinstance(old, tuple):
        named = {item.id: item for item in old if hasattr(item, "id")}
        kept = tuple(
            _shared(item, named.get(item.id) if hasattr(item, "id") else (old[i] if i < len(old) else None))
            for i, item in enumerate(new)
        )
        return old if len(kept) == len(old) and all(a is b for a, b in zip(kept, old, strict=True)) else kept
    return old if type(new) is type(old) and new == old else new
