"""Pictures that lie under the plans of a job: kept beside it in the store, named by what they hold.

How a picture lies is part of the job and can be undone; the picture itself stays as long as the job is kept.
"""

import hashlib
import struct

from sqlalchemy import insert, select

from wardwright.errors import UnknownReferenceError
from wardwright.storage.store import Store, pictures

_PNG = b"\x89PNG\r\n\x1a\n"


def keep_picture(store: Store, key: str, content: bytes) -> tuple[str, tuple[int, int]]:
    """Keep a picture with a job.

    Parameters
    ----------
    store : Store
        The store.
    key : str
        The job.
    content : bytes
        PNG.

    Returns
    -------
    name : str
        Of the picture within the job; the same content has the same name.
    size : tuple of int
        Width and height. [pixel]

    Raises
    ------
    UnknownReferenceError
        If there is no such job.
    """
    store.revision(key)
    name = hashlib.sha256(content).hexdigest()[:24]
    with store.writing() as link:
        here = (pictures.c.job == key) & (pictures.c.name == name)
        if link.execute(select(pictures.c.name).where(here)).first() is None:
            link.execute(insert(pictures).values(job=key, name=name, content=content))
    return name, _size(content)


def read_picture(store: Store, key: str, name: str) -> bytes:
    """A picture of a job, PNG.

    Raises
    ------
    UnknownReferenceError
        If the store does not hold it: the job may have been brought in from another machine.
    """
    with store.engine.connect() as link:
        here = (pictures.c.job == key) & (pictures.c.name == name)
        found = link.execute(select(pictures.c.content).where(here)).scalar()
    if found is None:
        raise UnknownReferenceError("this picture is not kept here; lay it under the plan again", where=name)
    return bytes(found)


def _size(picture: bytes) -> tuple[int, int]:
    """Width and height stand in the first chunk of a PNG file."""
    assert picture.startswith(_PNG)
    width, height = struct.unpack(">II", picture[16:24])
    return int(width), int(height)
