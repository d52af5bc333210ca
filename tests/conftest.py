"""Fixtures shared by all tests."""

import os
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
os.environ.setdefault("WARDWRIGHT_CACHE", "off")  # tests leave nothing in the user's cache folder


@pytest.fixture(scope="session")
def shared_premises() -> Path:
    """Folder of the real buildings; tests that need it skip, and say so, where it is not there."""
    shared = Path(os.environ.get("WARDWRIGHT_SHARED", ROOT.parent / "shared"))
    folder = shared / "data" / "premises"
    if not folder.is_dir():
        pytest.skip(f"the real buildings are not here ({folder}); set WARDWRIGHT_SHARED to the folder that holds them")
    return folder
