"""The locks of the tests: newest versions for every run, lowest ones that pyproject.toml admits.

`python -m tests.packaging.lock` makes both anew (needs `uv` on the path); `tests/run` installs
the first, `tests/run --minimum` the second. Every file is named with its digests, so that what
is installed is what was tested.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from collections.abc import Iterable
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
NEWEST = HERE / "lock.txt"
LOWEST = HERE / "lock-minimum.txt"
PIN = re.compile(r"^(?P<name>[A-Za-z0-9._-]+)==(?P<version>[^ ;\\]+)", re.MULTILINE)


def normal(name: str) -> str:
    """A distribution's name as the index compares it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def pinned(lock: Path) -> dict[str, list[str]]:
    """Versions by name; two where they differ from one Python or system to another."""
    found: dict[str, list[str]] = {}
    for pin in PIN.finditer(lock.read_text(encoding="utf-8")):
        found.setdefault(normal(pin["name"]), []).append(pin["version"])
    return found


def make(lock: Path, resolution: str, extras: Iterable[str]) -> None:
    """Resolve anew for every system and Python the package admits."""
    subprocess.run(
        [
            "uv",
            "pip",
            "compile",
            "pyproject.toml",
            "--universal",
            "--quiet",
            "--upgrade",
            "--generate-hashes",
            "--no-emit-index-url",
            "--no-header",
            "--no-annotate",
            "--resolution",
            resolution,
            "--output-file",
            str(lock),
            *(f"--extra={extra}" for extra in extras),
        ],
        cwd=ROOT,
        check=True,
        stdout=subprocess.DEVNULL,
    )


def main() -> None:
    about = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = list(about["optional-dependencies"])
    make(NEWEST, "highest", extras)
    # what reads the code and never runs it wants newer packages than the package itself does
    make(LOWEST, "lowest-direct", [extra for extra in extras if extra != "lint"])
    for lock in (NEWEST, LOWEST):
        sys.stdout.write(f"{lock.relative_to(ROOT)}: {len(pinned(lock))} packages\n")


if __name__ == "__main__":
    main()
