"""The benchmark runs and its tables are whole; no clock is judged."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from circuitcheck.benchmark import networks, ours, peers, tables
from circuitcheck.benchmark.__main__ import main
from circuitcheck.benchmark.cases import BENCHES, Bench
from circuitcheck.benchmark.measuring import Measured, in_child
from circuitcheck.benchmark.plain import Plain
from circuitcheck.solver.answer import Answer


def cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip("|").split("|")]


@pytest.mark.parametrize("bench", BENCHES, ids=lambda bench: bench.word)
def test_balances_by_hand_hold_at_our_points(bench: Bench) -> None:
    """The laws are written twice: ours and the plain ones must say the same."""
    found: Answer = ours.solved(bench, "cold", 5)
    assert found.found.solved.all()
    lines = [i for i, e in enumerate(found.system.elements) if e.law == "pipe"]
    for variant in range(5):
        flows = [float(found.values[i]["flow"][variant]) * 6e4 for i in lines]
        x = [*map(float, found.found.x[:, variant]), *flows]
        assert max(map(abs, Plain(found.system, variant)(x))) < 1e-6


@pytest.mark.parametrize("bench", BENCHES, ids=lambda bench: bench.word)
def test_searched_flows_of_lines_give_the_same_balances(bench: Bench) -> None:
    found = ours.solved(bench, "cold", 2)
    x = list(map(float, found.found.x[:, 1]))
    assert max(map(abs, Plain(found.system, 1, searched=True)(x))) < 1e-5


@pytest.mark.parametrize("task", ["cold", "sweep"])
@pytest.mark.parametrize("bench", BENCHES, ids=lambda bench: bench.word)
def test_what_a_user_asks_for_is_what_is_measured(bench: Bench, task: str) -> None:
    """`Project.vary` comes to the points of the bare solver, called once or again."""
    for row in (ours.varied(bench, task, 30), ours.varied_again(bench, task, 30)):
        assert row.solved == 1.0
        assert row.points == 30
        assert row.imbalance < 1e-6
        assert row.apart < 1e-6


def test_sparse_and_batched_factors_give_the_same_states() -> None:
    row = ours.sparse(BENCHES[0], "cold", 4)
    assert row.solved == 1.0
    assert row.apart < 1e-6
    for word in networks.NETWORKS:
        both = networks.both_ways(word, 49, 30)
        assert both.solved == 1.0
        assert both.apart < 1e-6


def test_a_root_finder_that_says_solved_agrees_with_us() -> None:
    row = peers.by_scipy(BENCHES[0], "sweep", 10)
    assert row.solved > 0.0
    assert row.apart < 1e-5


def test_the_command_prints_a_whole_table() -> None:
    done = CliRunner().invoke(main, ["--quick", "--patience", "120", "grid"])
    assert done.exit_code == 0, done.output
    rows = [cells(line) for line in done.output.splitlines() if line.startswith("| ")]
    head, body = rows[0], [row for row in rows[1:] if not row[0].startswith("-")]
    assert head[:3] == ["nodes", "way", "ratio"]
    own = [row for row in body if row[1] == "ours, sparse"]
    assert [row[0] for row in own] == ["100", "400"]
    for row in own:
        assert float(row[2]) == 1.0
        assert all(float(cell) > 0.0 for cell in row[3:5])
    assert "to the power of" in done.output


def test_tables_give_ratios_to_what_is_solved() -> None:
    rows = [Measured("ours", 100, 1.0, 1.0), Measured("other", 10, 1.0, 0.5)]
    text = tables.states([*rows, Measured("third", trouble="no answer within 5 s")])
    assert cells(text.splitlines()[3])[1] == "20"
    assert text.splitlines()[-1] == "third: no answer within 5 s"
    assert all(len(line) <= 80 for line in text.splitlines())


def test_growth_is_the_exponent_of_the_time() -> None:
    rows = [
        (n, Measured("ours", 1, 1e-5 * n**1.2, 1.0, more={"warm": 1.0, "unknowns": n}))
        for n in (100, 1000, 10_000)
    ]
    assert np.isclose(tables.growth(rows), 1.2)


def _run_a_program(file: str) -> None:
    program = subprocess.Popen(["sleep", "300"])
    Path(file).write_text(str(program.pid), encoding="utf-8")
    program.wait()


def test_a_way_that_takes_too_long_leaves_no_program_behind(tmp_path: Path) -> None:
    with pytest.raises(TimeoutError):
        in_child(_run_a_program, (str(tmp_path / "pid"),), patience=6.0)
    number = int((tmp_path / "pid").read_text(encoding="utf-8"))
    for _ in range(100):
        status = Path(f"/proc/{number}/status")
        if not status.exists() or "State:\tZ" in status.read_text(encoding="utf-8"):
            return
        time.sleep(0.05)
    os.kill(number, signal.SIGKILL)
    pytest.fail("the program still runs")
