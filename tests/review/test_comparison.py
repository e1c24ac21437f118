"""Two issues of a circuit: changes, moves, findings gained and lost."""

from __future__ import annotations

from circuitcheck import pipeline
from circuitcheck.review.comparison import ADDED, CHANGED, REMOVED, Comparison, compare

from .test_accepting import PRESS


def compared(before: str, after: str) -> Comparison:
    stages = []
    for text in (before, after):
        result = pipeline.parse(text).check()
        assert result.circuit is not None
        assert result.solution is not None
        stages.append((result.circuit, result.solution, result.findings))
    return compare(*stages)


def test_the_same_circuit_has_no_differences() -> None:
    found = compared(PRESS, PRESS)
    assert (found.changes, found.moves, found.gained, found.lost) == ((), (), (), ())


def test_a_changed_figure_moves_results_and_loses_findings() -> None:
    found = compared(PRESS, PRESS.replace("closed centre", "tandem centre"))
    assert [(c.sort, c.name, c.before, c.after) for c in found.changes] == [
        (CHANGED, "V1", "closed centre", "tandem centre")
    ]
    assert "closed-centre-on-fixed-pump" in {f.slug for f in found.lost}
    first = found.moves[0]
    assert first.step == "idle"
    assert [m.weight for m in found.moves] == sorted((m.weight for m in found.moves), reverse=True)


def test_parts_added_and_removed_are_told_and_lost_findings_turn_round() -> None:
    more = PRESS.replace("lines\n", "  G1  gauge, 0 to 250 bar\nlines\n  from P1 P to G1\n")
    there, back = compared(PRESS, more), compared(more, PRESS)
    assert ("G1", ADDED) in {(c.name, c.sort) for c in there.changes}
    assert ("G1", REMOVED) in {(c.name, c.sort) for c in back.changes}
    assert [f.slug for f in there.lost] == [f.slug for f in back.gained]


def test_a_changed_order_of_a_step_is_told() -> None:
    found = compared(PRESS, PRESS.replace("load 20 kN", "load 30 kN"))
    assert [(c.name, c.what) for c in found.changes] == [("step out", "C1")]
    assert found.moves[0].step == "out"
