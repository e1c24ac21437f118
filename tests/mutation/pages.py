"""Try mutants of rules on the pages of all rules: python -m tests.mutation.pages $(cat names).

A mutant of a rule changes neither language nor circuit nor solver, so every page is read and
solved once. Each mutant has the rules run on all of them in a process of its own, on the pages of
its own rules first; where no page fails, the tests beside the pages are run. What it comes to is
kept where mutmut keeps it, for `tests.mutation.summary`.
"""

from __future__ import annotations

import json
import os
import random
import resource
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.mutation import quick
from tests.mutation.found import MUTANTS

sys.path.insert(0, str(MUTANTS.resolve()))  # the package as mutmut has made it, the tests as here

from circuitcheck import rules
from circuitcheck.circuit import Circuit
from circuitcheck.solver.operating import Solution

sys.path.pop(0)

ROOM = Path("tests/rules")
SLOW = ("test_mutants.py", "test_limits.py")
"""Tests beside the pages that take long: whole examples, spoilt; thresholds one by one."""

SECONDS = 90
"""Processor time that a mutant may take."""

ARGUMENTS = ("-x", "-q", "--tb=no", "-p", "no:cacheprovider", "-p", "tests.mutation.quick")

Solved = tuple[pytest.Item, Circuit, Solution | None]


class Collected:
    """Plugin of pytest that keeps the blocks of the pages."""

    def __init__(self) -> None:
        self.items: list[pytest.Item] = []

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        self.items = list(session.items)


def pages() -> list[Solved]:
    """Every block of every page, read and solved, in an order by lot."""
    kept = Collected()
    files = [str(file) for file in sorted(ROOM.glob("*.md"))]
    pytest.main(["--collect-only", "-qq", *ARGUMENTS[2:], *files], plugins=[kept])
    random.Random(1).shuffle(kept.items)
    return [(item, *item.solved()) for item in kept.items]  # type: ignore[attr-defined]


def beside() -> list[str]:
    """The tests of the room that are no pages, but for the slow ones."""
    files = sorted(ROOM.glob("test_*.py"))
    return [str(file) for file in files if file.name not in SLOW]


def own(name: str) -> set[str]:
    """Slugs of the rules in the module of a mutant."""
    module = name.split(".x", 1)[0]
    return {slug for slug, rule in rules.catalogue().items() if rule.check.__module__ == module}


def fate(name: str, solved: Sequence[Solved]) -> int:
    """Try a mutant in this process: 1 where a test fails, else 0."""
    first = own(name)
    os.environ["MUTANT_UNDER_TEST"] = name
    quick.forget()
    try:
        for item, made, solution in sorted(solved, key=lambda one: one[0].slug not in first):  # type: ignore[attr-defined]
            item.judge(rules.check_all(made, solution))  # type: ignore[attr-defined]
    except Exception:  # noqa: BLE001 - whatever a mutant raises kills it
        return 1
    return min(int(pytest.main([*ARGUMENTS, *beside()])), 1)


def tried(name: str, solved: Sequence[Solved]) -> int:
    """Try a mutant in a process of its own; the negative number of a signal that ended it."""
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        os._exit(fate(name, solved))
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def keep(name: str, code: int) -> None:
    """Write down what a mutant came to, beside its module."""
    file = MUTANTS / (name.split(".x", 1)[0].replace(".", "/") + ".py.meta")
    kept = json.loads(file.read_text(encoding="utf-8"))
    kept["exit_code_by_key"][name] = code
    file.write_text(json.dumps(kept, indent=4), encoding="utf-8")


def main(names: Sequence[str]) -> None:
    os.environ["MUTANT_UNDER_TEST"] = ""
    solved = pages()
    if fate("", solved) != 0:  # in this process: what it loads need not be loaded again
        raise SystemExit("the tests fail without a mutant")
    for name in names:
        code = tried(name, solved)
        keep(name, code)
        print(code, name, flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
