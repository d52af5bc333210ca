"""The route that slips by when a device is left out, drawn to scale. For the firm only."""

from wardwright.analyses.route_records import Route
from wardwright.design.system import ProtectionScheme
from wardwright.documents.drawing import Drawing, plan_drawing
from wardwright.documents.frame import drawing_paper
from wardwright.documents.route_layer import route_set, route_storeys
from wardwright.documents.sheet import TitleBlock
from wardwright.documents.wording import date_words
from wardwright.job.model import Job


def slipping_route(job: Job, scheme: ProtectionScheme, route: Route, *, without: str, date: str) -> tuple[Drawing, ...]:
    """One sheet for each storey the route passes.

    Parameters
    ----------
    job : Job
        For the title block.
    scheme : ProtectionScheme
        The design without the device.
    route : Route
        What slips by.
    without : str
        Id of the device left out.
    date : str
        ISO date printed on it.
    """
    drawn = route_set(scheme, (route,))
    if drawn is None:
        return ()
    paper = drawing_paper(scheme.brief.profile, large=True)
    found = []
    for storey_id in route_storeys(drawn):
        block = TitleBlock(
            firm=job.firm.name,
            job=job.title,
            address=scheme.brief.address,
            drawing=f"Without {without}",
            storey=scheme.premises.storey(storey_id).name,
            date=date_words(date),
            revision="proposal",
            mark="confidential: for the firm only",
            invented=job.invented,
            notes=(f"The {route.kind} way with {without} left out, set {route.mode}.",),
        )
        found.append(plan_drawing(scheme, storey_id, paper=paper, block=block, routes=drawn))
    return tuple(found)
