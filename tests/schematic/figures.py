"""Prints the figures of every drawing: python -m tests.schematic.figures [name ...]

Crossings, bends, length of lines [M], size [M], score (smaller is better) and processor time [s]
of every example, of the neutral cases kept here and of banks and machines made to order; names
choose among them, and a name that ends in .json is a file with a neutral case.
"""

from __future__ import annotations

import json
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
from tests.schematic.banks import BANKS
from tests.schematic.large import LARGE

CASES = ("pump_station", "regenerative", "parallel_ls")


def netlists(names: list[str]) -> Iterable[tuple[str, Netlist]]:
    for file in sorted(Path(folder("examples")).glob("*.hyc")):
        if not names or file.stem in names:
            yield file.stem, from_circuit(pipeline.open_file(file).circuit)
    cases = {case: neutral.load(case) for case in CASES} | BANKS | LARGE
    for name, case in cases.items():
        if not names or name in names:
            yield name, neutral.to_netlist(case)
    for name in (name for name in names if name.endswith(".json")):
        case = json.loads(Path(name).read_text(encoding="utf-8"))
        yield case["name"], neutral.to_netlist(case)


def main(names: list[str]) -> None:
    print(
        f"{'':24}{'parts':>6}{'cross':>6}{'bends':>6}{'length':>7}{'size':>10}{'score':>7}{'s':>6}"
    )
    for name, netlist in netlists(names):
        began = time.process_time()
        layout = draw(netlist, name).layout
        took = time.process_time() - began
        wires = wires_of(layout)
        x0, y0, x1, y1 = layout.extent()
        size = f"{x1 - x0:.0f}x{y1 - y0:.0f}"
        print(
            f"{name:24}{len(netlist.items):6}{crossings(wires):6}{bends(wires):6}"
            f"{length(wires):7.0f}{size:>10}{score_of(layout):7.1f}{took:6.2f}"
        )


if __name__ == "__main__":
    main(sys.argv[1:])
