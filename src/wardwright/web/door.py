"""Who may come in beyond this machine: a password, and tablets paired by a code that is good once.

The password is kept as its Argon2id hash with the second set of parameters recommended in [RFC9106-2021]_; a paired
tablet's key as its SHA-256 (it is random, so nothing is gained by a slow hash).
"""

import hashlib
import hmac
import json
import os
import secrets
import threading
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidKey
from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

from wardwright.errors import InputError, JobFileError
from wardwright.storage.job_file import write_whole

SHORTEST = 12
"""Characters of a password."""
CODE_LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
CODE_LENGTH = 8
CODE_S = 300.0
"""How long a code is good. [s]"""
TRIES = 5
"""Wrong tries in a row before one has to wait; of codes: before every code is void."""
WAIT_S = 30.0
"""For one more try. [s]"""
SESSION_S = 12 * 3600.0
"""How long a sign-in lasts. [s]"""


class TooManyTriesError(InputError):
    """Somebody is guessing."""


@dataclass(frozen=True)
class PairedDevice:
    """A tablet or phone that was paired."""

    id: str
    name: str
    since: str
    """ISO date."""


class Door:
    """Password, paired devices and codes.

    Parameters
    ----------
    path : Path
        File they are kept in.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._lock = threading.Lock()
        self._codes: dict[str, float] = {}
        self._wrong: list[float] = []
        self._wrong_codes = 0
        self._kept: dict[str, Any] = {"password": "", "devices": []}
        if path.is_file():
            try:
                self._kept |= json.loads(path.read_text(encoding="utf-8"))
            except (OSError, ValueError, TypeError):
                raise JobFileError(f"{path}: this is no list of who may come in; set the password again") from None

    @property
    def has_password(self) -> bool:
        """Whether anybody could sign in."""
        return bool(self._kept["password"])

    def set_password(self, password: str) -> None:
        """Set the password; every paired device is forgotten.

        Raises
        ------
        InputError
            If it is too short.
        """
        if len(password) < SHORTEST:
            raise InputError(f"a password needs at least {SHORTEST} characters; four words do")
        told = Argon2id(salt=os.urandom(16), length=32, iterations=3, lanes=4, memory_cost=2**16)
        self._kept = {"password": told.derive_phc_encoded(password.encode()), "devices": []}
        self._save()

    def signs_in(self, password: str) -> bool:
        """Whether this is the password.

        Raises
        ------
        TooManyTriesError
            If wrong ones came too often.
        """
        with self._lock:
            now = time.monotonic()
            self._wrong = [t for t in self._wrong if now - t < TRIES * WAIT_S]
            if len(self._wrong) >= TRIES:
                raise TooManyTriesError(f"too many wrong passwords; wait {WAIT_S * TRIES / 60:.1f} minutes")
            try:
                Argon2id.verify_phc_encoded(password.encode("utf-8", "replace"), self._kept["password"])
            except InvalidKey:
                self._wrong.append(now)
                return False
            self._wrong.clear()
            return True

    def new_code(self) -> str:
        """A code that pairs one device, once, within five minutes."""
        code = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
        with self._lock:
            now = time.monotonic()
            self._codes = {c: until for c, until in self._codes.items() if until > now}
            self._codes[code] = now + CODE_S
            self._wrong_codes = 0
        return code

    def pair(self, code: str, name: str, *, today: str) -> str | None:
        """Take a code for a device's own key.

        Parameters
        ----------
        code : str
            As typed: case, spaces and hyphens do not matter.
        name : str
            What the device is called in the list.
        today : str
            ISO date.

        Returns
        -------
        str or None
            The key; None if the code is wrong, used or too old.

        Raises
        ------
        TooManyTriesError
            If wrong codes came too often: then every code is void.
        """
        typed = "".join(c for c in code.upper() if c in CODE_LETTERS)
        with self._lock:
            now = time.monotonic()
            found = ""
            for known, until in self._codes.items():
                if hmac.compare_digest(known, typed) and until > now:
                    found = known
            if not found:
                self._wrong_codes += 1
                if self._wrong_codes >= TRIES:
                    self._codes.clear()
                    raise TooManyTriesError("too many wrong codes; every code is void now: make a new one")
                return None
            del self._codes[found]
            key = secrets.token_urlsafe(32)
            device = {
                "id": secrets.token_hex(4),
                "name": " ".join(name.split())[:60] or "a device",
                "since": today,
                "key": _digest(key),
            }
            self._kept["devices"].append(device)
            self._save()
        return key

    def knows(self, key: str) -> bool:
        """Whether this is the key of a paired device."""
        digest = _digest(key)
        found = False
        for device in tuple(self._kept["devices"]):
            found |= hmac.compare_digest(device["key"], digest)
        return found

    def devices(self) -> tuple[PairedDevice, ...]:
        """Every paired device."""
        return tuple(PairedDevice(d["id"], d["name"], d["since"]) for d in self._kept["devices"])

    def forget(self, key: str) -> bool:
        """Take a device's key away; whether there was one."""
        with self._lock:
            left = [d for d in self._kept["devices"] if d["id"] != key]
            gone = len(left) < len(self._kept["devices"])
            self._kept["devices"] = left
            if gone:
                self._save()
        return gone

    def _save(self) -> None:
        write_whole(self._path, json.dumps(self._kept, indent=1).encode())


def _digest(key: str) -> str:
    return hashlib.sha256(key.encode("utf-8", "replace")).hexdigest()
