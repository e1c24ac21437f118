"""A diagnosis as people read it: verdict per reading, candidates, what to read next."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.basics.quantities import System, figure_text, show
from circuitcheck.circuit.model import Claim
from circuitcheck.reports.claims import wish
from circuitcheck.reports.result import Result
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import Sheet
from circuitcheck.review.case_drain import CaseDrain
from circuitcheck.review.diagnosis import Candidate, Diagnosis, Next
from circuitcheck.review.faults import Fault
from circuitcheck.review.pairs import Pair

MOST = 6
"""Candidates that are listed; those further down do not explain the readings."""

PAIRS = 3
"""Pairs of faults that are named."""

NEARER = 0.5
"""Share of the sound machine's misfit under which a fault comes near; own choice."""

OFF = 2.0
"""Standard deviations beyond which a reading is off: its tolerance."""


def write_diagnosis(
    sheet: Sheet, result: Result, found: Diagnosis, drains: Sequence[CaseDrain],
    left_out: Sequence[Claim], units: System,
) -> None:  # fmt: skip
    """Write the whole diagnosis."""
    from circuitcheck.reports import findings_text

    sheet.table(_readings(found, units))
    for claim in left_out:
        why = "say in which step it was read" if not claim.step else "a limit is no reading"
        sheet.paragraph(f"{_name(claim)}: not used, {why}.", "  ", "    ")
    sheet.section("Verdict")
    for text in verdict(found, units):
        sheet.paragraph(text, "  ", "  ")
    if not found.sound:
        sheet.table(_candidates(found, units))
    if drains:
        sheet.table(drains_table(drains, units))
    sheet.line()
    sheet.paragraph(
        "A diagnosis speaks of faults that the model knows, one or two at a time, in a circuit "
        "that is as written. It tells where to look first, not what to exchange.", "  ", "  ",
    )  # fmt: skip
    findings_text.write_cautions(sheet, result)


def verdict(found: Diagnosis, units: System) -> list[str]:
    """Say in words what is wrong, how sure that is, and what to read next."""
    if found.sound:
        return ["Nothing wrong: all readings lie where a sound machine would put them."]
    if not found.candidates:
        return ["No fault that the model knows shows in these readings."]
    texts = []
    best = found.candidates[0]
    if not found.explains:
        texts.append(
            "No single fault explains all readings: there are two faults, or a reading is wrong."
        )
        if found.pairs:
            some = "; or ".join(pair_words(one, units) for one in found.pairs[:PAIRS])
            texts.append(f"Two faults together would: {some}.")
        if found.doubtful >= 0:
            texts.append(
                f"Without the reading of {_name(found.readings[found.doubtful])} the rest fits; "
                "read it again, with another meter."
            )
        if best.misfit <= NEARER * found.misfit:
            texts.append(f"Nearest comes: {words(best, units)}.")
        else:
            texts.append("None comes near; look first whether the text is the machine.")
        return texts
    if len(found.leading) == 1:
        texts.append(f"Most likely: {words(best, units)}. No other single fault fits.")
    else:
        some = "; or ".join(words(one, units) for one in found.leading[:MOST])
        texts.append(f"These readings cannot tell apart: {some}.")
    if found.next is not None and len(found.leading) > 1:
        texts.append(_next(found.next, found.leading, units))
    elif len(found.leading) > 1:
        texts.append(
            "No further reading tells them apart for sure: shut off or cap one of their branches "
            "after another, with the pressure off, and see when the reading comes right."
        )
    return texts


def words(one: Candidate, units: System) -> str:
    """Say the fault of a candidate with its size."""
    return fault_words(one.fault, one.size, units)


def fault_words(fault: Fault, size: float, units: System) -> str:
    """Say a fault with its size [SI]."""
    shows, sound = fault.shows, fault.sound
    if shows == "times":
        text = figure_text(size / sound)
    elif shows == "share":
        text = f"{figure_text(100.0 * size / sound)} %"
    elif shows:
        text = show(size - sound if fault.figure == "leakage" else size, shows, units)
    else:
        text = ""
    return f"{fault.part} {fault.words}".replace("{size}", text)


