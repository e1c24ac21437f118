"""The command `python -m circuitcheck.benchmark`: runs the parts and prints their tables."""

from __future__ import annotations

import os
import platform
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import click

from circuitcheck.benchmark import bandwidth, electrical, networks, ours, peers, tables
from circuitcheck.benchmark.cases import BENCHES, Bench
from circuitcheck.benchmark.measuring import Measured, in_child

PARTS = ("ten", "thirty", "grid", "ladder", "factors")

SIZES, SMALL = (1000, 10_000, 50_000), (100, 400)

COUNTS = {
    "cold": {"ours": 10_000, "one": 50, "sparse": 200, "scipy": 100, "casadi": 500, "ngspice": 10},
    "sweep": {"ours": 10_000, "one": 50, "scipy": 300, "casadi": 10_000, "ngspice": 2000},
}
"""States that each way is given, so that each takes some seconds."""

FEW = {"cold": dict.fromkeys(COUNTS["cold"], 3), "sweep": dict.fromkeys(COUNTS["sweep"], 40)}

Way = tuple[str, Callable[..., Measured], int]


@click.command()
@click.argument("parts", nargs=-1, type=click.Choice(PARTS))
@click.option("--quick", is_flag=True, help="Few states and small networks: to see that it runs.")
@click.option("--patience", default=300.0, show_default=True, help="Longest time of one way [s].")
def main(parts: tuple[str, ...], quick: bool, patience: float) -> None:
    """Measure peers and this program side by side on the same circuits.

    PARTS are those to run, all if none is named. Every way runs in a process of its own, on
    one core, and is given processor time, not the time on the clock. Ratios say how many
    times slower a way is than ours with all states together (networks: than ours).
    """
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ[name] = "1"  # for the processes that do the work
    click.echo(f"{platform.machine()}, {_processor()}, {os.cpu_count()} cores, {date.today()}\n")
    wanted = parts or PARTS
    for bench in BENCHES:
        if bench.word in wanted:
            for task in ("cold", "sweep"):
                _states(bench, task, (FEW if quick else COUNTS)[task], patience)
    for word in networks.NETWORKS:
        if word in wanted:
            _networks(word, SMALL if quick else SIZES, patience)
    if "factors" in wanted:
        for bench in BENCHES:
            row = _measured("factorisation", bandwidth.factorisation, (bench,), patience)
            _title(f"Factorisation, {bench.title}: {tables.figure(row.seconds * 1e6)} us a state")
            click.echo(tables.figures(row.more) if row.more else row.trouble)


def _ways(task: str, counts: dict[str, int]) -> Iterator[Way]:
    yield "ours, batched", ours.batched, counts["ours"]
    yield "project.vary, first", ours.varied, counts["ours"]
    yield "project.vary, again", ours.varied_again, counts["ours"]
    yield "ours, one by one", ours.single, counts["one"]
    if task == "cold":
        yield "ours, sparse factors", ours.sparse, counts["sparse"]
    yield "scipy, by hand", peers.by_scipy, counts["scipy"]
    if peers.casadi_is_here():
        yield "CasADi, by hand", peers.by_casadi, counts["casadi"]
    if electrical.program():
        yield "ngspice", electrical.by_simulator, counts["ngspice"]


def _states(bench: Bench, task: str, counts: dict[str, int], patience: float) -> None:
    rows = [
        _measured(way, work, (bench, task, count), patience)
        for way, work, count in _ways(task, counts)
    ]
    unknowns = tables.figure(rows[0].more.get("unknowns"))
    of = "cold random states" if task == "cold" else f"sweep of {counts['ours']:,} states"
    _title(f"{bench.title.capitalize()}, {unknowns} unknowns: {of}")
    click.echo(tables.states(rows))


def _networks(word: str, sizes: tuple[int, ...], patience: float) -> None:
    rows: list[tuple[int, Measured]] = []
    lost: set[str] = set()
    for n in sizes:
        ways: list[tuple[str, Callable[..., Measured]]] = [("ours, sparse", networks.ours)]
        if peers.casadi_is_here():
            ways.append(("CasADi", networks.by_casadi))
        if n <= sizes[0]:
            ways.append(("scipy krylov", networks.by_scipy))
            if electrical.program():
                ways.append(("ngspice", networks.by_simulator))
        for way, work in ways:
            if way not in lost:
                row = _measured(way, work, (word, n), patience)
                lost |= {way} if row.trouble else set()
                rows.append((n, row))
    _title(f"A {word} of junctions")
    click.echo(tables.network(rows))
    click.echo(f"\nTime grows with unknowns to the power of {tables.figure(tables.growth(rows))}.")
    row = _measured("agreement", networks.both_ways, (word, 100, 30), patience)
    click.echo(f"Sparse and batched factors give the same within {tables.figure(row.apart)} bar.")


def _measured(
    way: str, work: Callable[..., Measured], arguments: tuple[Any, ...], patience: float
) -> Measured:
    """Run one way; what goes wrong in it becomes part of the table."""
    try:
        found: Measured = in_child(work, arguments, patience)
    except (TimeoutError, RuntimeError) as trouble:
        return Measured(way, trouble=str(trouble))
    return found


def _processor() -> str:
    """Name of the processor where the system tells it."""
    try:
        told = Path("/proc/cpuinfo").read_text("utf-8").splitlines()
        names = [line.split(":", 1)[1].strip() for line in told if line.startswith("model n")]
    except OSError:
        names = []
    return names[0] if names else platform.processor() or "processor unknown"


def _title(text: str) -> None:
    click.echo(f"\n## {text}\n")


if __name__ == "__main__":
    main()
