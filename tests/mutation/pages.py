"""Tell mutmut to try a mutant of a rule on the rule's own page: python -m tests.mutation.pages.

Every page runs all rules, so by what mutmut counts itself each mutant would be tried on every
page. Written into what it counts is instead: a check is tested by the page of its rule, a
function beside it by the pages of all rules of its module, the files with an underscore by the
tests of the room and a dozen pages drawn by lot.
"""

from __future__ import annotations

import inspect
import json
import random
import subprocess
import sys
from collections import defaultdict
from collections.abc import Mapping

from circuitcheck.rules import catalogue
from tests.mutation.found import MUTANTS, names

SECONDS = 2.0
"""What a test counts for when mutmut reckons how long a mutant may take."""

DOZEN = 12


def listed() -> dict[str, list[str]]:
    """Tests of tests/rules by the stem of their file."""
    command = [sys.executable, "-m", "pytest", "tests/rules", "--collect-only", "-q"]
    told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    found = defaultdict(list)
    for line in told.splitlines():
        if "::" in line:
            found[line.split("::")[0].rsplit("/", 1)[1]].append(line)
    return dict(found)


def tests_of(function: str, tests: Mapping[str, list[str]], own: Mapping[str, str]) -> list[str]:
    """Tests for a function by its full name, as mutmut spells it."""
    module, name = function.rsplit(".", 1)
    check = f"{module}.{name.removeprefix('x_')}"
    if check in own:
        return tests[f"{own[check]}.md"]
    beside = [slug for one, slug in own.items() if one.rsplit(".", 1)[0] == module]
    if beside:
        return [test for slug in beside for test in tests[f"{slug}.md"]]
    pages = sorted(file for file in tests if file.endswith(".md"))
    picked = random.Random(function).sample(pages, DOZEN)
    room = [file for file in tests if file.endswith(".py") and file != "test_limits.py"]
    return [test for file in (*room, *picked) for test in tests[file]]


def main() -> None:
    tests = listed()
    own = {
        f"{inspect.getmodule(rule.check).__name__}.{rule.check.__name__}": slug  # type: ignore[union-attr]
        for slug, rule in catalogue().items()
    }
    functions = sorted({name.rsplit("__mutmut_", 1)[0] for name in names()})
    kept = {
        "tests_by_mangled_function_name": {f: tests_of(f, tests, own) for f in functions},
        "duration_by_test": {test: SECONDS for file in tests.values() for test in file},
        "stats_time": 0.0,
    }
    (MUTANTS / "mutmut-stats.json").write_text(json.dumps(kept), encoding="utf-8")
    print(f"{len(functions)} functions, {len(own)} checks with a page of their own")


if __name__ == "__main__":
    main()
