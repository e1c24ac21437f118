"""Whole circuits build; a circuit with a mistake is none; work grows with the parts only."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck.circuit import build
from circuitcheck.language import read, read_file
from tests.scale.counting import calls

CIRCUITS = Path(__file__).parent.parent / "language" / "circuits"


@pytest.mark.parametrize("name", ["1_press", "2_winch", "3_regen", "4_splitter"])
def test_circuits_build_without_an_error(name: str) -> None:
    text, _ = read_file(CIRCUITS / f"{name}.hyc")
    circuit, findings = build(text)
    assert [f.message for f in findings if f.severity.value == "error"] == []
    assert circuit is not None
    assert circuit.text == text.source
    for junction in circuit.junctions.values():
        for end in junction.ends:
            found = circuit.junction_of(end.part, end.port)
            assert found is junction


def test_a_text_that_could_not_be_read_whole_is_no_circuit() -> None:
    source = (CIRCUITS / "1_press.hyc").read_text(encoding="utf-8")
    text, findings = read(source + "\nclaims\n  P1 = 3\n")
    assert len(findings) == 1
    assert build(text) == (None, [])


def test_very_many_findings_are_cut_short() -> None:
    text, _ = read("parts\n" + "".join(f"  X{i} pmup, 3 bar\n" for i in range(500)))
    _, findings = build(text)
    assert len(findings) == 21
    assert findings[-1].message == "there are 480 more mistakes from here on"


def _many(count: int) -> str:
    parts, lines = ["parts", "T1 tank, 60 L", "E1 engine, 60 kW, 2000 rpm"], ["lines"]
    for i in range(count):
        parts += [f"P{i}x pump, 16 cc/rev, driven by E1", f"R{i}x relief, set 200 bar"]
        lines += [f"from T1 to P{i}x S, hose 32 mm, 1 m", f"from R{i}x T to T1"]
        lines += [f"line{i} from P{i}x P to R{i}x P, hose 12 mm, 1 m"]
    return "\n".join(parts + lines)


def test_building_takes_calls_in_proportion() -> None:
    def work(count: int) -> int:
        text, findings = read(_many(count))
        assert findings == []
        return calls(lambda: build(text))

    work(1)  # what is read once and kept
    assert work(300) < 12 * work(30)
