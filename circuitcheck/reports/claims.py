"""Claimed and read figures beside computed ones."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from circuitcheck.basics.places import NOWHERE, Place
from circuitcheck.basics.quantities import System, figure_text, show
from circuitcheck.circuit.model import Circuit, Claim
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.rules import catalogue
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._claims import Judged, judged, judged_readings
from circuitcheck.solver.operating import Solution

HOLDS, OFF, UNKNOWN = "holds", "OFF", "not judged"


@dataclass(frozen=True)
class Verdict:
    """One claim or reading with what was computed for it, both in SI.

    ``chapter`` is "claims" or "readings". ``computed`` is None where nothing could be
    computed; ``step`` is the step compared with, the nearest one where the claim names
    none, "whole cycle" where it speaks of that. ``word`` is `HOLDS`, `OFF` or `UNKNOWN`.
    ``wish`` is the tolerance in words, ``formula`` the formula with its numbers.
    """

    chapter: str
    subject: str
    what: str
    step: str
    quantity: str
    claimed: float
    wish: str
    computed: float | None
    word: str
    formula: str = ""
    place: Place = NOWHERE


def verdicts(circuit: Circuit, solution: Solution) -> tuple[Verdict, ...]:
    """Judge all claims and readings of a circuit, in the order of the text."""
    case = Case(Facts(circuit, solution), catalogue()["claim-off"])
    return (
        *_verdicts("claims", judged(case), circuit),
        *_verdicts("readings", judged_readings(case), circuit),
    )


def _verdicts(chapter: str, found: Iterable[Judged], circuit: Circuit) -> Iterable[Verdict]:
    words = {True: HOLDS, False: OFF, None: UNKNOWN}
    for one in found:
        claim = one.claim
        yield Verdict(
            chapter=chapter,
            subject=" ".join(filter(None, (claim.subject, claim.port))),
            what=claim.what,
            step="whole cycle" if claim.over_cycle else one.step,
            quantity=claim.figure.quantity,
            claimed=claim.figure.value,
            wish=wish(claim, circuit.units),
            computed=one.value,
            word=words[one.holds],
            formula=one.formula or one.missing,
            place=claim.place,
        )


def wish(claim: Claim, units: System) -> str:
    """Say the tolerance of a claim in words."""
    if claim.share:
        near = f"{figure_text(100 * claim.tolerance)} %"
    else:
        near = show(claim.tolerance, _difference(claim.figure.quantity), units)
    return f"within {near}" if claim.mode == "within" else claim.mode


def _difference(quantity: str) -> str:
    """Kind of quantity of a difference: degrees have no zero of their own."""
    return "temperature_difference" if quantity == "temperature" else quantity


def claims_table(found: tuple[Verdict, ...], units: System) -> Table:
    """Give a line per claim and reading: claimed, computed, how far apart, verdict."""
    return table(
        "Claims and readings",
        (
            Column("Of"),
            Column("In"),
            Column("Claimed", "", True),
            Column("Tolerance"),
            Column("Computed", "", True),
            Column("Off by", "", True),
            Column("Verdict"),
        ),
        (
            (
                f"{verdict.subject} {verdict.what}".strip(),
                verdict.step,
                show(verdict.claimed, verdict.quantity, units),
                verdict.wish,
                "" if verdict.computed is None else show(verdict.computed, verdict.quantity, units),
                _off(verdict),
                verdict.word,
            )
            for verdict in found
        ),
        [
            f"{f'{verdict.subject} {verdict.what}'.strip()}, {verdict.step}: {verdict.formula}"
            for verdict in found
            if verdict.formula
        ],
    )


def _off(verdict: Verdict) -> str:
    if verdict.computed is None or not verdict.claimed or verdict.quantity == "temperature":
        return ""  # a share of nothing, or of degrees, has no meaning
    off = round(100 * (verdict.computed / abs(verdict.claimed) - 1), 1)
    return f"{off + 0.0:+.1f} %"  # no minus before zero
