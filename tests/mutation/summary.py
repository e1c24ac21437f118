"""Table of a mutation run by module: python -m tests.mutation.summary laws [--survivors]."""

from __future__ import annotations

import argparse
import difflib
import json
import re
from collections import Counter

from tests.mutation.found import MUTANTS, ROOMS, belongs, names

FATES = {0: "survived", 1: "killed", 3: "killed", 5: "no tests", 33: "no tests"}
"""By exit code, as mutmut means them; the codes of signals are runs over the time allowed."""

HEAD = re.compile(r"^(---|\+\+\+) |__mutmut_")
"""Rows of a difference that say nothing of a mutant: names of files and functions."""


def fate(code: int | None) -> str:
    if code is None:
        return "not tried"
    return FATES.get(code, "timeout")


def change(name: str) -> str:
    """What a mutant has changed, the line before and after."""
    module, function = name.rsplit(".", 1)
    file = MUTANTS / (module.replace(".", "/") + ".py")
    lines = file.read_text(encoding="utf-8").splitlines()
    spans = json.loads(file.with_name(file.name + ".spans").read_text(encoding="utf-8"))["spans"]
    (a, b), (c, d) = spans[function.rsplit("__", 1)[0] + "__mutmut_orig"], spans[function]
    rows = difflib.unified_diff(lines[a:b], lines[c:d], n=0, lineterm="")
    return "\n".join(f"  {row}" for row in rows if row[0] in "+-" and not HEAD.search(row))


def tried(room: str) -> dict[str, str]:
    """Fate of every mutant of a room that was tried, by name."""
    return {
        name: fate(code)
        for name, code in names().items()
        if code is not None and belongs(name, room)
    }


def table(fates: dict[str, str]) -> str:
    columns = ("killed", "timeout", "survived", "no tests")
    rows = [f"{'module':<34}{'tried':>7}" + "".join(f"{c:>10}" for c in columns)]
    modules = sorted({name.split(".x", 1)[0] for name in fates})
    for module in (*modules, "all"):
        of = [f for name, f in fates.items() if module in ("all", name.split(".x", 1)[0])]
        label, count = module.removeprefix("circuitcheck."), Counter(of)
        rows.append(f"{label:<34}{len(of):>7}" + "".join(f"{count[c]:>10}" for c in columns))
    dead = sum(f in ("killed", "timeout") for f in fates.values())
    rows.append(f"killed or timed out: {100 * dead / max(len(fates), 1):.1f} % of those tried")
    return "\n".join(rows)


if __name__ == "__main__":
    asked = argparse.ArgumentParser(prog="python -m tests.mutation.summary", description=__doc__)
    asked.add_argument("room", choices=ROOMS)
    asked.add_argument("--survivors", action="store_true", help="print what they change")
    given = asked.parse_args()
    found = tried(given.room)
    print(table(found))
    if given.survivors:
        for name, ended in found.items():
            if ended in ("survived", "no tests"):
                print(f"{name} ({ended})\n{change(name)}")