def pair_words(pair: Pair, units: System) -> str:
    """Say two faults with their sizes."""
    both = zip(pair.faults, pair.sizes, strict=True)
    return " and ".join(fault_words(fault, size, units) for fault, size in both)


def _next(one: Next, leading: Sequence[Candidate], units: System) -> str:
    """Say what to read next, and what each outcome would mean."""
    quantity = one.meter.figure.quantity
    told = []
    for group in one.alike:
        low, high = (show(f(one.shows[i] for i in group), quantity, units) for f in (min, max))
        faults = " or ".join(_short(leading[i]) for i in sorted(group)[:MOST])
        told.append(f"{low if low == high else f'{low} to {high}'} for {faults}")
    return f"Read next: {_name(one.meter)}. It would show {'; '.join(told)}."


def _short(one: Candidate) -> str:
    """A fault in few words, its size left out."""
    return f"{one.fault.part} ({one.fault.words.split(':')[0].replace(' {size}', '').strip()})"


def _name(claim: Claim) -> str:
    words = " ".join(filter(None, (claim.subject, claim.port, claim.what)))
    return f"{words} in {claim.step}" if claim.step else words


def _readings(found: Diagnosis, units: System) -> Table:
    rows = []
    for claim, expected, miss in zip(found.readings, found.expected, found.misses, strict=True):
        quantity = claim.figure.quantity
        known = expected == expected  # NaN is not
        rows.append(
            (
                " ".join(filter(None, (claim.subject, claim.port, claim.what))),
                claim.step,
                show(claim.figure.value, quantity, units),
                wish(claim, units),
                show(expected, quantity, units) if known else "-",
                ("holds" if abs(miss) <= OFF else "OFF") if known else "not judged",
            )
        )
    return table(
        "Readings against the sound machine",
        (
            Column("Of"),
            Column("In"),
            Column("Read", "", True),
            Column("Tolerance"),
            Column("Expected", "", True),
            Column("Verdict"),
        ),
        rows,
    )


def _candidates(found: Diagnosis, units: System) -> Table:
    return table(
        "Faults that come nearest",
        (Column("Fault"), Column("Misfit", "", True), Column("Worst reading")),
        (
            (words(one, units), f"{one.misfit:.1f}", _worst(found, one))
            for one in found.candidates[:MOST]
            if one.misfit < found.misfit - OFF**2
        ),
        [
            f"Misfit: sum of squares over {len(found.readings)} readings, in standard deviations "
            f"(half the tolerance); of the sound machine it is {found.misfit:.1f}."
        ],
    )


def _worst(found: Diagnosis, one: Candidate) -> str:
    i = max(range(len(one.misses)), key=lambda k: abs(one.misses[k]))
    return f"{_name(found.readings[i])}, {abs(one.misses[i]):.1f} off"


def drains_table(drains: Sequence[CaseDrain], units: System) -> Table:
    """Give the case-drain test: what a sound unit lets out, in shares of its flow."""
    several = len({one.oil_degC for one in drains}) > 1
    oil = show(drains[0].oil_degC, "temperature", units) if drains else ""
    feeders = {one.part: one.feeders for one in drains}
    return table(
        "Case-drain test: what a sound unit lets out" + ("" if several else f", oil at {oil}"),
        (
            Column("Unit"),
            Column("Step"),
            Column("Oil", "", True),
            Column("At", "", True),
            Column("Speed", "", True),
            Column("Case flow", "", True),
            Column("Share", "", True),
            Column("Limit", "", True),
        ),
        (
            (
                one.part,
                one.step,
                show(one.oil_degC, "temperature", units) if several else "",
                show(one.pressure, "pressure", units),
                show(one.speed, "rotation", units),
                show(one.flow, "flow", units),
                f"{100 * one.flow / one.theoretical:.1f} %" if one.theoretical else "-",
                "-" if one.limit is None else show(one.limit, "flow", units),
            )
            for one in drains
        ),
        [
            "Share: of displacement times speed. Limit: 'wear limit' of the part, - where not "
            "given.",
            *(
                f"In the drain of {part} runs as well: {', '.join(others)}; subtract it from the "
                "reading."
                if others
                else f"Nothing else runs in the drain of {part}."
                for part, others in feeders.items()
            ),
        ],
    )
