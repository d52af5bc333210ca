"""What the client's paper says."""

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from wardwright.catalogue.kinds import Family
from wardwright.design.brief import Profile
from wardwright.design.devices import Keep
from wardwright.design.programme import ZoneResponse
from wardwright.design.system import ProtectionScheme
from wardwright.documents.cautions import LIMITS, cautions
from wardwright.documents.client_view import IN_PERSON, hidden_devices, safe_sentence, says_too_much, visible_devices
from wardwright.documents.verdict_table import VERDICT_OUTCOME, answers, standing_findings
from wardwright.documents.wording import counted, date_words, listed, money, seconds_words
from wardwright.estimate.offers import Offer
from wardwright.findings import QUESTION_WORDS, Finding, Outcome, Weight
from wardwright.prove import Proof

_PROFILE_WORDS: dict[Profile, str] = {
    Profile.US_HOME: "an intruder alarm for a home, by the rules customary in the United States",
    Profile.US_BUSINESS: "an intruder alarm for a small business, by the rules customary in the United States",
    Profile.EU_GRADE_1: "an intruder alarm of grade 1 of the European standard",
    Profile.EU_GRADE_2: "an intruder alarm of grade 2 of the European standard",
    Profile.EU_GRADE_3: "an intruder alarm of grade 3 of the European standard",
    Profile.EU_GRADE_4: "an intruder alarm of grade 4 of the European standard",
    Profile.UK_CONFIRMED: "an intruder alarm whose alarms are confirmed by a second detector, as the police in the "
    "United Kingdom ask",
}


def client_data(proof: Proof, drawings: list[dict[str, Any]]) -> dict[str, Any]:
    """Everything the client's template prints, and nothing a burglar could use.

    Parameters
    ----------
    proof : Proof
        The proof.
    drawings : list of dict
        Files of the client's plans, with size and description.

    Returns
    -------
    dict
        JSON values.
    """
    scheme, brief = proof.scheme, proof.scheme.brief
    return {
        "heading": f"Proposal: {proof.job.title}",
        "asked": {"paragraphs": _asked(scheme), "wishes": list(brief.wishes), "limits": list(brief.limits)},
        "standing": _standing(proof),
        "questions": [
            {
                "words": QUESTION_WORDS[question],
                "outcome": answer[0].value,
                "weight": answer[1].value,
                "sentences": _sentences(group, scheme),
            }
            for question, group, answer in answers(proof)
            if answer is not None
        ],
        "propose": {
            "summary": _proposal(scheme),
            "groups": _groups(scheme),
            "hidden": _kept_back(scheme),
            "drawings": drawings,
        },
        "works": [{"head": head, "text": text} for head, text in how_it_works(scheme)],
        "known": "Every claim about this system was computed from the plan of your building and the figures of the "
        "equipment, or is named here as open. These are the results in plain words.",
        "accepted": [
            {
                "what": safe_sentence(finding, scheme) or "A point agreed with you.",
                "who": departure.who,
                "why": _unless_telling(departure.why, scheme),
                "on": date_words(departure.when),
                "until": date_words(departure.until) if departure.until else "until something changes",
            }
            for finding, departure in proof.accepted
        ],
        "offers": [_offer(offer, scheme) for offer in proof.offers],
        "price-rows": _price_rows(proof.offers),
        "price-note": _price_note(proof.offers),
        "cautions": [{"heading": c.heading, "text": c.text} for c in cautions(brief.profile, client=True)],
        "limits": list(LIMITS),
    }


def _asked(scheme: ProtectionScheme) -> list[str]:
    brief, premises = scheme.brief, scheme.premises
    rooms = [r for r in premises.rooms if r.indoors]
    where = f"{counted(len(premises.storeys), 'floor')} and {counted(len(rooms), 'room')}"
    aims = [
        f"You asked us for {_PROFILE_WORDS[brief.profile]}. Your building has {where}.",
        "An intruder should be noticed before getting to what is worth stealing, and a second detector should confirm "
        f"it within {seconds_words(brief.confirm_within_s)}.",
    ]
    if brief.asleep_upstairs:
        aims.append("The system should watch the house while you are asleep in it.")
    if premises.pets:
        names = [pet.name or f"the {pet.kind}" for pet in premises.pets]
        verb = "stays" if len(names) == 1 else "stay"
        aims.append(f"{listed(names)[:1].upper()}{listed(names)[1:]} {verb} in while the system is set.")
    if brief.monitored:
        aims.append("Alarms go to a receiving centre.")
    return aims


