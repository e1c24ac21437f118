"""What is installed: pinned, within what pyproject.toml admits, and with a known licence."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.version import Version

from tests.packaging.licences import core, licence
from tests.packaging.lock import LOWEST, NEWEST, normal, pinned


def wanted(project: Path, lock: Path) -> list[Requirement]:
    """What pyproject.toml asks for; of the lowest lock without what only reads the code."""
    about = tomllib.loads((project / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = list(about["dependencies"])
    for extra, needs in about["optional-dependencies"].items():
        if lock == NEWEST or extra != "lint":
            lines += needs
    return [Requirement(line) for line in lines]


@pytest.mark.parametrize("lock", [NEWEST, LOWEST], ids=lambda lock: lock.stem)
def test_the_lock_pins_every_requirement_within_its_bounds(project: Path, lock: Path) -> None:
    pins = pinned(lock)
    for need in wanted(project, lock):
        versions = pins.get(normal(need.name))
        assert versions, f"{need.name} is not pinned: python -m tests.packaging.lock"
        assert all(need.specifier.contains(v, prereleases=True) for v in versions), need


def test_every_lowest_version_is_one_that_the_lowest_lock_tries(project: Path) -> None:
    pins = pinned(LOWEST)
    for need in wanted(project, LOWEST):
        bounds = [Version(part.version) for part in need.specifier if part.operator == ">="]
        assert len(bounds) == 1, f"{need} names no lowest version"
        lowest = min(Version(v) for v in pins[normal(need.name)])
        assert lowest.release[: len(bounds[0].release)] == bounds[0].release, (
            f"{need}: the lowest to be had is {lowest}"
        )


@pytest.mark.parametrize("lock", [NEWEST, LOWEST], ids=lambda lock: lock.stem)
def test_every_pin_bears_digests_and_no_address(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    assert "://" not in text
    for entry in text.replace("\\\n", " ").splitlines():
        if entry.strip() and not entry.lstrip().startswith("#"):
            assert "--hash=sha256:" in entry, entry[:60]


def test_every_pinned_package_has_a_licence_on_the_page(project: Path) -> None:
    page = (project / "shared/reference/licences.md").read_text(encoding="utf-8")
    rows = dict(
        (cell.strip() for cell in line.strip("| ").split("|"))
        for line in page.splitlines()
        if line.startswith("| ") and not line.startswith("| package")
    )
    assert set(rows) == set(pinned(NEWEST)), "python -m tests.packaging.licences"
    assert "not declared" not in rows.values()


def test_no_user_is_bound_by_a_licence_that_binds_what_links_it() -> None:
    needed = core()
    assert {"numpy", "scipy", "lark", "networkx", "pint", "svgwrite", "click"} <= needed
    for name in needed:
        assert "GPL" not in (licence(name) or ""), name
