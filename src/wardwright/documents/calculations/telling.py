"""Calculation sheets of radio links, of the alarm's sound, of walks to the keypad, of the panel's programme."""

from collections.abc import Iterator

from wardwright.documents.calculations.records import CalculationSheet, held_against
from wardwright.prove import Proof

JUDGED = ("living.alarm", "signal.alarm", "nuisance.next-door")


def radio(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each link, and the share of messages that collide at each receiver."""
    if proof.radio is None:
        return
    for link in proof.radio.links:
        result = ""
        if link.reserve_db is not None and link.interval_db is not None:
            low, high = link.interval_db
            result = f"{link.reserve_db:.0f} dB in reserve ({low:.0f} to {high:.0f} dB)"
        yield CalculationSheet(
            f"Radio from {link.device_id} to {link.receiver_id}",
            link.steps,
            result,
            held_against(proof.findings, link.device_id, "signal.", "power.radio", "attack.radio"),
            (f"Governed by: {link.assumption}.",) if link.assumption else (),
            link.undecided,
        )
    shares = tuple((f"at {key}", f"{share:.2%} of messages") for key, share in proof.radio.collisions.items())
    if shares:
        yield CalculationSheet("Messages that meet another one", shares)


def sound(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each place that a finding judges."""
    if proof.audibility is None:
        return
    told = {key for f in proof.findings if f.rule.startswith(JUDGED) for key in f.about}
    for place in (p for p in proof.audibility.places if p.id in told):
        low, high = place.interval_db
        yield CalculationSheet(
            f"Alarm at {place.name} ({place.where})",
            place.steps,
            f"{place.level_db:.0f} dB(A) ({low:.0f} to {high:.0f}){', measured' if place.measured else ''}",
            held_against(proof.findings, place.id, *JUDGED),
            (f"Governed by: {place.assumption}.",) if place.assumption else (),
        )


def walks(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each final exit door."""
    names = {o.id: o.name for o in proof.scheme.premises.openings}
    for walk in proof.timing.walks if proof.timing is not None else ():
        result = ""
        if walk.walk_s is not None:
            spread = f" ({walk.interval_s[0]:.0f} to {walk.interval_s[1]:.0f} s)" if walk.interval_s else ""
            result = f"{walk.walk_s:.0f} s{spread} on foot for the slowest"
        passes = ("passes", ", ".join(walk.crossed_device_ids) or "no detector")
        yield CalculationSheet(
            f"Walk from {names.get(walk.opening_id, walk.opening_id)} to {walk.keypad_id or 'a keypad'}",
            (*walk.steps, passes) if walk.steps else (),
            result,
            held_against(proof.findings, walk.opening_id, "living.entry-time", "living.exit-time"),
            (f"Governed by: {walk.assumption}.",) if walk.assumption else (),
            walk.undecided,
        )


def programme(proof: Proof) -> Iterator[CalculationSheet]:
    """Every property of the panel's programme: what was searched and what came out."""
    told = proof.programme
    if told is None:
        return
    outcome = {True: "proved", False: "refuted", None: "not decided"}
    steps = tuple(
        (
            a.claim,
            f"{outcome[a.proved]}{f': {a.words}' if a.words else ''}, {a.over}"
            + (f"; {a.states} states, {a.transitions} steps" if a.states else ""),
        )
        for a in told.answers
    )
    result = f"{sum(a.proved is True for a in told.answers)} of {len(told.answers)} properties proved" if steps else ""
    reductions = tuple(dict.fromkeys(f"Taken together: {r}." for a in told.answers for r in a.reductions))
    yield CalculationSheet("Panel programme", steps, result, notes=reductions, undecided=told.undecided)


def signalling(proof: Proof) -> Iterator[CalculationSheet]:
    """From the first detection to help, and how often the reporting paths are up."""
    told = proof.signal
    if told is None or not told.paths:
        return
    legs = tuple((leg.name, f"{leg.usual_s:.0f} to {leg.most_s:.0f} s ({leg.basis})") for leg in told.chain)
    notes: tuple[str, ...] = ()
    if told.inside_s is not None:
        notes = (f"By the quickest way an intruder is inside for {told.inside_s:.0f} s after the first detection.",)
    yield CalculationSheet(
        "From the first detection to help",
        legs,
        f"{told.usual_s / 60.0:.0f} to {told.most_s / 60.0:.0f} min from the first detection to help",
        notes=notes,
    )
    if told.steps:
        by_kind = "Hours a year are assumptions by kind, within a factor of three, where none was entered."
        yield CalculationSheet("Availability of the reporting paths", told.steps, notes=(by_kind,))
