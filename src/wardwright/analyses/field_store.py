"""Keeps what was computed for a detector in a place, in memory and on disk, under a hash of everything it depends on.

The folder may be deleted at any time. Several programs may use it at once: a file is written aside and moved into
place, and one that cannot be read is computed again. ``WARDWRIGHT_CACHE=off`` keeps everything in memory only.
"""

import contextlib
import os
import tempfile
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

HELD = 128
"""Results kept in memory. [-]"""
LARGEST_BYTES = 200_000_000
"""The folder is thinned, oldest first, when it grows beyond this. [B]"""

THIN_EVERY = 64
"""Results written between two looks at how large the folder is. [-]"""

_memory: dict[str, tuple[NDArray[np.float32], ...]] = {}
_written = 0


def folder() -> Path | None:
    """Where results lie on disk; None where nothing is to be written."""
    if os.environ.get("WARDWRIGHT_CACHE", "") == "off":
        return None
    base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "wardwright" / "fields"


def remember(key: str, compute: Callable[[], tuple[NDArray[np.float32], ...]]) -> tuple[NDArray[np.float32], ...]:
    """A result by its key, computed if it is not held.

    Parameters
    ----------
    key : str
        Hash of everything the result depends on.
    compute : callable
        Works it out.

    Returns
    -------
    tuple of ndarray
        The result; not to be changed.
    """
    held = _memory.pop(key, None)
    if held is None:
        held = _read(key)
    if held is None:
        held = compute()
        _write(key, held)
    for array in held:
        array.flags.writeable = False
    while len(_memory) >= HELD:
        _memory.pop(next(iter(_memory)))
    _memory[key] = held
    return held


def held() -> dict[str, tuple[NDArray[np.float32], ...]]:
    """What is in memory, by key: for handing on to another process."""
    return dict(_memory)


def adopt(results: dict[str, tuple[NDArray[np.float32], ...]]) -> None:
    """Take in what another process worked out.

    Parameters
    ----------
    results : dict of str to tuple of ndarray
        As from :func:`held`.
    """
    for key, arrays in results.items():
        remember(key, lambda arrays=arrays: arrays)  # type: ignore[misc]


def forget() -> None:
    """Empty the memory; what lies on disk stays."""
    _memory.clear()


def _read(key: str) -> tuple[NDArray[np.float32], ...] | None:
    place = folder()
    if place is None:
        return None
    try:
        with (place / f"{key}.npz").open("rb") as file, np.load(file) as held:
            return tuple(np.asarray(held[f"arr_{i}"], dtype=np.float32) for i in range(len(held.files)))
    except (OSError, ValueError, EOFError, KeyError, zipfile.BadZipFile, zlib.error):
        return None  # not there, or damaged


def _write(key: str, arrays: tuple[NDArray[np.float32], ...]) -> None:
    place = folder()
    if place is None:
        return
    with contextlib.suppress(OSError):  # a cache that cannot be written is no reason to stop
        place.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=place, suffix=".part", delete=False) as file:
            np.savez(file, *arrays)
        Path(file.name).replace(place / f"{key}.npz")
        global _written
        _written += 1
        if _written % THIN_EVERY == 1:
            _thin(place)


def _thin(place: Path) -> None:
    files = []
    for path in place.iterdir():
        with contextlib.suppress(OSError):
            status = path.stat()
            files.append((status.st_mtime, status.st_size, path))
    total = sum(size for _, size, _ in files)
    for _, size, path in sorted(files, key=lambda f: f[0]):
        if total <= LARGEST_BYTES:
            break
        path.unlink(missing_ok=True)
        total -= size
