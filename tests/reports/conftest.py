"""Examples that several tests of the reports look at, solved once."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck.pipeline import Project, load, parse

SMALL = '''\
circuit "Test"
parts
  T1  tank, 60 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 210 bar, 60 L/min
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
'''


@pytest.fixture(scope="session")
def press(project: Path) -> Project:
    """The press of the examples."""
    return load(project / "examples" / "press.hyc")


@pytest.fixture(scope="session")
def wrong(project: Path) -> Project:
    """The example that is wrong on purpose."""
    return load(project / "examples" / "wrong.hyc")


@pytest.fixture(scope="session")
def splitter(project: Path) -> Project:
    """The example in inches and pounds."""
    return load(project / "examples" / "splitter.hyc")


@pytest.fixture
def small() -> Project:
    """A pump that delivers over its relief valve; the shortest circuit that is solved."""
    return parse(SMALL, "small.hyc")


@pytest.fixture
def broken() -> Project:
    """A text with one mistake."""
    return parse(SMALL.replace("210 bar", "210 bars"), "broken.hyc")
