"""Sweeps over the workers of a real Dask cluster of two processes, one of them killed."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from circuitcheck.pipeline import Project, parse
from circuitcheck.solver.assignment import Wish, assign
from circuitcheck.solver.work import NotVaried
from circuitcheck.sweeps.spread import SpreadError, piece
from tests.press_text import CYLINDER_STAND

distributed = pytest.importorskip("distributed", reason="the extra 'spread' is not installed")

# two worker processes: not beside other tests of this file
pytestmark = pytest.mark.xdist_group("spread")

VALUES = {"R1 set": "60 to 300 bar", "C1 load": "1 to 60 kN"}
WANTED: dict[str, Any] = {"results": ["C1 speed", "P1 P pressure", "heat"], "random": 2000}


@pytest.fixture(scope="module")
def stand() -> Project:
    return parse(CYLINDER_STAND)


@pytest.fixture
def cluster(project: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    """Two worker processes that find this package where the tests find it."""
    monkeypatch.setenv("PYTHONPATH", str(project), prepend=os.pathsep)
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address="127.0.0.1:0",
        host="127.0.0.1", worker_dashboard_address="127.0.0.1:0",
    ) as made:  # fmt: skip
        yield made


def test_spread_chunks_make_the_same_file(stand: Project, cluster: Any, tmp_path: Path) -> None:
    here, there = tmp_path / "here.csv", tmp_path / "there.csv"
    stand.sweep(here, VALUES, chunk=200, **WANTED)
    done: list[int] = []
    swept = stand.sweep(
        there, VALUES, chunk=200, scheduler=cluster.scheduler_address,
        progress=lambda now, of: done.append(now), **WANTED,
    )  # fmt: skip
    assert swept.variations == 2000
    assert done == sorted(done)
    assert done[-1] == 2000
    assert there.read_bytes() == here.read_bytes()


def test_a_killed_worker_loses_nothing_and_doubles_nothing(
    stand: Project, cluster: Any, tmp_path: Path
) -> None:
    here, there = tmp_path / "here.csv", tmp_path / "there.csv"
    stand.sweep(here, VALUES, chunk=50, **WANTED)
    victims = [worker.pid for worker in cluster.workers.values()]
    killed = threading.Event()

    def kill_one(done: int, of: int) -> None:
        if done >= 150 and not killed.is_set():
            killed.set()
            os.kill(victims[0], signal.SIGKILL)

    swept = stand.sweep(
        there, VALUES, chunk=50, scheduler=cluster.scheduler_address, progress=kill_one, **WANTED
    )
    assert killed.is_set()
    assert swept.rows == 4000
    assert there.read_bytes() == here.read_bytes()
    lines = there.read_text("utf-8").splitlines()[1:]
    assert [line.split(",")[0] for line in lines[::2]] == [str(n) for n in range(1, 2001)]


@pytest.fixture
def scheduler(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[tuple[str, subprocess.Popen[bytes]]]:
    """A scheduler that is a process of its own, with one worker; its address."""
    monkeypatch.setenv("PYTHONPATH", str(project), prepend=os.pathsep)
    file = tmp_path / "scheduler.json"
    common = ["--scheduler-file", str(file), "--no-dashboard"]
    begun: list[subprocess.Popen[bytes]] = []

    def begin(name: str, *more: str) -> None:
        command = [sys.executable, "-m", f"distributed.cli.dask_{name}", *common, *more]
        begun.append(subprocess.Popen(command, stderr=subprocess.DEVNULL))

    begin("scheduler", "--host", "127.0.0.1", "--port", "0")
    begin("worker", "--nthreads", "1", "--nworkers", "1")
    try:
        for _ in range(600):
            if file.exists():
                break
            time.sleep(0.1)
        yield json.loads(file.read_text("utf-8"))["address"], begun[0]
    finally:
        for process in begun:
            process.kill()
            process.wait()


def test_a_lost_scheduler_is_said_and_what_came_back_is_kept(
    stand: Project,
    scheduler: tuple[str, subprocess.Popen[bytes]],
    tmp_path: Path,
    capfd: pytest.CaptureFixture[str],
) -> None:
    here, there = tmp_path / "here.csv", tmp_path / "there.csv"
    address, process = scheduler
    kept: list[int] = []

    def kill_it(done: int, of: int) -> None:
        kept.append(done)
        if done >= 150:
            process.kill()

    with pytest.raises(SpreadError, match=f"the scheduler at {address} was lost"):
        stand.sweep(there, VALUES, chunk=50, scheduler=address, progress=kill_it, **WANTED)
    assert not there.exists()
    assert "Traceback" not in capfd.readouterr().err
    again: list[int] = []
    stand.sweep(there, VALUES, chunk=50, progress=lambda now, of: again.append(now), **WANTED)
    assert again[0] >= 150  # it goes on from there, with or without a scheduler
    stand.sweep(here, VALUES, chunk=50, **WANTED)
    assert there.read_bytes() == here.read_bytes()


def test_a_value_that_cannot_be_is_refused_by_a_worker_too(
    stand: Project, cluster: Any, tmp_path: Path
) -> None:
    from circuitcheck.sweeps.run import Sweep
    from circuitcheck.sweeps.spread import spread

    work, _ = assign(stand.circuit, Wish({"C1 rod": "20 to 90 mm, 10 points"}, ["C1 speed"]))
    with pytest.raises(NotVaried, match="not smaller than the bore"):
        list(spread(Sweep(work, ".csv", "metric", 5), [0, 1], cluster.scheduler_address))


def test_a_worker_of_another_version_is_refused() -> None:
    with pytest.raises(SpreadError, match=r"a worker has circuitcheck .*, this is 0\.0\.0"):
        piece(b"", 0, "0.0.0")


def test_no_scheduler_is_said_in_words(
    stand: Project, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("circuitcheck.sweeps.spread.PATIENCE", 1.0)
    with pytest.raises(SpreadError, match="there is no scheduler at"):
        stand.sweep(tmp_path / "x.csv", VALUES, scheduler="tcp://127.0.0.1:9", **WANTED)
    with pytest.raises(SpreadError, match="there is no scheduler at"):
        stand.sweep(tmp_path / "x.csv", VALUES, scheduler="nonsense://", **WANTED)
