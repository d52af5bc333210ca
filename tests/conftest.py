"""Fixtures shared by all tests."""

import os
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("untimed", deadline=None)  # a slow machine is no counterexample
settings.load_profile("untimed")

ROOT = Path(__file__).resolve().parent.parent
BROWSER = ROOT / "tests" / "browser"
os.environ.setdefault("WARDWRIGHT_CACHE", "off")  # tests leave nothing in the user's cache folder


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Browser tests come last: the browser's driver keeps a loop running in which no other test can start its own."""
    items.sort(key=lambda item: BROWSER in Path(item.fspath).parents)


@pytest.fixture(scope="session")
def shared_premises() -> Path:
    """Folder of the real buildings; tests that need it skip, and say so, where it is not there."""
    shared = Path(os.environ.get("WARDWRIGHT_SHARED", ROOT.parent / "shared"))
    folder = shared / "data" / "premises"
    if not folder.is_dir():
        pytest.skip(f"the real buildings are not here ({folder}); set WARDWRIGHT_SHARED to the folder that holds them")
    return folder
