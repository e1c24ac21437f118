"""Layout, names and answers over every circuit text of the project.

python -m tests.editing.campaign            every text, three times broken each
python -m tests.editing.campaign --broken 30
"""

from __future__ import annotations

import argparse
import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from circuitcheck import CircuitError
from circuitcheck.circuit.model import Circuit
from circuitcheck.editing.actions import action
from circuitcheck.editing.completion import completion
from circuitcheck.editing.formatting import formatted
from circuitcheck.editing.hover import hover
from circuitcheck.editing.known import Known
from circuitcheck.editing.mentions import by_name
from circuitcheck.editing.renaming import NoRenameError, changed, renamable, renamed
from circuitcheck.editing.tokens import tokens
from circuitcheck.pipeline import parse

PROJECT = Path(__file__).resolve().parent.parent.parent


class Source(NamedTuple):
    """A circuit text, what to call it, and the folder in which what it uses lies."""

    name: str
    text: str
    folder: Path


def sources() -> list[Source]:
    """Give every circuit text of the project: examples, published cases, circuits of rules."""
    found = [
        Source(str(file.relative_to(PROJECT)), file.read_text(encoding="utf-8"), file.parent)
        for folder in ("examples", "tests")
        for file in sorted((PROJECT / folder).rglob("*.hyc"))
    ]
    for page in sorted((PROJECT / "tests" / "rules").glob("*.md")):
        circuits = re.findall(r"```(?:hyc)?\n(.*?)```", page.read_text(encoding="utf-8"), re.S)
        name = page.relative_to(PROJECT)
        found += [Source(f"{name} {n}", text, page.parent) for n, text in enumerate(circuits)]
    return found


def said(circuit: Circuit) -> str:
    """Give what a circuit is, places and the text left out."""
    parts = (
        circuit.parts, circuit.junctions, circuit.runs, circuit.steps, circuit.claims,
        circuit.readings, circuit.hints, circuit.accepted, circuit.limits, circuit.questions,
        circuit.tolerances, circuit.units, circuit.title, circuit.oil, circuit.oil_degC,
        circuit.repeats, circuit.blocks,
    )  # fmt: skip
    return re.sub(r"Place\([^)]*\)", "", repr(parts))


def layout_faults(source: Source) -> Iterator[str]:
    """Say where the layout of a text says something else, or changes when it is made again."""
    file = str(source.folder / "text.hyc")
    project = parse(source.text, file, source.folder)
    try:
        text = formatted(project, source.text)
    except CircuitError:
        return
    again = parse(text, file, source.folder)
    if formatted(again, text) != text:
        yield "its layout changes when it is made again"
    if project.understood and said(again.circuit) != said(project.circuit):
        yield "laid out it is another circuit"


def name_faults(source: Source, dice: random.Random) -> Iterator[str]:
    """Say where a name given and taken back leaves another text, or one that is wrong."""
    file = str(source.folder / "text.hyc")
    text = Known.of(source.text, file, source.folder).text
    things = [
        thing for thing in by_name(Known(text).mentions)
        if renamable(thing) and thing.file == file and text.complete
    ]  # fmt: skip
    for thing in dice.sample(things, min(2, len(things))):
        new = f"{thing.name}_new"
        try:
            once = changed(text.source, renamed([text], thing, new)[file])
        except NoRenameError as problem:
            yield f"{thing.sort} {thing.name} has no other name: {problem}"
            continue
        was, now = (parse(one, file, source.folder) for one in (text.source, once))
        if was.understood != now.understood:
            yield f"with another name for {thing.sort} {thing.name} it is understood otherwise"
        back = once.replace(new, thing.name)
        if back != text.source:
            yield f"{thing.sort} {thing.name} does not come back"


def broken(text: str, dice: random.Random) -> str:
    """Give a text with a piece lost, doubled or something typed into it."""
    at = dice.randrange(len(text) + 1)
    end = min(len(text), at + dice.choice([1, 3, 10, 60]))
    typed = dice.choice(
        ['"', "#", ",", "(", " x", "\n", "😀", "parts\n", " from ", "=", "/", " 5 "]
    )
    return text[:at] + dice.choice(["", typed, text[at:end] * 2, typed * 2]) + text[end:]


def answer_everywhere(text: str, folder: Path, dice: random.Random, spots: int = 3) -> None:
    """Ask everything of a text that may be broken; an exception is a fault of the program."""
    file = str(folder / "text.hyc")
    known = Known.of(text, file, folder)
    source = known.text.source
    project = parse(text, file, folder)
    tokens(source)
    for finding in project.mistakes:
        if finding.place.file == file and (proposed := action(finding, source)) is not None:
            changed(source, [proposed.change])
    result = project.solved() if not project.understood else None
    for _ in range(spots):
        offset = dice.randrange(len(source) + 1)
        completion(known, source, offset)
        line = source.count("\n", 0, offset) + 1
        hover(known, result, line, offset - source.rfind("\n", 0, offset))


def main() -> None:
    """Run the campaign and print what is wrong."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--broken", type=int, default=3, help="times each text is broken")
    times = parser.parse_args().broken
    dice, faults = random.Random(1), 0
    every = sources()
    for source in every:
        for fault in (*layout_faults(source), *name_faults(source, dice)):
            print(f"{source.name}: {fault}")
            faults += 1
        for _ in range(times):
            answer_everywhere(broken(source.text, dice), source.folder, dice)
    print(f"{len(every)} texts, {times * len(every)} broken ones, {faults} faults")


if __name__ == "__main__":
    main()
