"""Load-sensing limits, cut-off and relief set in the wrong order.

What is checked
    For every load-sensing pump: highest section limit + margin + 10 bar <= cut-off, and
    cut-off + gap <= setting of each relief that the pump can always reach. The gap is that
    of relief-gap-small: 15 bar or 10 % of the cut-off, whichever is more.

Why it matters on the machine
    The section limit plus margin should hold the pressure, the cut-off should back it up
    and the relief guard both. In another order the pump never destrokes at a stalled
    function, or the relief does daily work.

What to do
    Set the ladder from below: section limit, cut-off, relief.

Limits of this rule
    Sections without a limit are held by the cut-off and need none.

Source
    US Army TM 5-2410-240-23-1 (single page read); 10 bar: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import fed_sections, guards, is_load_sensing
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    apart = case.limit("apart").value
    for pump in case.of_kind("pump"):
        if not is_load_sensing(pump):
            continue
        margin, cutoff = pump.figure("margin") or 0.0, pump.figure("compensator")
        limits = [s.figure("limit") for s in fed_sections(case, pump)]
        highest = max((limit for limit in limits if limit is not None), default=None)
        reliefs = guards(case, pump)
        settings = [r.figure("set") or 0.0 for r in reliefs]
        if cutoff is None:
            yield case.not_checked(pump.name, "pressure cut-off ('compensator') of the pump")
            continue
        gap = max(case.limit("gap").value, case.limit("share").value * cutoff)
        low = highest is not None and highest + margin + apart > cutoff
        if not low and all(setting >= cutoff + gap for setting in settings):
            continue
        ladder = [f"cut-off {case.bar(cutoff)}"]
        numbers = [Number("cut-off", cutoff, "pressure"), Number("margin", margin, "pressure")]
        if highest is not None:
            ladder.insert(
                0,
                f"section limit {case.bar(highest)} + margin {case.bar(margin)} = "
                f"{case.bar(highest + margin)}",
            )
            numbers.append(Number("highest section limit", highest, "pressure"))
        if settings:
            ladder.append(f"relief {case.bar(min(settings))}")
            numbers.append(Number("relief setting", min(settings), "pressure"))
        yield case.finding(
            f"settings of {pump.name} out of order: {', '.join(ladder)}; "
            f"{case.bar(apart)} and {case.bar(gap)} should lie between them",
            pump,
            numbers=tuple(numbers),
            notes=tuple(Note(f"{r.name} is set here", r.place) for r in reliefs),
        )


RULE = Rule("ls-limits-out-of-order", Severity.ERROR, check)
