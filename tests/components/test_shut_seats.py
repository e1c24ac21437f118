"""Seats that are shut leak 1e-6 L/min per bar; free-flow checks pass their rated flow."""

from __future__ import annotations

import pytest

from tests.components.bench import bench, flow, sources

SHUT = [
    ("sequence, set 60 bar", {"P": 50, "A": 10, "Y": 0}, "P", 40),
    ("sequence, set 60 bar, remote pilot", {"P": 80, "X": 50, "A": 10, "Y": 0}, "P", 70),
    ("unloading valve, set 50 bar", {"P": 100, "X": 30, "T": 0}, "P", 100),
    ("relief, set 200 bar", {"P": 150, "T": 30}, "P", 120),
    ("hand pump, 25 cm3", {"S": 0.5, "P": 100}, "P", 99.5),
    ("compensator, set 8 bar", {"P": 90, "A": 40, "X": 20}, "P", 50),
    ("counterbalance, set 180 bar, pilot 4:1", {"C": 100, "V": 10, "X": 0}, "C", 2 * 90),
    ("pilot check, 3:1", {"in": 0, "out": 100, "X": 0}, "out", 100),
    ("port relief, set 100 bar", {"A": 50, "T": 10}, "A", 2 * 40),
    ("cartridge", {"A": 60, "B": 10, "X": 70}, "A", 50),
    ("sequence, set 60 bar, free-flow check", {"P": 50, "A": 10, "Y": 0}, "P", 2 * 40),
]


@pytest.mark.parametrize(("text", "pressures", "port", "bars"), SHUT)
def test_shut_seats_leak(text: str, pressures: dict[str, float], port: str, bars: float) -> None:
    tanks = sources(**{f"T{name}": at for name, at in pressures.items()})
    lines = "\n".join(f"from T{name} to N1 {name}" for name in pressures)
    point = bench(f"{tanks}\nN1 {text}", lines)
    assert flow(point, "N1", port) == pytest.approx(1e-6 * bars, rel=1e-6)


FREE = [
    ("sequence, set 60 bar, 60 L/min at 5 bar, free-flow check", {"P": 2, "A": 7, "Y": 0}, "P", 60),
    (
        "reducing valve, set 1 bar, 60 L/min at 5 bar, free-flow check",
        {"P": 2, "A": 7, "T": 7},
        "P",
        60,
    ),
    (
        "unloading valve, set 50 bar, 60 L/min at 5 bar, built-in check",
        {"P": 7, "A": 2, "T": 0},
        "A",
        60,
    ),
]


@pytest.mark.parametrize(("text", "pressures", "port", "passed"), FREE)
def test_free_flow_checks_pass_their_rated_flow(
    text: str, pressures: dict[str, float], port: str, passed: float
) -> None:
    tanks = sources(**{f"T{name}": at for name, at in pressures.items()})
    lines = "\n".join(f"from T{name} to N1 {name}" for name in pressures)
    point = bench(f"{tanks}\nN1 {text}", lines)
    assert flow(point, "N1", port) == pytest.approx(-passed, rel=5e-3)
