"""A new kind of component, made here of a component and a symbol, is known everywhere."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

import circuitcheck
from circuitcheck.components import kinds
from circuitcheck.components._parts import (
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
    fixed_ports,
)
from circuitcheck.laws.net import Net
from circuitcheck.laws.view import View
from circuitcheck.symbols import Look, Symbol, all_symbols
from circuitcheck.symbols._parts import port, symbol


def equations(part: Part, net: Net) -> None:
    # ten equal holes in parallel
    area = 10 * np.pi / 4 * np.asarray(net.value("hole")) ** 2
    net.orifice("holes", "in", "out", 0.6 * area * np.sqrt(2.0 / net.oil.rho))


def results(part: Part, view: View) -> dict[str, Figures]:
    return {"flow": view.q("in"), "drop": view.p("in") - view.p("out")}


COMPONENT = SimpleNamespace(
    KINDS=(
        Kind(
            word="rose plate",
            text="Plate with ten sharp-edged holes.",
            ports=fixed_ports(
                Port("in", PortKind.THROUGH, "inlet"), Port("out", PortKind.THROUGH, "outlet")
            ),
            parameters=(
                Parameter("hole", "length", "mm", "diameter of a hole", bare=True, needed=True,
                          least=1e-4, most=0.1),
            ),
            through=("in", "out"),
            equations=equations,
            results=results,
            measures=(Result("flow", "flow", "flow"), Result("drop", "pressure", "drop")),
        ),
    )
)  # fmt: skip


def draw(look: Look) -> Symbol:
    ports = {"in": port(0, 2, "S"), "out": port(0, -2, "N")}
    return symbol("OR(0,0); L 0,-1 0,-2; L 0,1 0,2", ports, turn=True, spots=("right", "left"))


SYMBOL = SimpleNamespace(WORD="rose plate", draw=draw)
TEXT = """
circuit "Rose plate"
oil 32 cSt at 50 degC, 870 kg/m3
parts
  T1  tank, 100 L, gas 20 bar
  T2  tank, 100 L
  X1  rose plate, 2 mm
lines
  from T1 through X1 to T2
cycle
  step flow, 10 s
claims
  X1 flow 76.7 L/min, in flow, within 1 %
"""


def test_language_solver_and_drawing_know_it() -> None:
    with circuitcheck.register(COMPONENT, SYMBOL):
        project = circuitcheck.parse(TEXT, "x.hyc")
        result = project.check()
        (point,) = project.solve()
        drawing = project.draw("flow")
    assert project.mistakes == ()
    # q = 0.6 A root(2 dp / rho), by hand
    expected = 0.6 * 10 * np.pi / 4 * 0.002**2 * np.sqrt(2 * 20e5 / 870)
    assert point["X1"].values["flow"] == pytest.approx(expected, rel=1e-5)
    assert [claim.word for claim in result.claims] == ["holds"]
    assert ">X1<" in drawing


def test_its_mistakes_are_those_of_every_kind() -> None:
    with circuitcheck.register(COMPONENT, SYMBOL):
        project = circuitcheck.parse(TEXT.replace("2 mm", "hole 2 bar"))
    assert [finding.message for finding in project.mistakes] == ["'hole' is not given in bar"]


def test_it_is_gone_afterwards() -> None:
    before = dict(kinds()), dict(all_symbols())
    with circuitcheck.register(COMPONENT, SYMBOL):
        assert "rose plate" in kinds()
        assert "rose plate" in all_symbols()
    assert (dict(kinds()), dict(all_symbols())) == before
    assert kinds() is kinds()


def test_a_word_is_given_once() -> None:
    before = dict(kinds()), dict(all_symbols())
    with (
        circuitcheck.register(COMPONENT, SYMBOL),
        pytest.raises(ValueError, match="'rose plate' stands in two modules"),
    ):
        circuitcheck.register(COMPONENT, SYMBOL)
    other = SimpleNamespace(WORD="rose", draw=draw)
    with pytest.raises(ValueError, match="not have the same words: rose, rose plate"):
        circuitcheck.register(COMPONENT, other)
    assert (dict(kinds()), dict(all_symbols())) == before
