"""The two papers: the client's proposal and the firm's dossier, each as one PDF."""

import io
from typing import Any

from pypdf import PdfReader, PdfWriter

from wardwright.documents.client import client_data
from wardwright.documents.client_view import visible_devices
from wardwright.documents.drawing import Drawing, plan_drawing
from wardwright.documents.firm import firm_data
from wardwright.documents.frame import drawing_paper, is_american, scale_words
from wardwright.documents.route_layer import RouteSet, route_set, route_storeys
from wardwright.documents.schedules import csv_text, schedules
from wardwright.documents.sheet import INVENTED, TitleBlock
from wardwright.documents.story_page import stories
from wardwright.documents.typesetting import typeset
from wardwright.documents.wording import date_words
from wardwright.errors import InputError
from wardwright.prove import Proof


def client_papers(proof: Proof, *, date: str) -> bytes:
    """The client's paper: proposal, plans, how it works, what it costs, cautions.

    Parameters
    ----------
    proof : Proof
        The proof it rests on.
    date : str
        ISO date printed on it; the same proof and date give the same bytes.

    Returns
    -------
    bytes
        A PDF/A file. It shows no evasion route, no unwatched place, and not where the control equipment is.
    """
    scheme = proof.scheme
    paper = drawing_paper(scheme.brief.profile, large=False)
    shown = visible_devices(scheme)
    drawings = [
        plan_drawing(
            scheme,
            storey.id,
            paper=paper,
            block=_block(proof, drawing="Proposed system", storey=storey.name, date=date, mark="for the client"),
            devices=shown,
            captions=False,
            heat=False,
        )
        for storey in scheme.premises.storeys
        if _is_drawn(proof, storey.id)
    ]
    files, entries = _files(drawings, prefix="C")
    told, plans = stories(proof, firm=False)
    data = {
        **_head(proof, date=date, title=f"Proposal: {proof.job.title}"),
        "running": proof.job.title,
        "stories": told,
        **client_data(proof, entries),
    }
    return typeset("client", data, drawings=files | plans, date=date)


def firm_papers(proof: Proof, *, copy_number: int, to: str, date: str, passphrase: str | None = None) -> bytes:
    """The firm's dossier: everything, with its schedules embedded as CSV.

    Parameters
    ----------
    proof : Proof
        The proof it rests on.
    copy_number : int
        Printed on every page; from :func:`wardwright.documents.register.next_copy_number`.
    to : str
        Who gets it; printed.
    date : str
        ISO date printed on it; without a passphrase the same input gives the same bytes.
    passphrase : str, optional
        Encrypt the file (AES, 256 bits); it opens only with this.

    Returns
    -------
    bytes
        A PDF/A file, or an encrypted PDF. It tells a burglar everything: keep the passphrase apart from it.

    Raises
    ------
    InputError
        If nobody is named, or the passphrase is shorter than 12 characters.
    """
    if not to.strip():
        raise InputError("the firm's dossier is issued to somebody: say to whom", where="firm")
    if passphrase is not None and len(passphrase) < 12:
        raise InputError("the passphrase needs at least 12 characters; four words do", where="firm")
    sets = [found for found in (route_set(proof.scheme, a.routes) for a in proof.routes) if found is not None]
    drawings = _firm_drawings(proof, sets, date=date, mark=f"copy {copy_number} for {to} · confidential")
    files, entries = _files(drawings, prefix="D")
    told, plans = stories(proof, firm=True)
    attachments = {f"{s.name}.csv": csv_text(s).encode("utf-8-sig") for s in schedules(proof)}
    revision = _revision(proof)
    data = {
        **_head(proof, date=date, title=f"{proof.job.title}: dossier of the firm"),
        "running": f"{proof.job.title} · {revision} · copy {copy_number} · confidential",
        "copy-line": f"Copy {copy_number} for {to}, {date_words(date)}, {revision}. Confidential: this paper shows how "
        "the system could be got past. Keep it locked; do not copy or send it on.",
        "stories": told,
        **firm_data(proof, entries, sets),
    }
    pdf = typeset("firm", data, drawings=files | plans, attachments=attachments, date=date, archival=passphrase is None)
    return pdf if passphrase is None else _encrypted(pdf, passphrase)


