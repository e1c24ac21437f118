"""The rooms of the package: who may import whom, and how a file introduces itself."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parent.parent
FILES = sorted((PROJECT / "circuitcheck").rglob("*.py"))
MOST_LINES = 450


def test_rooms_import_only_rooms_below_them() -> None:
    program = Path(sys.executable).with_name("lint-imports")
    if not program.exists():
        pytest.skip("import-linter is not installed: the lowest versions come without it")
    done = subprocess.run([program], cwd=PROJECT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(PROJECT)))
def test_a_file_says_what_it_is_for_and_stays_small(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    if text.strip():
        assert ast.get_docstring(ast.parse(text)), "the first line must say what the file is for"
    assert len(text.splitlines()) <= MOST_LINES


def test_only_folders_builds_paths_to_shipped_folders() -> None:
    """Another lookup would work in a checkout and fail in a wheel, or the other way round."""
    guilty = [
        str(file.relative_to(PROJECT))
        for file in FILES
        if file.name != "folders.py"
        and re.search(r"__file__|importlib\.resources|open_from_package", file.read_text("utf-8"))
    ]
    assert guilty == []


def test_only_one_module_writes_svg_and_only_quantities_uses_pint() -> None:
    users = {"svgwrite": set[str](), "pint": set[str]()}
    for file in FILES:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            names = (
                [alias.name for alias in node.names]
                if isinstance(node, ast.Import)
                else [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else []
            )
            for library in users:
                if any(name.split(".")[0] == library for name in names):
                    users[library].add(file.name)
    assert users["pint"] == {"quantities.py"}
    assert len(users["svgwrite"]) <= 1


LIGHT = "import sys, {module}; print([name for name in {heavy} if name in sys.modules])"


@pytest.mark.parametrize(
    ("module", "heavy"),
    [
        ("circuitcheck.basics.quantities", ["pint", "numpy", "scipy", "networkx"]),
        ("circuitcheck.fluid.oil", ["pint", "scipy", "networkx"]),
        ("circuitcheck.cli", ["pint", "numpy", "scipy", "networkx"]),
    ],
)
def test_a_light_room_does_not_load_heavy_libraries(module: str, heavy: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LIGHT.format(module=module, heavy=heavy)],
        cwd=PROJECT, capture_output=True, text=True, check=True,
    )
    assert done.stdout.strip() == "[]"
