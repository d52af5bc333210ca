"""A cable measured on site is priced at its length."""

from tests.house import design, house

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Reading
from wardwright.design.devices import Cable
from wardwright.estimate.tariff import load_tariff
from wardwright.job.model import Job, SiteRecord
from wardwright.prove import prove


def job(*lengths: float) -> Job:
    cable = Cable(id="c1", kind="cable-6x022", from_id="panel", to_id="keypad")
    readings = tuple(
        SiteRecord(
            id=f"site-{k}",
            date=f"2026-01-0{k + 1}",
            by="A",
            kind="reading",
            reading=Reading(
                id=f"r{k}", quantity="cable length", at="c1", value=metres, unit="m", date=f"2026-01-0{k + 1}",
                instrument="tape",
            ),
        )
        for k, metres in enumerate(lengths)
    )  # fmt: skip
    drawn = design().model_copy(update={"cables": (cable,)})
    return Job(id="j", title="J", premises=house(), design=drawn, brief=Brief(), site=readings)


def metres(*lengths: float) -> float:
    proof = prove(job(*lengths), load_catalogue(), today="2026-02-01", tariff=load_tariff())
    assert proof.estimate is not None
    return float(proof.estimate.cable_m)


def test_the_newest_reading_counts_in_the_price() -> None:
    routed, once = metres(), metres(50.0)
    assert metres(50.0, 60.0) - once == 10.0
    assert once != routed
