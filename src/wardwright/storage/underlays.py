"""Pictures that lie under the plans of a job, kept beside it in the store."""

import struct

from sqlalchemy import delete, insert, select, update

from wardwright.errors import UnknownReferenceError
from wardwright.storage.store import Store, underlays

_PNG = b"\x89PNG\r\n\x1a\n"


def list_underlays(store: Store, key: str) -> tuple[tuple[str, tuple[int, int], str], ...]:
    """Storey id, size in pixels and placement of every picture of a job."""
    with store.engine.connect() as link:
        rows = link.execute(select(underlays).where(underlays.c.job == key).order_by(underlays.c.storey)).all()
    return tuple((r.storey, _size(r.content), r.placement) for r in rows)


def keep_underlay(store: Store, key: str, storey_id: str, picture: bytes, placement: str) -> tuple[int, int]:
    """Keep a picture for a storey in place of an earlier one.

    Parameters
    ----------
    store : Store
        The store.
    key, storey_id : str
        Job and storey.
    picture : bytes
        PNG.
    placement : str
        How it lies, as JSON.

    Returns
    -------
    tuple of int
        Width and height. [pixel]
    """
    with store.writing() as link:
        link.execute(delete(underlays).where(underlays.c.job == key, underlays.c.storey == storey_id))
        link.execute(insert(underlays).values(job=key, storey=storey_id, placement=placement, content=picture))
    return _size(picture)


def place_underlay(store: Store, key: str, storey_id: str, placement: str) -> tuple[int, int]:
    """Lay a picture elsewhere; its size comes back."""
    with store.writing() as link:
        link.execute(
            update(underlays).where(underlays.c.job == key, underlays.c.storey == storey_id).values(placement=placement)
        )
    return _size(underlay_picture(store, key, storey_id))


def underlay_picture(store: Store, key: str, storey_id: str) -> bytes:
    """The picture under a storey, PNG."""
    with store.engine.connect() as link:
        found = link.execute(
            select(underlays.c.content).where(underlays.c.job == key, underlays.c.storey == storey_id)
        ).scalar()
    if found is None:
        raise UnknownReferenceError("there is no picture under this storey", where=storey_id)
    return bytes(found)


def drop_underlay(store: Store, key: str, storey_id: str) -> bool:
    """Take a picture away; whether there was one."""
    with store.writing() as link:
        gone = link.execute(delete(underlays).where(underlays.c.job == key, underlays.c.storey == storey_id))
        return bool(gone.rowcount)


def _size(picture: bytes) -> tuple[int, int]:
    """Width and height stand in the first chunk of a PNG file."""
    assert picture.startswith(_PNG)
    width, height = struct.unpack(">II", picture[16:24])
    return int(width), int(height)
