"""A check of a small file starts quickly: what is slow to load is loaded where it is used."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.scale.start import CHECK, LIBRARIES, MOST, measured

LIFT = Path("examples/lift.hyc")
UNUSED = ("networkx", "pint", "svgwrite", "jinja2", "scipy.optimize", "scipy.interpolate")
"""Libraries that a check of an oil circuit without gas does without."""


def test_check_loads_no_library_that_it_does_not_use() -> None:
    code = (
        "import sys\nfrom circuitcheck.cli import main\n"
        f"try:\n    main(['check', {str(LIFT)!r}])\n"
        f"finally:\n    print([m for m in {UNUSED} if m in sys.modules], file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stderr.decode().split("\n")[0] == "[]"


def test_check_costs_little_more_than_its_core_libraries() -> None:
    found = measured(LIFT, 3, [LIBRARIES])
    assert found[CHECK] < MOST * found[LIBRARIES], found


@pytest.mark.parametrize("seed", ["1", "2"])
def test_the_kept_parser_serves_every_start(seed: str, tmp_path: Path) -> None:
    environment = os.environ | {"XDG_CACHE_HOME": str(tmp_path)}
    said = [sys.executable, "-m", "circuitcheck", "check", str(LIFT)]
    file = tmp_path / "circuitcheck" / "parser.tables"
    subprocess.run(said, env=environment, capture_output=True, check=True)
    written = file.stat().st_mtime_ns
    subprocess.run(
        said, env=environment | {"PYTHONHASHSEED": seed}, capture_output=True, check=True
    )
    assert file.stat().st_mtime_ns == written
