"""Prints the figures of every drawing: python -m tests.schematic.figures [name ...]

Crossings, bends, length of lines [M], size [M], score (smaller is better) and time [s] of every
example and neutral case; names choose among them.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable
from pathlib import Path

from circuitcheck import pipeline
from circuitcheck.basics.folders import folder
from circuitcheck.schematic import Netlist, draw, from_circuit
from circuitcheck.schematic.check import bends, crossings, length
from circuitcheck.schematic.placing import wires_of
from circuitcheck.schematic.polish import score_of
from tests.schematic import neutral

CASES = ("pump_station", "regenerative", "parallel_ls")


def netlists(names: list[str]) -> Iterable[tuple[str, Netlist]]:
    for file in sorted(Path(folder("examples")).glob("*.hyc")):
        if not names or file.stem in names:
            yield file.stem, from_circuit(pipeline.open_file(file).circuit)
    for case in CASES:
        if not names or case in names:
            yield f"{case} (neutral)", neutral.to_netlist(neutral.load(case))


def main(names: list[str]) -> None:
    print(
        f"{'':24}{'parts':>6}{'cross':>6}{'bends':>6}{'length':>7}{'size':>10}{'score':>7}{'s':>6}"
    )
    for name, netlist in netlists(names):
        began = time.perf_counter()
        layout = draw(netlist, name).layout
        took = time.perf_counter() - began
        wires = wires_of(layout)
        x0, y0, x1, y1 = layout.extent()
        size = f"{x1 - x0:.0f}x{y1 - y0:.0f}"
        print(
            f"{name:24}{len(netlist.items):6}{crossings(wires):6}{bends(wires):6}"
            f"{length(wires):7.0f}{size:>10}{score_of(layout):7.1f}{took:6.2f}"
        )


if __name__ == "__main__":
    main(sys.argv[1:])
