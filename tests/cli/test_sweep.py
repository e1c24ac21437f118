"""``circuitcheck sweep``: tables whole or not at all, continued where they stopped."""

from __future__ import annotations

import csv
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from circuitcheck.pipeline import load
from circuitcheck.sweeps import run as run_module
from circuitcheck.sweeps.run import Sweep
from tests.press_text import THROTTLE_STAND

Run = Callable[..., Any]

WANTED = (
    "--vary", "R1 set = 50 to 300 bar, 30 points", "--vary", "TH1 flow = 5, 10, 20 L/min",
    "--grid", "--result", "P1 P pressure", "--result", "R1 flow", "--result", "heat",
)  # fmt: skip


@pytest.fixture
def circuit(tmp_path: Path) -> Path:
    file = tmp_path / "stand.hyc"
    file.write_text(THROTTLE_STAND, encoding="utf-8")
    return file


def rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))


def test_a_table_has_a_row_for_each_variation_and_step(
    circuitcheck: Run, circuit: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out.csv"
    answer = circuitcheck("sweep", circuit, *WANTED, "-o", out)
    assert answer.status == 0, answer.err
    assert "90 variations, 180 rows" in " ".join(answer.out.split())
    table = rows(out)
    assert len(table) == 180
    first, last = table[0], table[-1]
    assert (first["variation"], first["step"]) == ("1", "cold")
    assert (last["variation"], last["step"]) == ("90", "warm")
    assert float(last["R1 set [bar]"]) == 300
    assert float(last["TH1 flow [L/min]"]) == 20
    assert {row["solved"] for row in table} == {"true"}
    assert all(row["method"] for row in table)
    assert max(float(row["imbalance [L/min]"]) for row in table) < 1e-7
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out.csv", "stand.hyc"]


def test_the_table_says_what_single_solves_say(
    circuitcheck: Run, circuit: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out.csv"
    circuitcheck("sweep", circuit, *WANTED, "-o", out, "--step", "warm")
    for row in rows(out)[::29]:
        bar, flow = float(row["R1 set [bar]"]), float(row["TH1 flow [L/min]"])
        edited = THROTTLE_STAND.replace("160 bar", f"{bar} bar")
        edited = edited.replace("20 L/min", f"{flow} L/min")
        circuit.write_text(edited, encoding="utf-8")
        point = load(circuit).point("warm")
        told = point["P1"].ports["P"].pressure / 1e5
        assert float(row["P1 P pressure [bar]"]) == pytest.approx(told, rel=1e-7)
        assert float(row["heat [kW]"]) == pytest.approx(point.totals.loss / 1e3, rel=1e-6)


def test_units_are_those_asked_for(circuitcheck: Run, circuit: Path, tmp_path: Path) -> None:
    heads = {}
    for units in ("inch", "SI"):
        out = tmp_path / f"{units}.csv"
        circuitcheck("sweep", circuit, *WANTED, "-o", out, "--units", units)
        heads[units] = rows(out)[0]
    assert float(heads["inch"]["R1 set [psi]"]) == pytest.approx(725.19, abs=0.01)
    assert float(heads["SI"]["R1 set [Pa]"]) == pytest.approx(50e5)


def test_chunks_do_not_show_in_the_figures(
    circuitcheck: Run, circuit: Path, tmp_path: Path
) -> None:
    one, many = tmp_path / "one.csv", tmp_path / "many.csv"
    circuitcheck("sweep", circuit, *WANTED, "-o", one)
    circuitcheck("sweep", circuit, *WANTED, "-o", many, "--chunk", "7")
    for a, b in zip(rows(one), rows(many), strict=True):
        assert (a["variation"], a["step"]) == (b["variation"], b["step"])
        for name in ("R1 set [bar]", "P1 P pressure [bar]", "heat [kW]"):
            assert float(a[name]) == pytest.approx(float(b[name]), rel=1e-7)


@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_an_interrupted_run_is_continued_to_the_same_file(
    circuitcheck: Run, circuit: Path, tmp_path: Path, ending: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if ending == "parquet":
        pytest.importorskip("pyarrow")
    whole, out = tmp_path / f"whole.{ending}", tmp_path / f"out.{ending}"
    command = ("sweep", circuit, *WANTED, "--chunk", "10")
    assert circuitcheck(*command, "-o", whole).status == 0
    done, true = [], Sweep.piece

    def breaks(self: Sweep, number: int) -> Any:
        if number == 4:
            raise KeyboardInterrupt
        done.append(number)
        return true(self, number)

    monkeypatch.setattr(Sweep, "piece", breaks)
    answer = circuitcheck(*command, "-o", out)
    assert answer.status == 130
    assert "the same command continues" in answer.err
    assert not out.exists()
    # one piece was cut short, as by a full disk
    piece = out.with_name(f"{out.name}.parts") / "000000002.piece"
    piece.write_bytes(piece.read_bytes()[:-5])
    again: list[int] = []
    monkeypatch.setattr(Sweep, "piece", lambda self, n: (again.append(n), true(self, n))[1])
    answer = circuitcheck(*command, "-o", out)
    assert answer.status == 0
    assert "30 of them by an earlier run" in " ".join(answer.out.split())
    assert again == [2, 4, 5, 6, 7, 8]
    assert out.read_bytes() == whole.read_bytes()
    assert not piece.parent.exists()


def test_a_run_that_is_killed_leaves_nothing_half_written(
    project: Path, circuit: Path, tmp_path: Path, circuitcheck: Run
) -> None:
    out, whole = tmp_path / "out.csv", tmp_path / "whole.csv"
    wanted = ("--vary", "R1 set = 50 to 300 bar", "--random", "1500", "--result", "R1 flow")
    command = ["sweep", str(circuit), *wanted, "--chunk", "50"]
    started = subprocess.Popen(
        [sys.executable, "-m", "circuitcheck", *command, "-o", str(out)], cwd=project,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    parts, limit = tmp_path / "out.csv.parts", time.monotonic() + 60
    while len(list(parts.glob("*.piece"))) < 3 and time.monotonic() < limit:
        time.sleep(0.01)
    started.send_signal(signal.SIGKILL)
    started.wait(timeout=60)
    assert not out.exists()
    assert 3 <= len(list(parts.glob("*.piece"))) < 30
    assert circuitcheck(*command, "-o", out).status == 0
    assert circuitcheck(*command, "-o", whole).status == 0
    assert out.read_bytes() == whole.read_bytes()
    assert [int(row["variation"]) for row in rows(out)[::2]] == list(range(1, 1501))


def test_another_sweep_does_not_continue_the_first(
    circuitcheck: Run, circuit: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out.csv"

    def stops(self: Sweep, number: int) -> Any:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(Sweep, "piece", stops)
        assert circuitcheck("sweep", circuit, *WANTED, "-o", out).status == 130
    for other in (("--seed", "3", "--random", "5"), ("--chunk", "9", "--grid")):
        wanted = [word for word in WANTED if word != "--grid"]
        answer = circuitcheck("sweep", circuit, *wanted, *other, "-o", out)
        assert answer.status == 2
        assert "unfinished run of another sweep" in " ".join(answer.err.split())
    circuit.write_text(THROTTLE_STAND.replace("16 cc", "18 cc"), encoding="utf-8")
    assert circuitcheck("sweep", circuit, *WANTED, "-o", out).status == 2
    assert circuitcheck("sweep", circuit, *WANTED, "-o", out, "--afresh").status == 0


def test_two_runs_at_once_are_kept_apart(circuitcheck: Run, circuit: Path, tmp_path: Path) -> None:
    pytest.importorskip("fcntl")
    out = tmp_path / "out.csv"
    project = load(circuit)

    def meanwhile(done: int, of: int) -> None:
        answer = circuitcheck("sweep", circuit, *WANTED, "-o", out)
        assert answer.status == 2
        assert "another run is writing" in answer.err

    project.sweep(out, {"R1 set": "50 bar"}, results=["R1 flow"], progress=meanwhile)
    assert out.exists()


def test_random_draws_are_the_same_again_and_others_with_another_seed(
    circuitcheck: Run, circuit: Path, tmp_path: Path
) -> None:
    made = {}
    for name, more in (("a", ()), ("b", ("--chunk", "13")), ("c", ("--seed", "1"))):
        out = tmp_path / f"{name}.csv"
        wanted = ("--vary", "R1 set = 50 to 300 bar", "--vary", "TH1 flow = 5, 9 L/min",
                  "--random", "40", "--result", "R1 flow", "--step", "warm", *more)  # fmt: skip
        assert circuitcheck("sweep", circuit, *wanted, "-o", out).status == 0
        made[name] = [(row["R1 set [bar]"], row["TH1 flow [L/min]"]) for row in rows(out)]
    assert made["a"] == made["b"] != made["c"]
    sets = np.array([float(bar) for bar, _ in made["a"]])
    assert 50 <= sets.min() < 100 < 250 < sets.max() <= 300
    assert {flow for _, flow in made["a"]} == {"5", "9"}


def test_what_is_not_solved_is_empty_counted_and_in_the_status(
    circuitcheck: Run, circuit: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from circuitcheck.solver import work

    true = work._remarks

    def some(settled: Any) -> Any:
        found = true(settled)
        found["not-solved"] = found["not-solved"].copy()
        found["not-solved"][:2] = True
        return found

    monkeypatch.setattr(work, "_remarks", some)
    out = tmp_path / "out.csv"
    answer = circuitcheck("sweep", circuit, *WANTED, "-o", out)
    assert answer.status == 3
    assert "2 rows: no steady point found (not-solved)" in answer.out
    bad = [row for row in rows(out) if row["solved"] == "false"]
    assert len(bad) == 2
    assert {row["P1 P pressure [bar]"] for row in bad} == {""}
    assert {row["remarks"] for row in bad} == {"not-solved"}


def test_words_that_a_spreadsheet_would_run_are_written_as_text() -> None:
    from circuitcheck.sweeps.csv_form import encode
    from circuitcheck.sweeps.table import Table

    table = Table({"=1+1": ["@x", 'a,"b'], "n": np.array([-1.5, np.nan])}, {})
    assert encode(table).decode() == '\'=1+1,n\n\'@x,-1.5\n"a,""b",\n'


def test_parquet_has_types(circuitcheck: Run, circuit: Path, tmp_path: Path) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    out = tmp_path / "out.parquet"
    assert circuitcheck("sweep", circuit, *WANTED, "-o", out, "--chunk", "40").status == 0
    table = parquet.read_table(out)
    assert table.num_rows == 180
    assert str(table.schema.field("P1 P pressure [bar]").type) == "double"
    assert str(table.schema.field("solved").type) == "bool"


TEXT = (
    THROTTLE_STAND
    + """variations "where does it open?"
  vary R1 set from 100 bar to 160 bar, 4 points
  vary TH1 flow 5 or 40 L/min
  show P1 P pressure, R1 flow, in warm
variations "any setting", 40 latin hypercube
  vary R1 set from 100 bar to 160 bar
"""
)


def test_the_chapters_of_the_text_are_worked_through(
    circuitcheck: Run, circuit: Path, tmp_path: Path
) -> None:
    circuit.write_text(TEXT, encoding="utf-8")
    answer = circuitcheck("sweep", circuit)
    assert answer.status == 0, answer.err
    told = answer.out
    assert max(map(len, told.splitlines())) <= 80
    assert told.index("where does it open?") < told.index("any setting")
    assert "8 variations, grid" in told
    assert "40 variations, latin hypercube" in told
    first = told[: told.index("any setting")]
    assert "Step warm" in first
    assert "Step cold" not in first
    # the smallest opening at the highest setting: all but 5 L/min x sqrt(160/100) over R1
    row = next(line.split() for line in first.splitlines() if line.split()[:2] == ["7", "160"])
    point = load_with(circuit, "160 bar", "5 L/min").point("warm")
    assert float(row[3]) == pytest.approx(point["P1"].ports["P"].pressure / 1e5, rel=5e-3)
    assert float(row[4]) == pytest.approx(point["R1"].values["flow"] * 6e4, rel=5e-3)


def load_with(file: Path, setting: str, flow: str) -> Any:
    text = THROTTLE_STAND.replace("160 bar", setting).replace("20 L/min", flow)
    file.write_text(text, encoding="utf-8")
    return load(file)


def test_the_screen_shows_few_rows_and_the_range_of_all(circuitcheck: Run, circuit: Path) -> None:
    answer = circuitcheck("sweep", circuit, "--vary", "R1 set = 50 to 300 bar, 101 points",
                          "--step", "warm", "--rows", "6", "--result", "P1 P pressure")  # fmt: skip
    assert answer.status == 0
    told = " ".join(answer.out.split())
    assert "95 variations between them are not shown; -o FILE.csv writes all" in told
    row = next(x for x in answer.out.splitlines() if x.strip().startswith("P1 P pressure  warm"))
    low, first, mean, high, last = (float(x) for x in row.split()[4:9])
    assert first == 1
    assert 24 < last <= 101  # from there on the relief stays shut
    assert low < mean < high


def test_one_chapter_of_the_text_goes_into_a_file(
    circuitcheck: Run, circuit: Path, tmp_path: Path
) -> None:
    circuit.write_text(TEXT, encoding="utf-8")
    out = tmp_path / "out.csv"
    answer = circuitcheck("sweep", circuit, "-o", out)
    assert answer.status == 2
    assert "--question 1" in answer.err
    assert circuitcheck("sweep", circuit, "-o", out, "--question", "1").status == 0
    table = rows(out)
    assert len(table) == 8
    assert list(table[0])[:6] == ["variation", "step", "R1 set [bar]", "TH1 flow [L/min]",
                                  "P1 P pressure [bar]", "R1 flow [L/min]"]  # fmt: skip
    assert circuitcheck("sweep", circuit, "-o", out, "--question", "3").status == 2


def test_a_latin_hypercube_takes_each_slice_once_and_again_by_its_seed(
    circuitcheck: Run, circuit: Path, tmp_path: Path
) -> None:
    found = {}
    for name, seed in (("a", 1), ("b", 1), ("c", 2)):
        out = tmp_path / f"{name}.csv"
        command = (
            "sweep",
            circuit,
            "--vary",
            "R1 set = 100 to 300 bar",
            "--vary",
            "TH1 flow = 5 to 20 L/min",
            "--latin",
            "50",
            "--seed",
            seed,
            "--chunk",
            "17",
        )
        assert circuitcheck(*map(str, command), "-o", out, "--step", "warm").status == 0
        found[name] = rows(out)
    assert found["a"] == found["b"] != found["c"]
    for head, low, high in (("R1 set [bar]", 100, 300), ("TH1 flow [L/min]", 5, 20)):
        shares = (np.array([float(row[head]) for row in found["a"]]) - low) / (high - low)
        assert sorted(np.floor(shares * 50).astype(int)) == list(range(50))


BAD = [
    (("--vary", "R1 set = 5 bar", "--grid", "--latin", "9"), "not two"),
    (("--vary", "R9 set = 5 bar"), "did you mean R1?"),
    (("--vary", "R1 set"), "gives no figure and its values"),
    (("--vary", "R1 set = 5 bars"), "did you mean 'bar'?"),
    (("--vary", "R1 set = 50 to 300 bar"), "how many points"),
    (("--vary", "R1 set = 5 bar", "--vary", "R1 set = 6 bar"), "varied twice"),
    (("--vary", "R1 set = 5 bar", "--step", "wram"), "did you mean 'warm'?"),
    (("--vary", "R1 set = 5 bar", "--result", "heet"), "there is no part or line heet"),
    (("--vary", "R1 cracks = 50 to 200 bar, 5 points"), "cracks at"),
    ((), "nothing is to be varied"),
]


@pytest.mark.parametrize(("words", "said"), BAD)
def test_bad_input_is_said_in_words(
    circuitcheck: Run, circuit: Path, tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    out = tmp_path / "out.csv"
    answer = circuitcheck("sweep", circuit, *words, "--result", "R1 flow", "-o", out)
    assert answer.status == 2
    assert said in " ".join(answer.err.split())
    assert "Traceback" not in answer.err
    assert not out.exists()
    assert not (tmp_path / "out.csv.parts").exists()


def test_bad_targets_and_circuits_are_said_in_words(
    circuitcheck: Run, circuit: Path, broken: Path, tmp_path: Path
) -> None:
    for out, said in (("x.xlsx", ".csv or .parquet"), ("no/x.csv", "there is no folder")):
        answer = circuitcheck("sweep", circuit, *WANTED, "-o", tmp_path / out)
        assert answer.status == 2
        assert said in answer.err
    answer = circuitcheck("sweep", broken, *WANTED, "-o", tmp_path / "x.csv")
    assert answer.status == 2
    assert "did you mean 'bar'?" in answer.err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["broken.hyc", "stand.hyc"]


def test_a_disk_that_is_full_is_said(
    circuitcheck: Run, circuit: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(run_module.Store, "put", full)
    answer = circuitcheck("sweep", circuit, *WANTED, "-o", tmp_path / "x.csv")
    assert answer.status == 2
    assert "no space left on device" in answer.err


def test_rows_without_a_steady_point_name_the_parts(circuitcheck: Run, tmp_path: Path) -> None:
    """Two pumps without slip push a rod that stands at its stop."""
    file, out = tmp_path / "two.hyc", tmp_path / "two.csv"
    file.write_text(
        'circuit "two"\nparts\n  T1 tank\n'
        "  P1 and P2 pump, fixed, 10 cc/rev, 1450 rpm, volumetric 100 %\n"
        "  C1 cylinder, single acting, bore 50 mm, stroke 100 mm\n"
        "lines\n  from T1 to P1 S and P2 S\n  from P1 P and P2 P to C1 cap\n"
        "cycle\n  step go, C1 load 1 kN\n  step stop, C1 at end stop\n",
        encoding="utf-8",
    )
    vary = ("--vary", "C1 bore = 40, 50 mm", "--result", "C1 speed")
    circuitcheck("sweep", file, *vary, "-o", out)
    table = rows(out)
    assert [row["remarks"] for row in table if row["step"] == "stop"] == [
        "no-steady-point:P1,P2"
    ] * 2
    assert [row["remarks"] for row in table if row["step"] == "go"] == ["", ""]
