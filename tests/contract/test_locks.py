"""Locks carry versions and hashes, never an address; nothing tracked carries a machine path."""

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def test_the_python_lock_has_hashes_and_no_address() -> None:
    text = (ROOT / "requirements.lock").read_text()
    assert "://" not in text
    assert "--index" not in text
    entries = re.findall(r"^[a-zA-Z0-9_.\-\[\]]+==", text, flags=re.MULTILINE)
    assert entries
    assert text.count("--hash=sha256:") >= len(entries)


def test_no_npm_lock_names_an_address() -> None:
    for lock in ROOT.glob("*/package-lock.json"):
        text = lock.read_text()
        assert '"resolved"' not in text
        assert "://" not in text


def test_nothing_tracked_carries_a_machine_path() -> None:
    listing = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listing.returncode != 0:
        pytest.skip("not a git checkout")
    folders = "|".join(("wo" + "rk", "ro" + "ot", "fa" + "rm", "tmp/" + "wt"))
    machine = re.compile(rf"(^|[^A-Za-z0-9_.])/({folders})/")
    found = []
    for name in filter(None, listing.stdout.split("\0")):
        path = ROOT / name
        if not path.is_file() or path.suffix in {".ttf", ".otf", ".png", ".woff2", ".pdf"}:
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8", errors="ignore").splitlines(), 1):
            if machine.search(line):
                found.append(f"{name}:{number}")
    assert not found
