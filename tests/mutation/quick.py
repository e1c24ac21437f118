"""Plugin of pytest for mutation runs: nothing is remembered, no failing example made smaller."""

from __future__ import annotations

import os
import sys

import pytest
from hypothesis import Phase, settings

ROOMS = (
    *(f"circuitcheck.{room}." for room in ("laws", "components", "rules", "solver")),
    "tests.",
    "test_",
)
"""Modules whose functions forget, by the start of their names; those of tests have two forms."""


def forget() -> None:
    """Empty what functions of the rooms remember."""
    for name, module in list(sys.modules.items()):
        if name.startswith(ROOMS):
            for kept in vars(module).values():
                if hasattr(kept, "cache_clear"):
                    kept.cache_clear()


@pytest.hookimpl(trylast=True)
def pytest_configure(config: pytest.Config) -> None:
    """Forget what functions keep, and let hypothesis stop at the first failure.

    mutmut forks every mutant from a process that has run all tests: without this a mutant of
    a function whose answers are kept (``lru_cache``) would never be called. One failing
    example kills a mutant; shrinking it would take most of the run.
    """
    forget()
    settings.register_profile(
        "mutation", settings.get_profile("project"), phases=[Phase.explicit, Phase.generate]
    )
    settings.load_profile("mutation")


def pytest_runtest_setup() -> None:
    """Forget before every test while mutmut notes which test calls which functions.

    Of tests that share a solved circuit it would know only the first.
    """
    if os.environ.get("MUTANT_UNDER_TEST") == "stats":
        forget()
