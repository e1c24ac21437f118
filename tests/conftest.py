"""What all tests share: tools outside Python that may be missing."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hypothesis import settings

PROJECT = Path(__file__).resolve().parent.parent

# No clock in a test: a loaded machine is not a fault. The same examples at every run.
settings.register_profile("project", deadline=None, derandomize=True)
settings.load_profile("project")


def _tool(name: str, package: str) -> str:
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} is not installed (Debian package {package})")
    return found


@pytest.fixture(scope="session")
def project() -> Path:
    """The folder of the checkout."""
    return PROJECT


@pytest.fixture(scope="session")
def ngspice() -> str:
    """Path of the network simulator, a second opinion for pressures and flows."""
    return _tool("ngspice", "ngspice")


@pytest.fixture(scope="session")
def rsvg_convert() -> str:
    """Path of the SVG renderer."""
    return _tool("rsvg-convert", "librsvg2-bin")
