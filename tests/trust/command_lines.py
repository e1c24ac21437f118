"""Fuzzing of the command line: every command, its words and options drawn by lot.

    python -m tests.trust.command_lines --lines 3000 --seed 1

Two in three values are sense (a figure or result of the circuit, a step, a range near what is
written), the others are not. A traceback or an exit status that is not documented is a failure.
Options are read from the commands themselves, so a new one takes part by itself.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import random
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from unittest import mock

import click

from circuitcheck import cli
from circuitcheck.pipeline import open_file

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
CIRCUITS = ("hand_jack.hyc", "press.hyc", "planer.hyc")
"""The first is small, the last has variants, variations and readings."""

SERVERS = ("lsp", "live")
"""Commands that do not end by themselves."""

LIKELY = {"--vary": 0.9, "--find": 0.95, "--target": 0.95, "--result": 0.8, "--step": 0.6}
"""How often an option is said; what a command cannot do without is said most often."""

DOCUMENTED = (0, 1, 2, 3)
NUMBERS = ("0", "-1", "5", "50", "0.5", "1e308", "1e400", "1e-308", "nan", "-inf", "3,5", "٣", "--")
UNITS = ("bar", "MPa", "L/min", "mm", "%", "degC", "rpm", "", "furlong", "bar bar", "bar^99", "kN")
SCRAPS = ("", "-", "--", "é", "\u202e", "x" * 99, "a\nb", "%s", "{x}", "../..", "[", "=", "\x1b[1m")
WHOLE = ("2", "3", "5", "7", "20", "40", "0", "-1", "x", "9" * 30)
FILES = ("a.csv", "a.parquet", "a.svg", "a.pdf", "a.png", "a.dxf", "a.html", "a.md", "a", "no/a")


@dataclass(frozen=True)
class Known:
    """Words that make sense for a circuit."""

    figures: tuple[tuple[str, str], ...]
    results: tuple[str, ...]
    steps: tuple[str, ...]
    parts: tuple[str, ...]


@cache
def known(file: Path) -> Known:
    """Read a circuit and what it comes to in its first step."""
    project = open_file(file)
    parts = project.circuit.parts
    point = next(iter(project.solve()))
    written = (
        (f"{name} {word}", figure.text)
        for name, part in parts.items()
        for word, figure in part.figures.items()
        if figure.origin == "given"
    )
    values = (f"{name} {word}" for name, part in point.parts.items() for word in part.values)
    ports = (
        f"{name} {port} {word}"
        for name, part in point.parts.items()
        for port in part.ports
        for word in ("pressure", "flow")
    )
    steps = tuple(step.name for step in project.circuit.steps)
    return Known(tuple(written), ("heat", *values, *ports), steps, tuple(parts))


def line(draw: random.Random, folder: Path) -> list[str]:
    """Give the words of one call, which writes into ``folder`` only."""
    name = draw.choice([name for name in cli.COMMANDS if name not in SERVERS])
    command = cli.group.get_command(click.Context(cli.group), name)
    assert command is not None
    file = folder / draw.choice(CIRCUITS)
    shutil.copy(EXAMPLES / file.name, file)
    said: list[str] = []
    for option in command.params:
        if isinstance(option, click.Argument):
            said += _argument(draw, option, file)
        elif option.name != "scheduler" and draw.random() < LIKELY.get(option.opts[0], 0.2):
            said += [option.opts[0], *([] if option.is_flag else [_value(draw, option, file)])]
    return [name, *said]


def _argument(draw: random.Random, option: click.Argument, file: Path) -> list[str]:
    about = known(EXAMPLES / file.name)
    if isinstance(option.type, click.Path):
        return [str(file)]
    if option.name == "words":
        return [str(file), *draw.choice(about.results).split()]
    sense = {
        "result": about.results,
        "figures": [name for name, _ in about.figures],
        "what": ("pump", "drop", "speed", "energy", "heat", "warming", "power"),
        "name": about.parts,
    }.get(option.name or "")
    count = draw.randrange(3) if option.nargs == -1 else option.required + draw.randrange(2)
    said = [draw.choice(sense) if sense and draw.random() < 0.8 else _word(draw, file)]
    return (said * count)[:count]


def _value(draw: random.Random, option: click.Parameter, file: Path) -> str:
    about, folder = known(EXAMPLES / file.name), file.parent
    if isinstance(option.type, click.Choice):
        return draw.choice([*option.type.choices, *option.type.choices, "else"])
    if isinstance(option.type, click.types.IntParamType):
        return draw.choice(WHOLE)
    if option.opts[0] in ("-o", "--csv"):
        return str(folder / draw.choice(FILES))
    if isinstance(option.type, click.Path | click.File):
        return str(draw.choice([file, folder, folder / "none"]))
    figure, text = draw.choice(about.figures)
    sense = {
        "--vary": f"{figure} = {_near(draw, text)}",
        "--find": draw.choice([figure, f"{figure} = {_near(draw, text)}"]),
        "--off": f"{figure} = {draw.choice(['5 %', '-3 % to 5 %', text])}",
        "--result": draw.choice(about.results),
        "--step": draw.choice(about.steps),
        "--target": f"C1 speed {draw.choice(NUMBERS)} mm/s, in {draw.choice(about.steps)}",
    }.get(option.opts[0])
    return sense if sense and draw.random() < 0.8 else _word(draw, file)


def _near(draw: random.Random, text: str) -> str:
    """Values about one that is written: 210 bar gives 190 to 230 bar, 3 points."""
    number, _, unit = text.partition(" ")
    try:
        low, high = (float(number) * share for share in (0.9, draw.choice([1.1, 1.1, -1.0, 1e9])))
    except ValueError:
        return text
    points = draw.choice(["3 points", "2 points", f"in steps of {low:.4g} {unit}", "0 points"])
    span = f"{low:.4g} to {high:.4g} {unit}, {points}"
    return draw.choice([span, f"{low:.4g}, {high:.4g} {unit}", _figure(draw)])


def _figure(draw: random.Random) -> str:
    return f"{draw.choice(NUMBERS)} {draw.choice(UNITS)}".strip()


def _word(draw: random.Random, file: Path) -> str:
    """Give a word of any sort."""
    about = known(EXAMPLES / file.name)
    figure, text = draw.choice(about.figures)
    return draw.choice([
        figure, f"{figure} = {text}", draw.choice(about.results), draw.choice(about.steps),
        draw.choice(about.parts), _figure(draw), draw.choice(SCRAPS), f"{figure} {_figure(draw)}",
    ])  # fmt: skip


def attempt(words: Sequence[str], folder: Path) -> tuple[int, str]:
    """Call the program within this process; give its exit status and all that it said.

    A fault comes as the exception that it is.
    """
    said, status = io.StringIO(), 0
    with (
        mock.patch.dict(os.environ, {cli.TRACE: "1"}),
        contextlib.chdir(folder),
        contextlib.redirect_stdout(said),
        contextlib.redirect_stderr(said),
    ):
        try:
            cli.main(words)
        except SystemExit as ended:
            status = int(ended.code or 0)
    assert status in DOCUMENTED, f"exit status {status}"
    assert "Traceback" not in said.getvalue()
    assert status in (0, 1) or said.getvalue().strip(), "refused without a word"
    return status, said.getvalue()


def campaign(seed: int, lines: int) -> Counter[tuple[str, int]]:
    """Run so many lines; count them by command and exit status.

    Raises `AssertionError`, which names the line, where one fails.
    """
    found: Counter[tuple[str, int]] = Counter()
    for number in range(lines):
        with tempfile.TemporaryDirectory() as name:
            words = line(random.Random(f"{seed}-{number}"), Path(name))
            try:
                status, _ = attempt(words, Path(name))
            except Exception as error:
                raise AssertionError(f"line {number} of seed {seed}: {words}") from error
        found[words[0], status] += 1
    return found


def main() -> None:
    """Read the options, run, say what came of it."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    options.add_argument("--lines", type=int, default=1000)
    options.add_argument("--seed", type=int, default=1)
    asked = options.parse_args()
    for (name, status), count in sorted(campaign(asked.seed, asked.lines).items()):
        print(f"{count:6d}  {name}, exit status {status}")
    sys.stdout.write("none failed\n")


if __name__ == "__main__":
    main()
