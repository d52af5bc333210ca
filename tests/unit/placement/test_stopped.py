"""A search that is stopped hands over what it has, without the closer look."""

from tests.unit.placement.test_layout import small_job

from wardwright.catalogue.load import load_catalogue
from wardwright.documents.placed import statement
from wardwright.estimate.tariff import load_tariff
from wardwright.placement.proposal import problem_of
from wardwright.placement.three_offers import three_offers


def test_only_a_search_that_was_not_stopped_is_looked_at_again() -> None:
    problem = problem_of(small_job(confirm_within_s=30.0), load_catalogue(), load_tariff())
    (whole,) = three_offers(problem, today="2026-01-01", wanted=("least",))
    (stopped,) = three_offers(problem, today="2026-01-01", wanted=("least",), stop=lambda: True)
    assert whole.finer is not None
    assert "Not looked at again" not in statement(whole).plain
    assert stopped.finer is None
    assert "Not looked at again on a finer grid." in statement(stopped).plain
    assert stopped.proposal.job.design.devices, "what was found is handed over"
    assert stopped.proposal.layout.bound <= whole.proposal.layout.cost, "its bound holds for the cheapest there is"