def _standing(proof: Proof) -> str:
    standing = standing_findings(proof)
    outcome = VERDICT_OUTCOME[proof.verdict]
    open_points = sum(f.refutes or f.blocks for f in standing)
    if outcome is Outcome.MET:
        text = "All that you asked for and all that is required holds."
    elif open_points:
        verb = "is" if open_points == 1 else "are"
        text = f"{counted(open_points, 'point')} that {verb} required {verb} still to be settled before we install."
    else:
        text = "The design is not far enough to be judged."
    if proof.accepted:
        text += f" You have accepted {counted(len(proof.accepted), 'departure')}, listed below."
    return text


def _sentences(group: Sequence[Finding], scheme: ProtectionScheme) -> list[dict[str, str]]:
    """The client's sentences, each said once, with the most urgent mark it has."""
    found: dict[str, tuple[str, str]] = {}
    remembered: set[str] = set()
    for finding in group:
        text = safe_sentence(finding, scheme)
        if not text or finding.outcome is Outcome.DOES_NOT_APPLY or text in found:
            continue
        if finding.outcome is Outcome.MET and finding.weight is Weight.REMEMBERED:
            remembered.add(text)
        else:
            found[text] = (finding.outcome.value, finding.weight.value)
    left = len(remembered - found.keys())
    if left:
        which = "holds" if left == 1 else "hold"
        told = f"{counted(left, 'more point')} {which} as far as we remember; we check the text before signing."
        found[told] = (Outcome.MET.value, Weight.REMEMBERED.value)
    return [{"text": text, "outcome": outcome, "weight": weight} for text, (outcome, weight) in found.items()]


def _proposal(scheme: ProtectionScheme) -> str:
    shown = visible_devices(scheme)
    detectors = [d for d in shown if scheme.kind_of(d).family.value.endswith("detector")]
    contacts = [d for d in shown if scheme.kind_of(d).family is Family.CONTACT]
    keypads = [d for d in shown if scheme.kind_of(d).family is Family.KEYPAD]
    sounders = [d for d in shown if scheme.kind_of(d).family in (Family.INNER_SOUNDER, Family.OUTER_SOUNDER)]
    parts = [
        counted(len(items), word)
        for items, word in (
            (detectors, "detector"),
            (contacts, "contact"),
            (keypads, "keypad"),
            (sounders, "sounder"),
        )
        if items
    ]
    kept = sum(d.status is Keep.KEPT for d in shown)
    text = f"We propose {listed(parts)}." if parts else "Nothing that can be seen is to be fitted."
    if kept:
        text += f" {counted(kept, 'device is', 'devices are')} there already and stay{'s' if kept == 1 else ''}."
    areas = scheme.design.programme.areas
    if len(areas) > 1:
        text += f" {listed([a.name for a in areas])} are set and unset separately."
    return text


def _groups(scheme: ProtectionScheme) -> list[dict[str, str]]:
    openings = {o.id: o.name for o in scheme.premises.openings}
    storeys = {s.id: s.name for s in scheme.premises.storeys}
    places: dict[str, list[str]] = {}
    for device in visible_devices(scheme):
        place = openings.get(device.opening_id or "")
        if not place:
            room = scheme.room_of(device)
            place = room.name if room is not None else f"outside, {storeys.get(device.storey_id, '').lower()}"
        places.setdefault(device.kind, []).append(place)
    kinds = scheme.catalogue.kinds
    return [
        {
            "tag": kinds[key].tag,
            "name": kinds[key].name,
            "count": str(len(where)),
            "place": ", ".join(dict.fromkeys(where)),
        }
        for key, where in sorted(places.items(), key=lambda item: (kinds[item[0]].family.value, kinds[item[0]].name))
    ]


def _kept_back(scheme: ProtectionScheme) -> str:
    if not hidden_devices(scheme):
        return ""
    return (
        "The control equipment, its supply and the way it reports are part of the offer. Where they go is shown to you "
        "on site and stands in no paper that could be lost."
    )


