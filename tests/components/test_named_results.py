"""What a part tells of itself is what its ports say: flows, drops, pressures, by name."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import pytest

from tests.components.bench import BAR, bench, sources

Side = Mapping[str, float]
Told = Callable[[Side, Side], float]
"""A result from the pressures of the ports [Pa] and the flows into the part [m3/s]."""


def drop(start: str, end: str) -> Told:
    return lambda p, q: p[start] - p[end]


def into(port: str) -> Told:
    return lambda p, q: q[port]


def out_of(port: str) -> Told:
    return lambda p, q: -q[port]


def at(port: str) -> Told:
    return lambda p, q: p[port]


THROUGH = {"flow": into("in"), "drop": drop("in", "out")}

CASES: list[tuple[str, dict[str, float], dict[str, Told]]] = [
    (
        "relief, set 200 bar",
        {"P": 205, "T": 3},
        {"flow": into("P"), "pressure": at("P"), "drop": drop("P", "T")},
    ),
    ("check, 0.3 bar", {"in": 12, "out": 10}, THROUGH),
    ("throttle, 20 L/min at 10 bar", {"in": 40, "out": 10}, THROUGH),
    ("throttle, 20 L/min at 10 bar", {"in": 10, "out": 40}, THROUGH),
    ("orifice, 2 mm", {"in": 40, "out": 10}, THROUGH),
    ("shut-off", {"in": 12, "out": 10}, THROUGH),
    ("quick coupling, 40 L/min at 3 bar", {"in": 12, "out": 10}, THROUGH),
    ("flow meter", {"in": 12, "out": 11.7}, THROUGH),
    ("flow control, 20 L/min", {"in": 60, "out": 10}, THROUGH),
    ("filter, 60 L/min at 0.5 bar", {"in": 12, "out": 11.5}, THROUGH),
    (
        "pilot check, 3:1",
        {"in": 2, "out": 30, "X": 40},
        THROUGH | {"pressure": at("out"), "pilot pressure": at("X")},
    ),
    (
        "double pilot check, 4:1",
        {"A1": 60, "A2": 57, "B1": 3, "B2": 8},
        {
            "flow A": into("A1"),
            "flow B": into("B1"),
            "drop A": drop("A1", "A2"),
            "drop B": drop("B1", "B2"),
        },
    ),
    (
        "counterbalance, set 180 bar, pilot 4:1",
        {"C": 100, "V": 2, "X": 30},
        {
            "flow": out_of("V"),
            "pressure": at("C"),
            "drop": drop("C", "V"),
            "pilot pressure": at("X"),
        },
    ),
    (
        "sequence, set 60 bar",
        {"P": 63, "A": 10, "Y": 0},
        {"flow": out_of("A"), "drop": drop("P", "A")},
    ),
    (
        "unloading valve, set 50 bar",
        {"P": 5, "X": 60, "T": 1},
        {"flow": into("P"), "drop": drop("P", "T"), "pilot pressure": at("X")},
    ),
    (
        "reducing valve, set 40 bar",
        {"P": 90, "A": 38, "T": 1},
        {"drop": drop("P", "A"), "pressure": at("A"), "drain flow": out_of("T")},
    ),
    (
        "compensator, set 8 bar",
        {"P": 90, "A": 40, "X": 33},
        {"flow": out_of("A"), "drop": drop("P", "A"), "margin": drop("A", "X")},
    ),
    (
        "bypass flow control, 20 L/min",
        {"in": 33, "out": 25, "T": 1},
        {
            "flow": out_of("out"),
            "bypass flow": out_of("T"),
            "drop": drop("in", "out"),
            "pressure": at("in"),
        },
    ),
    (
        "priority valve, 60 L/min",
        {"P": 90, "CF": 60, "EF": 20, "LS": 53},
        {
            "priority flow": out_of("CF"),
            "flow": into("P"),
            "excess flow": out_of("EF"),
            "drop": drop("P", "CF"),
            "margin": drop("CF", "LS"),
        },
    ),
    (
        "flow divider, 40 L/min",
        {"P": 60, "A": 30, "B": 50},
        {
            "flow": into("P"),
            "flow A": out_of("A"),
            "flow B": out_of("B"),
            "part A": lambda p, q: q["A"] / (q["A"] + q["B"]),
            "drop": lambda p, q: p["P"] - min(p["A"], p["B"]),
        },
    ),
    (
        "crossport relief, set 100 bar",
        {"A": 102, "B": 4},
        {"flow": into("A"), "drop": drop("A", "B")},
    ),
    (
        "crossport relief, set 100 bar",
        {"A": 4, "B": 102},
        {"flow": into("A"), "drop": drop("A", "B")},
    ),
    (
        "port relief, set 100 bar",
        {"A": 102, "T": 4},
        {"flow": out_of("T"), "pressure": at("A"), "drop": drop("A", "T")},
    ),
    (
        "anti-cavitation",
        {"A": -0.4, "B": 80, "T": 1},
        {"feed A": out_of("A"), "feed B": out_of("B")},
    ),
    (
        "anti-cavitation",
        {"A": 80, "B": -0.4, "T": 1},
        {"feed A": out_of("A"), "feed B": out_of("B")},
    ),
    (
        "burst valve, closes 60 L/min",
        {"in": 11, "out": 10},
        {
            "flow": into("in"),
            "drop": drop("in", "out"),
            "pressure": at("in"),
            "closing share": lambda p, q: q["in"] / 1e-3,
        },
    ),
    (
        "cartridge",
        {"A": 60, "B": 50, "X": 1},
        {"flow": into("A"), "drop": drop("A", "B"), "pilot pressure": at("X")},
    ),
    (
        "flushing valve 3/3, 20 L/min at 5 bar",
        {"A": 90, "B": 15, "T": 5},
        {"flow": out_of("T"), "difference": drop("A", "B")},
    ),
    (
        "cooler, 60 L/min at 1 bar",
        {"in": 3, "out": 2},
        {"flow": into("in"), "drop": drop("in", "out")},
    ),
    ("gallery, bore 10 mm, length 200 mm", {"in": 10, "out": 9.9}, THROUGH),
    (
        "intensifier, ratio 4:1",
        {"P": 60, "H": 190, "T": 1},
        {
            "flow": out_of("H"),
            "flow taken": into("P"),
            "pressure": at("H"),
            "boost": lambda p, q: p["H"] / p["P"],
        },
    ),
    (
        "shuttle",
        {"1": 10, "2": 2, "out": 9},
        {"flow": out_of("out"), "pressure": at("out")},
    ),
    (
        "two-pressure valve",
        {"1": 10, "2": 6, "out": 5},
        {"flow": out_of("out"), "pressure": at("out")},
    ),
    (
        "rotary union, leak 0.02 L/min at 100 bar",
        {"in": 200, "out": 199.5, "L": 0},
        {"flow": out_of("out"), "drop": drop("in", "out"), "leakage": out_of("L")},
    ),
    (
        "relief, set 200 bar, remote port",
        {"P": 150, "T": 2, "X": 149},
        {"pressure": at("P"), "drop": drop("P", "T"), "pilot flow": out_of("X")},
    ),
    (
        "line, bore 10 mm, length 2 m",
        {"start": 20, "end": 19},
        {
            "flow": into("start"),
            "drop": drop("start", "end"),
            "pressure": at("start"),
            "speed": lambda p, q: q["start"] / (0.25e-4 * math.pi),
        },
    ),
    (
        "line, bore 10 mm, length 2 m",
        {"start": 19, "end": 20},
        {
            "flow": into("start"),
            "pressure": at("end"),
            "speed": lambda p, q: -q["start"] / (0.25e-4 * math.pi),
        },
    ),
    (
        "brake valve, set 180 bar, pilot 4:1, 60 L/min at 8 bar",
        {"A1": 5, "A2": 12, "B1": 60, "B2": 55},
        {"drop A": drop("A2", "A1"), "drop B": drop("B2", "B1")},
    ),
    (
        "gear divider, 10 cc/rev",
        {"P": 90, "A": 70, "B": 80},
        {
            "flow": into("P"),
            "flow A": out_of("A"),
            "flow B": out_of("B"),
            "pressure": at("P"),
            "rise": lambda p, q: 0.0,
        },
    ),
    (
        "gear divider, 10 cc/rev",
        {"P": 90, "A": 50, "B": 110},
        {"rise": drop("B", "P")},
    ),
    (
        "pump, load sensing, 16 cc/rev, 1450 rpm, margin 20 bar",
        {"S": 0.2, "P": 150, "X": 131, "L": 1.5},
        {
            "flow": out_of("P"),
            "pressure": at("P"),
            "margin": drop("P", "X"),
            "inlet pressure": at("S"),
            "case pressure": at("L"),
            "case drain": out_of("L"),
        },
    ),
    (
        "section, 40 L/min",
        {"P": 120, "T": 1, "A": 100, "B": 2, "LS": 0},
        {"pressure": at("LS"), "margin": drop("P", "LS"), "drop": drop("P", "A")},
    ),
    ("pressure switch, 100 bar", {"M": 40}, {"pressure": at("M")}),
]


@pytest.mark.parametrize(("text", "pressures", "told"), CASES)
def test_results_are_what_the_ports_say(
    text: str, pressures: dict[str, float], told: dict[str, Told]
) -> None:
    tanks = sources(**{f"T{port}": bar for port, bar in pressures.items()})
    lines = "\n".join(f"from T{port} to N1 {port}" for port in pressures)
    part = bench(f"{tanks}\nN1 {text}", lines)["N1"]
    p = {port: part.ports[port].pressure for port in pressures}
    q = {port: part.ports[port].flow for port in pressures}
    assert p == pytest.approx({port: bar * BAR for port, bar in pressures.items()})
    for name, value in told.items():
        assert part.values[name] == pytest.approx(value(p, q), rel=1e-5, abs=1e-12), name
