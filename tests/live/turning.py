"""How long a turn of a slider takes in all examples: ``python -m tests.live.turning``.

Printed is processor time [ms] of all that the server does for one turn: read the text, solve
all steps from the answer before, write the figures; and the largest difference of a result
from the answer in full.
"""

from __future__ import annotations

import json
import math
import time
from pathlib import Path
from typing import Any

from circuitcheck.live import jobs

EXAMPLES = Path(__file__).parents[2] / "examples"
TURNS = 6


def asked(file: Path, text: str, step: str = "", **more: Any) -> dict[str, Any]:
    """Give a question as the page asks it."""
    return {"file": str(file), "text": text, "tab": file.name, "step": step, "result": "",
            "curve": "", "positions": False, "colours": False, "sheet": 0, **more}  # fmt: skip


def put(text: str, place: list[int], figure: str) -> str:
    """Give a text with another figure at a place."""
    lines = text.split("\n")
    line, start, _, end = place
    lines[line] = lines[line][:start] + figure + lines[line][end:]
    return "\n".join(lines)


def turned(file: Path, knob: dict[str, Any], share: float) -> str:
    """Give the text of a circuit with one figure turned by a share."""
    value = f"{knob['value'] * (1.0 + share):.6g}"
    return put(file.read_text(encoding="utf-8"), knob["place"], value)


def knobs_of(file: Path) -> list[dict[str, Any]]:
    """Give the figures of a circuit that shape what is solved: those of its parts."""
    found = jobs.look(asked(file, file.read_text(encoding="utf-8")))
    return [k for k in found["knobs"] if k["part"] and k["unit"] and k["value"]]


def measured(file: Path, knob: dict[str, Any], turns: int = TURNS) -> list[float]:
    """Turn a figure a few times; give processor times [s] of the turns behind the first."""
    jobs.trial(asked(file, file.read_text(encoding="utf-8")))
    times = []
    for turn in range(1, turns + 1):
        text = turned(file, knob, 0.004 * turn)
        start = time.process_time()
        answer = jobs.trial(asked(file, text))
        json.dumps(answer)
        times.append(time.process_time() - start)
    return times


def difference(file: Path, text: str) -> float:
    """Give by how much the quick answer differs from that in full: largest share of a figure."""
    quick = jobs.trial(asked(file, text))
    whole = jobs.point(asked(file, text))
    if quick is None or whole is None:
        return 0.0 if quick is whole else math.inf
    worst = 0.0
    for name, part in whole["parts"].items():
        if quick["parts"][name]["state"] != part["state"]:
            return math.inf
        others = dict(quick["parts"][name]["values"])
        for what, figure in part["values"]:
            worst = max(worst, _off(figure, others[what]))
    return worst


def _off(one: str, other: str) -> float:
    """Compare two figures as they are shown."""
    if one == other:
        return 0.0
    if "not known" in (one, other):
        return math.inf
    a, b = (float(text.split()[0]) for text in (one, other))
    return abs(a - b) / max(abs(a), abs(b))


def main() -> None:
    """Print a row for each example."""
    print(f"{'example':24} {'figure':24} {'mean':>6} {'worst':>6} {'off':>9}")
    for file in sorted(EXAMPLES.glob("*.hyc")):
        knobs = knobs_of(file)
        for knob in (knobs[len(knobs) // 4], knobs[len(knobs) // 2]):
            times = [1e3 * one for one in measured(file, knob)]
            off = difference(file, turned(file, knob, 0.02))
            print(f"{file.stem:24} {knob['name'][:24]:24} {sum(times) / len(times):6.0f} "
                  f"{max(times):6.0f} {off:9.1e}", flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
