"""Which licence each pinned package bears, from the metadata of the installed ones.

`python -m tests.packaging.licences > shared/reference/licences.md` makes the page anew.
"""

from __future__ import annotations

import sys
from importlib.metadata import PackageNotFoundError, metadata, requires

from packaging.requirements import Requirement

from tests.packaging.lock import NEWEST, normal, pinned

# Pinned for other systems or other Pythons, so never installed beside the rest.
# From memory, of their own metadata.
ELSEWHERE = {
    "appnope": "BSD-2-Clause",
    "atomicwrites": "MIT",
    "backports-tarfile": "MIT",
    "brotlicffi": "MIT",
    "colorama": "BSD-3-Clause",
    "exceptiongroup": "MIT",
    "importlib-metadata": "Apache-2.0",
    "pywin32": "PSF-2.0",
    "pywinpty": "MIT",
    "tomli": "MIT",
    "typing-extensions": "PSF-2.0",
    "tzdata": "Apache-2.0",
    "zipp": "MIT",
}
# Silent in its metadata; the licence is the file that lies in the package.
IN_A_FILE = {"atheris": "Apache-2.0"}
CORE = "circuitcheck"


def licence(name: str) -> str | None:
    """The licence a package declares; None where it is not installed and not known."""
    try:
        about = metadata(name)
    except PackageNotFoundError:
        return ELSEWHERE.get(name)
    stated = about.get("License-Expression")
    if stated:
        return stated
    classed = [
        line.rpartition(" :: ")[2]
        for line in about.get_all("Classifier") or []
        if line.startswith("License ::") and not line.endswith("OSI Approved")
    ]
    written = (about.get("License") or "").strip()
    if classed:
        return ", ".join(classed)
    first = written.partition("\n")[0].strip()
    return first[:60] or IN_A_FILE.get(name)


def core() -> set[str]:
    """What a user gets who asks for no extra: the dependencies, and what these need."""
    seen: set[str] = set()
    ask = [CORE]
    while ask:
        for line in requires(ask.pop()) or []:
            need = Requirement(line)
            name = normal(need.name)
            if name not in seen and (need.marker is None or need.marker.evaluate({"extra": ""})):
                seen.add(name)
                ask.append(name)
    return seen


def page() -> str:
    """Markdown: the packages every user gets, then those of extras and tests."""
    always = core()
    lines = [
        "# Licences of what is installed",
        "",
        "circuitcheck itself bears the MIT licence (`LICENSE`). The packages of `tests/packaging/",
        "lock.txt` and what their own metadata declare; the words are theirs. Made by",
        "`python -m tests.packaging.licences`.",
    ]
    for title, chosen in (
        ("Always installed", lambda name: name in always),
        ("With an extra, or for the tests only", lambda name: name not in always),
    ):
        lines += ["", f"## {title}", "", "| package | licence |", "|---|---|"]
        lines += [
            f"| {name} | {licence(name) or 'not declared'} |"
            for name in sorted(pinned(NEWEST))
            if chosen(name)
        ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    sys.stdout.write(page())
