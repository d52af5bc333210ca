"""The interface does what its description says, whatever is thrown at it (schemathesis), and never falls over."""

import os
from collections.abc import Iterator

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, settings

from wardwright.storage.store import Store
from wardwright.web.app import gated, make_app
from wardwright.web.gate import Keys

EXAMPLES = int(os.environ.get("WARDWRIGHT_EXAMPLES", "12"))
HOST = "127.0.0.1:8765"
KEYS = Keys(launch_token="the launch token of this test, long enough")
MINE = {"Authorization": f"Bearer {KEYS.launch_token}", "Host": HOST, "Origin": f"http://{HOST}"}


INNER = make_app(None)
schema = schemathesis.openapi.from_asgi("/api/v1/openapi.json", gated(INNER, keys=KEYS, hosts=(HOST,)), headers=MINE)
# what is well formed may still not fit the job or be no building at all: that is told with 422
schema.config.checks.positive_data_acceptance.expected_statuses = ["2xx", "404", "409", "422"]


@pytest.fixture(scope="module", autouse=True)
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """A store of its own behind the interface."""
    INNER.state.store = Store.at(tmp_path_factory.mktemp("conforms") / "jobs.sqlite")
    yield
    for part in (INNER.state.proofs, INNER.state.papers, INNER.state.live, INNER.state.store):
        part.close()


@schema.parametrize()
@settings(
    max_examples=EXAMPLES,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.generate),
    derandomize=True,
)
def test_every_route_does_what_it_says(case: schemathesis.Case) -> None:
    answer = case.call(headers=MINE)
    case.validate_response(answer, headers=MINE)
    assert answer.status_code < 500 or answer.status_code == 503
