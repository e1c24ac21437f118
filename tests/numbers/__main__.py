"""What the numbers were checked against, and how far they were off at worst: one page.

    python -m tests.numbers               print the page
    python -m tests.numbers --keep        write shared/reference/numbers.md

Runs the tests that compare figures, as they are, and a campaign of random circuits.
"""

from __future__ import annotations

import argparse
import datetime
import json
import platform
import subprocess
import sys
import tempfile
import zlib
from dataclasses import dataclass
from pathlib import Path

from tests.numbers.chapters import ROOT, Chapter, chapters
from tests.properties.batches import OPEN, solved
from tests.properties.design import CONTROLS, Dice, design
from tests.published.test_published import EXPECTED, SOURCES, computed, rows, si

PAGE = ROOT / "shared/reference/numbers.md"
CIRCUITS, STEPS, SETTINGS = 20, 2, 50


@dataclass
class Compared:
    """A file's comparisons, as `recorder.Kept` writes them."""

    figures: int
    share: float
    off: float
    relative: bool
    found: float
    wanted: float
    test: str


def compared(files: list[str]) -> dict[str, Compared]:
    """Run tests; give what they compared by file, and stop where one of them fails."""
    with tempfile.TemporaryDirectory() as folder:
        kept = Path(folder) / "kept.json"
        done = subprocess.run(
            [
                sys.executable, "-m", "pytest", "-q", "-p", "tests.numbers.recorder",
                "-p", "no:cacheprovider", "--numbers", str(kept), *files,
            ],
            cwd=ROOT, check=False, capture_output=True, text=True,
        )  # fmt: skip
        if done.returncode:
            sys.exit(done.stdout[-4000:] + "\nA test failed: no page is made of that.")
        read = json.loads(kept.read_text())
    return {file: Compared(**entry) for file, entry in read.items()}


def of_chapter(chapter: Chapter, kept: dict[str, Compared]) -> list[str]:
    """A chapter's rows: each file, its figures, and the one nearest to its tolerance."""
    lines = [f"## {chapter.title}", "", f"Against {chapter.against}.", ""]
    lines += ["| tests | figures | worst, of what was allowed | off there | in |"]
    lines += ["|---|---:|---:|---:|---|"]
    for file in chapter.files:
        entry = kept.get(f"tests/{file}")
        if entry is None:
            lines.append(f"| {file} | none ran | | | |")
            continue
        off = f"{100 * entry.off:.2g} %" if entry.relative else f"{entry.off:.2g} from 0 (SI)"
        test = entry.test.replace("|", "/")
        lines.append(f"| {file} | {entry.figures} | {100 * entry.share:.0f} % | {off} | {test} |")
    return [*lines, ""]


def published() -> list[str]:
    """The figures in print by source: how many, how far off at worst."""
    lines = ["## Figures in print, by source", ""]
    lines += ["| source | cases | figures | worst | of what was allowed | in |"]
    lines += ["|---|---:|---:|---:|---:|---|"]
    by_source: dict[str, list[tuple[float, float, str, str]]] = {}
    for row in rows("published"):
        found, wanted = computed(row), si(row.expected)
        off = abs(found - wanted)
        source = EXPECTED[row.case]["source"].split()[0]
        by_source.setdefault(source, []).append(
            (off / row.tolerance(), off / abs(wanted) if wanted else 0.0, str(row), row.case)
        )
    for source, figures in by_source.items():
        share, off, name, _ = max(figures)
        cases = len({case for *_, case in figures})
        lines.append(
            f"| {source} | {cases} | {len(figures)} | {100 * off:.2g} % | {100 * share:.0f} % "
            f"| {name} |"
        )
    lines += ["", *(f"- {source}: {SOURCES[source]}" for source in by_source), ""]
    wider = [case for case, entry in EXPECTED.items() if "wider" in entry]
    lines += ["Cases with a tolerance wider than their rounding needs, and why:", ""]
    return [*lines, *(f"- {case}: {EXPECTED[case]['wider']}" for case in wider), ""]


def drawn_by_lot() -> list[str]:
    """Random circuits under random settings: none unsolved, what is missing at a junction."""
    states, failed, plain, beyond = 0, 0, 0.0, 0.0
    for number in range(CIRCUITS):
        seed = f"numbers-{number}"
        whole = design(Dice(seed), CONTROLS, most=6, steps=STEPS)
        done = solved(whole, zlib.crc32(seed.encode()), SETTINGS)
        states += done.found.case.variants
        failed += sum(map(len, done.wrong.values()))
        plain = max(plain, float(done.plain.max(initial=0.0)))
        beyond = max(beyond, float(done.imbalance.max(initial=0.0)))
    return [
        "## Circuits drawn by lot",
        "",
        "Against the laws that hold for every circuit: flow at every junction, force on every",
        "rod, torque on every shaft, power of the whole (`tests/properties/checks.py`).",
        "",
        f"- {CIRCUITS} circuits, {states} states, {failed} of them wrong or not solved",
        f"- worst imbalance of flow {plain:.1g} L/min; beyond the last places of the unknowns "
        f"{beyond:.1g} L/min (allowed {OPEN:g})",
        "- in full, 100,000 states: `python tests/properties/campaign.py --circuits 250 "
        "--settings 100 --steps 4`",
        "",
    ]


def page() -> str:
    """The whole page, in Markdown."""
    said = chapters()
    kept = compared([f"tests/{file}" for chapter in said for file in chapter.files])
    total = sum(entry.figures for entry in kept.values())
    lines = [
        "# What the numbers were checked against",
        "",
        f"Made by `python -m tests.numbers --keep` on {datetime.date.today():%Y-%m-%d}, Python "
        f"{platform.python_version()}, {platform.system()} {platform.machine()}.",
        "",
        f"{total} figures were compared by the tests of these chapters; all are within what was",
        "allowed. Of each file stands the comparison that came nearest to its limit: the rounding",
        "of a figure in print, what a simplification named in the test may cost, the last places",
        "of a closed form.",
        "",
    ]
    for chapter in said:
        lines += of_chapter(chapter, kept)
        if chapter.files == ["published/test_published.py"]:
            lines += published()
    return "\n".join([*lines, *drawn_by_lot()])


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--keep", action="store_true", help=f"write {PAGE.relative_to(ROOT)}")
    if ask.parse_args().keep:
        PAGE.write_text(page(), encoding="utf-8")
    else:
        sys.stdout.write(page())


if __name__ == "__main__":
    main()
