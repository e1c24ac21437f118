"""Series of standard sizes: which one a figure has, and what is next in it."""

from __future__ import annotations

import pytest

from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.varied import find_varied, words_of
from circuitcheck.pipeline import parse
from circuitcheck.studies.standard_sizes import Rounded, Series, series_of

TEXT = """\
parts
  T1 tank, 60 L
  E1 electric motor, 11 kW, 1450 rpm
  E2 electric motor, 15 hp, 1450 rpm
  P1 pump, fixed, 16 cc/rev, driven by E1
  P2 pump, fixed, 16 cc/rev, driven by E2
  R1 relief, set 180 bar
  A1 accumulator, 10 L, precharge 80 bar
  OR1 orifice, 2 mm
  C1 cylinder, bore 80 mm, rod 50 mm, stroke 400 mm
  C2 cylinder, bore 3-1/4 in, rod 2 in, stroke 16 in
lines
  from T1 to P1 S and P2 S
  hose from P1 P and P2 P to R1 P and A1, hose 12.5 mm, 1 m
  tube from hose to C1 cap and C2 cap, tube 16 x 2 mm, 1 m
  pipe from C1 rod and C2 rod to OR1 in, pipe 21.3 x 2.8 mm, 1 m
  from OR1 out and R1 T to T1
"""


def series(name: str) -> Series | Rounded:
    circuit = parse(TEXT).circuit
    figure = find_varied(Desk({}, set()), circuit, (), words_of(name, "", 1))
    assert figure is not None
    return series_of(circuit.parts[figure.part], figure)


@pytest.mark.parametrize(
    ("name", "value", "up", "down"),
    [
        ("C1 bore", 0.0815, "90 mm", "80 mm"),
        ("C1 rod", 0.050001, "56 mm", "50 mm"),
        ("C2 bore", 0.0826, "3 1/2 in", "3 1/4 in"),
        ("C2 rod", 0.0400, "1 3/4 in", "1 1/2 in"),
        ("E1 power", 12.3e3, "15 kW", "11 kW"),
        ("E2 power", 12.3e3, "20 hp", "15 hp"),
        ("P1 displacement", 17e-6, "18 cc/rev", "16 cc/rev"),
        ("A1 volume", 11e-3, "16 L", "10 L"),
        ("T1 volume", 70e-3, "80 L", "63 L"),
        ("OR1 diameter", 1.33e-3, "1.35 mm", "1.3 mm"),
        ("hose bore", 0.0130, "hose 16 mm (5/8 in, dash 10)", "hose 12.5 mm (1/2 in, dash 8)"),
        ("tube bore", 0.0121, "tube 18 x 2 mm", "tube 15 x 1.5 mm or 16 x 2 mm"),
        ("pipe bore", 0.0158, None, "pipe 1/2 in schedule 40"),
        ("R1 set", 173.4e5, "180 bar", "170 bar"),
    ],
)
def test_what_is_next_up_and_down(name: str, value: float, up: str | None, down: str) -> None:
    found = series(name)
    above, below = found.up(value), found.down(value)
    assert above is not None
    assert below is not None
    assert below.value <= value <= above.value
    assert up is None or above.text == up
    assert below.text == down
    assert found.source


def test_a_size_of_the_series_is_next_to_itself_and_the_ends_have_no_next() -> None:
    bores = series("C1 bore")
    for way in (bores.up, bores.down):
        size = way(0.08)
        assert size is not None
        assert size.text == "80 mm"
    assert bores.up(0.6) is None
    assert bores.down(0.001) is None
    second = bores.up(0.085)
    assert second is not None
    assert second.second


def test_rounded_figures_follow_the_units_of_the_answers() -> None:
    exact = 2511.0 * 6894.757
    found = Rounded("pressure", "inch")
    assert [size.text for size in (found.up(exact), found.down(exact)) if size] == [
        "2600 psi", "2500 psi",
    ]  # fmt: skip
    assert Rounded("pressure", "metric").up(200e5) == Rounded("pressure", "metric").down(200e5)