def _firm_drawings(proof: Proof, sets: list[RouteSet], *, date: str, mark: str) -> list[Drawing]:
    scheme = proof.scheme
    paper = drawing_paper(scheme.brief.profile, large=True)
    storeys = [s for s in scheme.premises.storeys if _is_drawn(proof, s.id)]

    def block(drawing: str, storey: str, *notes: str) -> TitleBlock:
        return _block(proof, drawing=drawing, storey=storey, date=date, mark=mark, notes=notes)

    found = [
        plan_drawing(
            scheme,
            s.id,
            paper=paper,
            block=block("Devices", s.name, "Ids under the tags are those of the schedules."),
        )
        for s in storeys
    ]
    if proof.cables is not None and any(r.run.length.way is not None for r in proof.cables.runs):
        note = "Ways along ceilings and chases. Keep 50 mm from mains; find cables and pipes before every hole."
        found += [
            plan_drawing(
                scheme, s.id, paper=paper, block=block("Cables", s.name, note), heat=False, cables=proof.cables
            )
            for s in storeys
        ]
    for storey_id, margin in (proof.coverage or {}).items():
        name = scheme.premises.storey(storey_id).name
        note = "The tint is for the direction least noticed; where nothing looks, the darkest."
        found.append(
            plan_drawing(
                scheme,
                margin.grid.storey_id,
                paper=paper,
                block=block(f"Coverage, {margin.mode}", name, note),
                heat=False,
                margin=margin,
            )
        )
    for routes in sets:
        for storey_id in route_storeys(routes):
            if storey_id in {s.id for s in storeys}:
                name = scheme.premises.storey(storey_id).name
                note = "Drawn side by side where they share a way. Chances and times stand under “Routes”."
                title = f"Three routes, {routes.mode}"
                found.append(
                    plan_drawing(scheme, storey_id, paper=paper, block=block(title, name, note), routes=routes)
                )
    return found


def _is_drawn(proof: Proof, storey_id: str) -> bool:
    """A storey with rooms or devices; footings and bare roofs are left out, unless nothing has rooms."""
    premises = proof.scheme.premises
    kinds = (premises.rooms, proof.scheme.fitted) if premises.rooms else (premises.walls, proof.scheme.fitted)
    return any(item.storey_id == storey_id for group in kinds for item in group)


def _revision(proof: Proof) -> str:
    revisions = proof.job.revisions
    return f"revision {len(revisions)}, {revisions[-1].name}" if revisions else "draft"


def _block(proof: Proof, *, drawing: str, storey: str, date: str, mark: str, notes: tuple[str, ...] = ()) -> TitleBlock:
    job = proof.job
    return TitleBlock(
        firm=job.firm.name,
        job=job.title,
        address=proof.scheme.brief.address,
        drawing=drawing,
        storey=storey,
        date=date_words(date),
        revision=_revision(proof),
        mark=mark,
        invented=job.invented,
        notes=notes,
    )


def _files(drawings: list[Drawing], *, prefix: str) -> tuple[dict[str, str], list[dict[str, Any]]]:
    files, entries = {}, []
    for number, drawing in enumerate(drawings, 1):
        name = f"sheet-{number:02}.svg"
        files[name] = drawing.svg
        entries.append(
            {
                "file": name,
                "width": drawing.paper.width_mm,
                "height": drawing.paper.height_mm,
                "alt": drawing.described,
                "title": drawing.title,
                "sheet": f"{prefix}-{number}",
                "scale": scale_words(drawing.scale),
                "paper": drawing.paper.name,
            }
        )
    return files, entries


def _head(proof: Proof, *, date: str, title: str) -> dict[str, Any]:
    brief, firm = proof.scheme.brief, proof.job.firm
    return {
        "title": title,
        "firm": firm.name or "(firm not named)",
        "firm-lines": [text for text in (firm.address, firm.telephone, firm.licence) if text],
        "client": brief.client or "the client",
        "address": brief.address,
        "date": date_words(date),
        "day": [int(part) for part in date.split("-")],
        "revision": _revision(proof),
        "american": is_american(brief.profile),
        "invented": proof.job.invented,
        "invented-words": INVENTED,
    }


def _encrypted(pdf: bytes, passphrase: str) -> bytes:
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(pdf)))
    writer.encrypt(user_password=passphrase, owner_password=passphrase, algorithm="AES-256")
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
