"""What the tank of a circuit gives and gets: oil that stands outside, flow that passes by."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Part
from circuitcheck.components._rod_oil import oil_to_go_out
from circuitcheck.laws.library import LAWS, STORES
from circuitcheck.laws.machines import STILL_ROD
from circuitcheck.laws.net import PRESSURE
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import OilOutside
from circuitcheck.solver.answer import Answer


def port_flows(answer: Answer, name: str) -> dict[str, Array]:
    """Flow into a part at each of its ports [m3/s], (variants,)."""
    flows = {port: np.zeros(answer.case.variants) for port in answer.ports_of.get(name, {})}
    for i in answer.elements_of.get(name, []):
        element = answer.system.elements[i]
        law = LAWS[element.law]
        for stamp in law.stamps:
            letter = element.ports[stamp.terminal]
            unknown = answer.system.unknowns[element.terminals[stamp.terminal]]
            if letter in flows and unknown.kind == PRESSURE:
                value = answer.values[i][law.values[stamp.value]]
                flows[letter] = flows[letter] - stamp.sign * value
    return flows


def passing(answer: Answer, part: Part, port: str) -> tuple[Array, Array]:
    """Flow that other parts bring to, and take from, the junction of a port [m3/s]."""
    arriving, leaving = np.zeros(answer.case.variants), np.zeros(answer.case.variants)
    index = answer.ports_of.get(part.name, {}).get(port)
    if index is None:
        return arriving, leaving
    for end in answer.junctions[index].ends:
        if end.part != part.name:
            into = port_flows(answer, end.part)[end.port]
            arriving, leaving = arriving + np.maximum(-into, 0.0), leaving + np.maximum(into, 0.0)
    return arriving, leaving


def outside(answer: Answer) -> OilOutside | None:
    """Oil that rods and stores keep from the tank; None where there are several tanks."""
    parts = answer.case.circuit.parts
    if answer.tanks != 1:
        return None
    start, now, rods_out = np.zeros(answer.case.variants), np.zeros(answer.case.variants), 0.0
    for i, element in enumerate(answer.system.elements):
        if element.law in STORES:
            held = answer.values[i]["held"]
            lasts = answer.case.durations > 0.0
            start = start + (parts[element.part].figure("at start") or 0.0)
            now = now + np.where(lasts, held, answer.case.stored(element.part))
    for name, part in parts.items():
        if part.kind.word in ("cylinder", "telescopic cylinder"):
            before, after = _in_rod(answer, name)
            start, now = start + before, now + after
            rods_out += oil_to_go_out(part) if "stroke" in part.figures else np.nan
    return OilOutside(start, now, rods_out)


def _in_rod(answer: Answer, name: str) -> tuple[Array, Array]:
    """Oil that a cylinder holds more than with its rod in: at the start, after each step [m3].

    Both of shape (variants,); the first is the same for every step of a variation.
    """
    case, part = answer.case, answer.case.circuit.parts[name]
    taken = np.zeros(case.variants)
    for i in answer.elements_of.get(name, []):
        element = answer.system.elements[i]
        if element.law == "piston":
            c = element.coefficients
            taken = taken + c["cap_area"] - c.get("rod_area", 0.0)
    if part.figure("stroke") is None:
        moves = np.abs(answer.speed(name)) > STILL_ROD
        return np.zeros(case.variants), np.where(moves, np.nan, 0.0)
    areas, middles = case.by_step(taken), case.by_step(np.asarray(case.place(name)))
    place = np.full(case.variations, part.figure("at start") or 0.0)
    start = held = place * areas[0]
    found = np.zeros_like(areas)
    for step, middle in enumerate(middles):
        # the place known is that in the middle of the step
        after = 2.0 * middle - place
        held = held + areas[step] * (after - place)
        found[step], place = held, after
    return np.tile(start, len(areas)), found.ravel()