def how_it_works(scheme: ProtectionScheme) -> list[tuple[str, str]]:
    """Headings and paragraphs that explain the system from its own programme.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building and system.

    Returns
    -------
    list of tuple
        Nothing that tells how long it can be kept from reporting, or what is not watched.
    """
    programme, brief = scheme.design.programme, scheme.brief
    timers = programme.timers
    found = [
        (
            "Going out",
            f"You set the system at the keypad and leave by the agreed door within {seconds_words(timers.exit_s)}. "
            "It tells you when something is still open.",
        )
    ]
    if any(not z.set_with_people_inside and z.response is not ZoneResponse.TROUBLE for z in programme.zones):
        found.append(
            (
                "Staying in",
                "Set with people inside, it watches the ways in that were agreed with you while you sleep or "
                "move about.",
            )
        )
    if len(programme.areas) > 1:
        found.append(
            ("Areas", f"{listed([a.name for a in programme.areas])} can be set and unset one without the other.")
        )
    found.append(
        (
            "Coming home",
            f"Come in by the same door: you have {seconds_words(timers.entry_s)} to unset it at the keypad. Any other "
            "way in is an alarm at once.",
        )
    )
    heard = scheme.of_family(Family.INNER_SOUNDER, Family.OUTER_SOUNDER)
    alarm = f"The sounders run for up to {seconds_words(timers.bell_s)}." if heard else ""
    if brief.monitored and programme.paths:
        alarm += " The receiving centre is told at once"
        if programme.confirmation == "sequential":
            alarm += (
                ", and told again when a second detector confirms it within "
                f"{seconds_words(timers.confirm_window_s)}: that is what the police act on where they ask for "
                "confirmation"
            )
        alarm += "."
    if alarm:
        found.append(("When it notices somebody", alarm.strip()))
    if brief.monitored and programme.paths and timers.abort_s > 0:
        found.append(
            (
                "If you set it off yourself",
                f"Unset it within {seconds_words(timers.abort_s)} and nothing goes out. Later than that, tell the "
                "receiving centre your word.",
            )
        )
    if scheme.premises.pets:
        found.append(
            (
                "Your animals",
                "The detectors were chosen and placed for the animals you told us of. Tell us when another comes, or "
                "when furniture they climb on is moved.",
            )
        )
    if any(r.expires for r in programme.rights):
        found.append(
            ("Other people's rights", "Everybody has a code of their own. Rights given for a time end by themselves.")
        )
    return found


def _unless_telling(text: str, scheme: ProtectionScheme) -> str:
    return IN_PERSON if says_too_much(text, scheme) else text


def _offer(offer: Offer, scheme: ProtectionScheme) -> dict[str, Any]:
    return {
        "name": offer.name,
        "summary": offer.summary,
        "changes": [
            {"what": change.what, "effect": change.effect}
            for change in offer.changes
            if not says_too_much(f"{change.what} {change.effect}", scheme)
        ],
    }


def _price_rows(offers: tuple[Offer, ...]) -> list[dict[str, Any]]:
    if not offers:
        return []

    def row(label: str, amounts: list[Decimal], *, strong: bool = False) -> dict[str, Any]:
        cells = [money(a, o.estimate.currency) if a else "–" for a, o in zip(amounts, offers, strict=True)]
        return {"label": label, "cells": cells, "strong": strong}

    rows = [
        row("Installed, before tax", [o.estimate.net for o in offers]),
        row("Tax", [o.estimate.tax for o in offers]),
        row("Installed, with tax", [o.estimate.total for o in offers], strong=True),
    ]
    # what the charge is, without which equipment or how many visits: those stand with the offers
    sorts = list(dict.fromkeys(re.split("[:,]", c.name)[0] for o in offers for c in o.estimate.recurring))
    for sort in sorts:
        each = [sum((c.year for c in o.estimate.recurring if c.name.startswith(sort)), Decimal(0)) for o in offers]
        rows.append(row(f"{sort}, a year, before tax", each))
    rows.append(row("Each year, with tax", [o.estimate.recurring_year for o in offers], strong=True))
    return rows


def _price_note(offers: tuple[Offer, ...]) -> str:
    if not offers:
        return ""
    days = min(o.estimate.valid_days for o in offers)
    allowed = any("allow" in text for o in offers for text in o.estimate.assumptions)
    note = f"These prices hold for {days} days."
    if allowed:
        note += " Lengths of cable are routed on the plan, not measured."
    return note + " What the offers differ in is proved only for the one as specified; we prove the one you choose."
