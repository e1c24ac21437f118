"""The package as others get it: built, installed into an empty environment, run elsewhere."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tarfile
import venv
import zipfile
from pathlib import Path

import pytest

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("packaging")]

SHIPPED = ("grammar", "shared", "examples")
LOOKUP = (
    "from circuitcheck.basics.folders import folder;"
    "from circuitcheck.fluid.oil import Oil;"
    "print(*[folder(name) for name in ('grammar', 'shared', 'examples')], sep='\\n');"
    "Oil.of_grade(46)"
)


def run(*command: str | Path, cwd: Path) -> str:
    """Run a command away from the checkout, without the environment of the tests."""
    clean = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "VIRTUAL_ENV"))}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        capture_output=True,
        text=True,
        check=False,
        env=clean,
        timeout=600,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory, project: Path) -> Path:
    """A copy of what belongs to the project, so that builds leave no traces in it."""
    target = tmp_path_factory.mktemp("source") / "circuitcheck"
    target.mkdir()
    for name in ("circuitcheck", *SHIPPED, "tests"):
        shutil.copytree(project / name, target / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(project / name, target / name)
    return target


@pytest.fixture(scope="module")
def built(copy: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Source archive, and a wheel that was made from that archive."""
    out = tmp_path_factory.mktemp("dist")
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", out, copy, cwd=out)
    return next(out.glob("*.tar.gz")), next(out.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(built: tuple[Path, Path], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder of the programs of an environment into which the wheel was installed."""
    return _environment(tmp_path_factory.mktemp("wheel"), str(built[1]))


def _environment(where: Path, *what: str) -> Path:
    venv.create(where / "venv", with_pip=True)
    programs = where / "venv" / ("Scripts" if os.name == "nt" else "bin")
    run(programs / "python", "-m", "pip", "install", "--quiet", *what, cwd=where)
    return programs


def test_archives_carry_the_folders_and_no_litter(built: tuple[Path, Path]) -> None:
    archive, wheel = built
    with zipfile.ZipFile(wheel) as opened:
        inside = opened.namelist()
    with tarfile.open(archive) as opened_archive:
        source = [name.partition("/")[2] for name in opened_archive.getnames()]
    for name in SHIPPED:
        assert any(entry.startswith(f"circuitcheck/{name}/") for entry in inside), name
        assert any(entry.startswith(f"{name}/") for entry in source), name
    assert "circuitcheck/py.typed" in inside
    assert "circuitcheck/shared/limits/limits.toml" in inside
    assert not [entry for entry in inside if "tests/" in entry or entry.endswith(".pyc")]
    assert any(entry.startswith("tests/") for entry in source)


def test_a_second_build_elsewhere_is_the_same_to_the_byte(
    built: tuple[Path, Path], copy: Path, tmp_path: Path
) -> None:
    again = tmp_path / "another folder" / "circuitcheck"
    shutil.copytree(copy, again)
    for entry in again.rglob("*"):
        os.utime(entry, (86400, 86400))
    out = tmp_path / "dist"
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", out, again, cwd=tmp_path)
    for archive in built:
        assert (out / archive.name).read_bytes() == archive.read_bytes(), archive.name


def test_the_installed_package_finds_its_folders_inside_itself(
    installed: Path, tmp_path: Path
) -> None:
    places = run(installed / "python", "-c", LOOKUP, cwd=tmp_path).split()
    assert len(places) == len(SHIPPED)
    assert all("site-packages" in place for place in places)


def test_the_installed_program_runs_from_another_folder(installed: Path, tmp_path: Path) -> None:
    assert "0.1.0" in run(installed / "circuitcheck", "--version", cwd=tmp_path)
    assert "0.1.0" in run(installed / "python", "-m", "circuitcheck", "--version", cwd=tmp_path)


def test_report_without_a_file_takes_the_circuit_that_is_built_in(
    installed: Path, tmp_path: Path
) -> None:
    text = run(installed / "circuitcheck", "report", cwd=tmp_path)
    for unit in ("bar", "L/min", "kW"):
        assert unit in text


def test_an_editable_install_uses_the_checkout(copy: Path, tmp_path: Path) -> None:
    programs = _environment(tmp_path, "--no-deps", "--editable", str(copy))
    code = LOOKUP.split(";")[0] + ";print(folder('shared'))"
    assert run(programs / "python", "-c", code, cwd=tmp_path).strip() == str(copy / "shared")
