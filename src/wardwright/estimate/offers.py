"""Three offers side by side: the design as specified, a reduced one, and an extended one."""

from collections.abc import Callable
from dataclasses import dataclass

from wardwright.catalogue.kinds import Catalogue
from wardwright.design.system import Design
from wardwright.estimate.quote import Estimate, estimate
from wardwright.estimate.tariff import Tariff
from wardwright.estimate.variants import EXTENSIONS, REDUCTIONS, Change, Edit
from wardwright.premises.model import Premises


@dataclass(frozen=True)
class Offer:
    """One of three."""

    name: str
    summary: str
    changes: tuple[Change, ...]
    design: Design
    estimate: Estimate


def offers(
    design: Design,
    catalogue: Catalogue,
    *,
    tariff: Tariff,
    premises: Premises,
    monitored: bool = True,
) -> tuple[Offer, Offer, Offer]:
    """Three offers side by side, each a whole design with its estimate.

    Parameters
    ----------
    design : Design
        The design as specified.
    catalogue : Catalogue
        Its kinds and prices.
    tariff : Tariff
        The firm's tariff. The extended offer adds one maintenance visit a year.
    premises : Premises
        The building.
    monitored : bool, optional
        A receiving centre listens.

    Returns
    -------
    tuple of Offer
        ``Essential``, ``As specified``, ``Extended``. An offer that could not be made different says so in its
        summary and has no changes. The two others are not proved by being offered: prove the design chosen.
    """

    def build(name: str, edits: tuple[Callable[..., Edit | None], ...], tariff: Tariff, none: str, some: str) -> Offer:
        variant, changes = design, []
        for edit in edits:
            done = edit(variant, catalogue, premises)
            if done is not None:
                variant = done[0]
                changes.append(done[1])
        if tariff is not plain:
            changes.append(Change("visits", "One more maintenance visit a year", "Faults are found sooner."))
        priced = estimate(variant, catalogue, tariff=tariff, premises=premises, monitored=monitored)
        return Offer(name, some if changes else none, tuple(changes), variant, priced)

    plain = tariff
    visits = min(12, tariff.visits_year + 1)
    richer = tariff.model_copy(update={"visits_year": visits}) if visits > tariff.visits_year else tariff
    return (
        build(
            "Essential",
            REDUCTIONS,
            tariff,
            "Nothing can be left out that was not asked for: this offer equals the one as specified.",
            "The least we would fit here. It costs less and gives up what is listed.",
        ),
        build("As specified", (), tariff, "What we designed for you.", ""),
        build(
            "Extended",
            EXTENSIONS,
            richer,
            "We found nothing worth adding: this offer equals the one as specified.",
            "As specified, with what we would add if it were ours.",
        ),
    )
