"""The line schedule: junctions, sized lines, runs through parts, the graph."""

from __future__ import annotations

import pytest

from circuitcheck.circuit import Circuit
from circuitcheck.circuit.model import End

from .conftest import LINES, PARTS, Make, errors


def joined(circuit: Circuit, part: str, port: str) -> set[str]:
    junction = circuit.junction_of(part, port)
    assert junction is not None
    return {str(end) for end in junction.ends}


def test_lines_without_a_size_put_ports_together(make: Make) -> None:
    circuit = make()
    assert joined(circuit, "P1", "P") == {"P1 P", "pressure start", "R1 P"}
    assert joined(circuit, "V1", "A") == {"V1 A", "C1 cap"}


def test_a_line_with_a_size_is_a_part_between_two_junctions(make: Make) -> None:
    circuit = make()
    hose = circuit.parts["pressure"]
    assert hose.kind.word == "line"
    assert hose.says("hose")
    assert hose.figure("bore") == pytest.approx(12.7e-3)
    assert hose.figure("length") == pytest.approx(1.5)
    assert joined(circuit, "pressure", "end") == {"pressure end", "V1 P"}


def test_the_tank_is_one_junction_however_often_it_is_named(make: Make) -> None:
    circuit = make()
    assert joined(circuit, "T1", "") == {"T1", "suction start", "R1 T", "V1 T"}
    assert len([1 for _ in circuit.graph.edges("T1")]) == 1


def test_outside_times_wall_gives_the_bore(make: Make) -> None:
    tube = make(lines=LINES.replace("hose 12.7 mm", "tube 16 x 2 mm")).parts["pressure"]
    assert tube.says("tube")
    assert tube.figure("bore") == pytest.approx(12e-3)
    assert tube.figure("wall") == pytest.approx(2e-3)


def test_further_words_of_a_line(make: Make) -> None:
    more = "hose 1/2 in, 5 ft, 3 bends, rise 0.6 m, rated 276 bar, fittings 0.4 bar at 40 L/min"
    hose = make(lines=LINES.replace("hose 12.7 mm, 1.5 m", more)).parts["pressure"]
    assert hose.figure("bore") == pytest.approx(12.7e-3)
    assert hose.figure("length") == pytest.approx(1.524)
    assert hose.figure("bends") == 3.0
    assert hose.figure("rise") == pytest.approx(0.6)
    assert hose.figure("fittings") == pytest.approx(0.4e5)
    assert hose.figure("fittings flow") == pytest.approx(40e-3 / 60)


def test_a_line_is_an_end_at_its_far_side_and_start_at_its_near_side(make: Make) -> None:
    parts = PARTS + "  G1 and G2  gauge, 0 to 315 bar\n"
    lines = "\n  from pressure start to G1" + LINES + "  from pressure to G2\n"
    circuit = make(parts=parts, lines=lines)
    assert "G1 M" in joined(circuit, "P1", "P")
    assert "G2 M" in joined(circuit, "V1", "P")


def test_through_puts_parts_in_the_run_from_inlet_to_outlet(make: Make) -> None:
    parts = PARTS + "  F1  filter, 10 um\n  K1  cooler, 12 kW at 30 K\n"
    lines = LINES.replace("from V1 T to T1", "from V1 T through K1 and F1 to T1, hose 19 mm, 1 m")
    circuit = make(parts=parts, lines=lines)
    assert joined(circuit, "return", "start") == {"V1 T", "return start"}
    assert joined(circuit, "return", "end") == {"return end", "K1 in"}
    assert joined(circuit, "K1", "out") == {"K1 out", "F1 in"}
    assert "F1 out" in joined(circuit, "T1", "")
    run = next(run for run in circuit.runs if run.name == "return")
    assert (run.through, run.part, run.starts, run.stops) == (
        ("K1", "F1"), "return", (End("V1", "T"),), (End("T1", ""),),
    )  # fmt: skip
    assert run.far == circuit.junction_of("T1", "").name  # type: ignore[union-attr]


def test_a_strainer_in_a_suction_line_stands_in_the_tank(make: Make) -> None:
    parts = PARTS + "  S1  strainer, 125 um\n"
    lines = LINES.replace("from T1 to P1 S", "from T1 through S1 to P1 S")
    circuit = make(parts=parts, lines=lines)
    assert "S1 in" in joined(circuit, "T1", "")
    assert joined(circuit, "suction", "start") == {"S1 out", "suction start"}


def test_and_joins_ends_in_a_tee(make: Make) -> None:
    parts = PARTS.replace("C1  cylinder", "C1 and C2  cylinder")
    lines = LINES.replace("to C1 cap", "to C1 cap and C2 cap, hose 10 mm, 2 m").replace(
        "to C1 rod", "to C1 rod and C2 rod"
    )
    circuit = make(parts=parts, lines=lines)
    assert joined(circuit, "push", "end") == {"push end", "C1 cap", "C2 cap"}
    assert len(circuit.of_kind("line")) == 3


def test_lines_without_a_name_are_called_after_their_ends(make: Make) -> None:
    circuit = make(
        lines=LINES.replace("spill     from R1 T to T1", "from R1 T to T1, hose 19 mm, 1 m")
    )
    assert circuit.parts["R1 T to T1"].figure("bore") == pytest.approx(19e-3)


def test_junctions_bear_the_name_of_a_line_that_ends_there_else_of_a_port(make: Make) -> None:
    circuit = make()
    assert set(circuit.junctions) == {
        "T1'", "suction'", "relief", "pressure'", "push", "pull",
    }  # fmt: skip
    assert not set(circuit.junctions) & set(circuit.parts)


def test_graph(make: Make) -> None:
    circuit = make()
    graph = circuit.graph
    assert graph.nodes["P1"]["kind"] == "part"
    assert graph.nodes["P1"]["part"] is circuit.parts["P1"]
    assert graph.nodes["relief"]["junction"] is circuit.junctions["relief"]
    assert {(name, key) for _, name, key in graph.edges("P1", keys=True)} == {
        ("suction'", "S"), ("relief", "P"),
    }  # fmt: skip
    edge = graph.edges["P1", "relief", "P"]
    assert edge["port"].letter == "P"
    ends = [end for junction in circuit.junctions.values() for end in junction.ends]
    assert len(ends) == len(set(ends)) == graph.number_of_edges()


def test_the_order_of_lines_makes_no_difference(make: Make) -> None:
    rows = [row for row in LINES.split("\n") if row.strip()]
    turned = "\n" + "\n".join(reversed(rows)) + "\n"

    def groups(circuit: Circuit) -> set[frozenset[str]]:
        return {frozenset(map(str, j.ends)) for j in circuit.junctions.values()}

    assert groups(make()) == groups(make(lines=turned))


def test_where_a_port_stands_is_kept(make: Make) -> None:
    place = make().parts["R1"].port_places["T"]
    assert (place.line, place.column) == (14, 18)


def test_an_open_port_is_not_reported_as_long_as_a_line_is_wrong() -> None:
    lines = LINES.replace("from V1 T to T1", "from V1 X to T1")
    assert errors(f"parts{PARTS}lines{lines}") == ["a valve has no port 'X'"]
