"""A server without a socket: the application behind its gate, on a store of its own."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from wardwright.storage.store import Store
from wardwright.web.app import gated, make_app
from wardwright.web.gate import Keys

BASE = "http://127.0.0.1:8765"


@pytest.fixture
def keys() -> Keys:
    return Keys()


@pytest.fixture
def window(tmp_path: Path, keys: Keys, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    """A browser window that was opened with the launch link."""
    monkeypatch.setenv("WARDWRIGHT_FIRM", str(tmp_path / "firm"))
    app = gated(make_app(Store.at(tmp_path / "jobs.sqlite")), keys=keys, hosts=("127.0.0.1:8765", "localhost:8765"))
    with TestClient(app, base_url=BASE, headers={"Origin": BASE}) as client:
        answer = client.get("/open", params={"token": keys.launch_token}, follow_redirects=False)
        assert answer.status_code == 303
        yield client
