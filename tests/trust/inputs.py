"""Inputs for fuzzing, each by its number: the same number and seed give the same bytes.

Six sorts: sentences walked from the grammar, circuits made from the dictionary of kinds,
circuits of the project with edits, with one figure changed, several of them
spliced, and with bytes flipped.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

from circuitcheck.components._parts import Kind, Part, Port, PortKind
from tests.trust.grammar_walk import NUMBERS, STRANGE_TEXTS, every_kind, figure, sentence, words

PROJECT = Path(__file__).resolve().parent.parent.parent
CHAPTERS = {
    "values": "value", "defaults": "every", "parts": "part", "lines": "line", "cycle": "step",
    "claims": "claim", "readings": "claim", "variations": "trial", "accepted": "accept",
    "drawing": "hint",
}  # fmt: skip
HEADINGS = ("circuit", "oil", "units", "tolerances", "limits", "end block", "ports P, T", "use",
            'use "b.hyc"', "block b", "variant v", "end variant")  # fmt: skip
SCRAPS = (
    '"', "(", ")", ",", ";", "=", "#", "\n", "\t", "\0", "-", "/", ":", "?", "±", "->", "e9", "%",
    "at ", "to ", "from ", "and ", "in ", "1/0", "1e999", "1e308", "é", "\u2028", "\u202e", "\r\n",
    "\u200b", "\ufeff", "Т", "\x1b[31m", "ℵ", "٣", "９", "NaN", "inf", "m^999999", "valve 9/9",
    "block b\n", "end block\n", "parts\n", "lines\n", "cycle\n", "every ", "step ", " bar",
    ", plugged", "driven by E1", "through ", "P-A-P", "values\n a (b)\n b (a)\n", "\x85",
)  # fmt: skip
EVERY_FORM = 250
"""Every so many inputs one goes through every form of the answer, and is made for it."""
LARGEST_WHOLE = 1500
"""Characters of such a circuit: about ten parts."""
LARGEST = 6000
"""Characters of a text at most: a large circuit may take its time."""


@cache
def corpus() -> tuple[str, ...]:
    """Circuits of the project: published cases, pages of the rules, circuits of the language."""
    tests = PROJECT / "tests"
    files = [*sorted(tests.glob("published/*.hyc")), *sorted(tests.glob("language/**/*.hyc"))]
    texts = [file.read_text(encoding="utf-8") for file in files]
    for page in sorted(tests.glob("rules/*.md")):
        found = re.findall(r"^```hyc\n(.*?)^```", page.read_text(encoding="utf-8"), re.M | re.S)
        texts += found
    return tuple(text for text in texts if len(text) <= LARGEST)


@cache
def examples() -> tuple[str, ...]:
    """The larger circuits that are shipped."""
    files = sorted((PROJECT / "examples").glob("*.hyc"))
    return tuple(file.read_text(encoding="utf-8") for file in files)


def made(seed: int, number: int) -> tuple[str, bytes]:
    """Give the sort of an input and its bytes."""
    draw = random.Random(f"{seed}-{number}")
    sorts: tuple[tuple[int, Callable[[random.Random], str]], ...] = (
        (62, walked), (15, registry), (15, edited), (5, spliced), (3, flipped),
    )  # fmt: skip
    if number % EVERY_FORM == 0:
        sorts = ((1, registry), (2, gentle))
    sort = draw.choices([one for _, one in sorts], [weight for weight, _ in sorts])[0]
    text = sort(draw)
    data = text.encode("utf-8", "surrogatepass")
    if sort is flipped:
        data = _flip(draw, data)
    return sort.__name__, data


def walked(draw: random.Random) -> str:
    """A few sentences of the grammar under headings, few of which mean anything."""
    rows = []
    for _ in range(draw.randint(1, 3)):
        chapter = draw.choice(list(CHAPTERS))
        rows.append(chapter if draw.random() < 0.8 else sentence(draw, "heading"))
        for _ in range(draw.randint(0, 2)):
            rows.append("  " + sentence(draw, CHAPTERS[chapter]))
    if draw.random() < 0.2:
        rows.insert(draw.randrange(len(rows)), draw.choice(HEADINGS))
    return "\n".join(rows) + "\n"


def registry(draw: random.Random) -> str:
    """A circuit of parts from the dictionary, their ports joined at random."""
    parts, ends = ["  T1 tank, 60 L", "  E1 electric motor, 11 kW, 1450 rpm"], ["T1"]
    orders: list[str] = []
    for number in range(1, draw.randint(2, 6)):
        kind, name = draw.choice(every_kind()), f"X{number}"
        parts.append(f"  {name} {', '.join(_clauses(draw, kind))}")
        ends += [f"{name} {port.letter}" for port in _ports(kind)]
        orders += _orders(draw, name, kind)
    lines = [f"  from {end} to {draw.choice(ends[:at])}" for at, end in enumerate(ends) if at]
    steps = []
    for number in range(draw.randint(0, 2)):
        chosen = draw.sample(orders, min(draw.randint(0, 3), len(orders)))
        steps.append("  " + ", ".join([f"step s{number}", "2 s", *chosen]))
    rows = ["circuit", "parts", *parts, "lines", *lines]
    return "\n".join(rows + (["cycle", *steps] if steps else [])) + "\n"


def _clauses(draw: random.Random, kind: Kind) -> list[str]:
    ways = draw.choice((" 4/3", " 3/2", " 2/2", " 3/3", "")) if kind.has_ways else ""
    said = [kind.word + ways]
    for parameter in kind.parameters:
        if draw.random() < (0.98 if parameter.needed else 0.12):
            name = "" if parameter.bare and draw.random() < 0.7 else f"{parameter.name} "
            said.append(name + figure(draw, parameter))
    for choice in kind.choices:
        if draw.random() < 0.2:
            said.append(draw.choice(choice.options))
    if kind.driven:
        said.append("driven by E1")
    if draw.random() < 0.05:
        said.append(f'"{draw.choice(STRANGE_TEXTS)}"')
    return said


def _ports(kind: Kind) -> tuple[Port, ...]:
    """Ports of a kind of which nothing is said; none where they depend on what is said."""
    if kind.has_ways:
        return tuple(Port(letter, PortKind.WORK) for letter in "PABT")
    return kind.ports(Part("X", kind))


def _orders(draw: random.Random, name: str, kind: Kind) -> list[str]:
    said = [f"{name} {pose}" if pose.startswith("at ") else f"{name} at {pose}"
            for pose in kind.poses]  # fmt: skip
    return said + [f"{name} {order.name} {figure(draw, order)}" for order in kind.orders]


def edited(draw: random.Random) -> str:
    """A circuit of the project with a few edits: scraps, figures, words, lines."""
    text = draw.choice(corpus() if draw.random() < 0.97 else examples())
    for _ in range(draw.randint(1, 3)):
        text = draw.choice(EDITS)(draw, text)
    return text


def gentle(draw: random.Random) -> str:
    """A small circuit of the project with one figure changed, which is mostly understood."""
    small = [text for text in corpus() if len(text) <= LARGEST_WHOLE]
    return _number(draw, draw.choice(small))


def spliced(draw: random.Random) -> str:
    """The beginning of one circuit and the end of another, or their lines mixed."""
    one, other = (draw.choice(corpus()).splitlines(keepends=True) for _ in range(2))
    if draw.random() < 0.5:
        return "".join(one[: draw.randint(0, len(one))] + other[draw.randint(0, len(other)) :])
    mixed = one + draw.sample(other, draw.randint(1, min(6, len(other))))
    place = draw.randrange(len(mixed))
    return "".join(mixed[:place] + draw.sample(other, 1) + mixed[place:])


def flipped(draw: random.Random) -> str:
    """A circuit of the project whose bytes will be flipped."""
    return draw.choice(corpus())


def _flip(draw: random.Random, data: bytes) -> bytes:
    changed = bytearray(data)
    for _ in range(draw.randint(1, 8)):
        at = draw.randrange(len(changed) + 1)
        changed[at : at + draw.randint(0, 3)] = draw.randbytes(draw.randint(0, 3))
    return bytes(changed)


# ---- edits ---------------------------------------------------------------------------


def _scrap(draw: random.Random, text: str) -> str:
    at = draw.randrange(len(text) + 1)
    return text[:at] + draw.choice(SCRAPS) + text[at + draw.randint(0, 6) :]


def _number(draw: random.Random, text: str) -> str:
    found = list(re.finditer(r"\d+(\.\d+)?", text))
    if not found:
        return text
    one = draw.choice(found)
    return text[: one.start()] + draw.choice(NUMBERS) + text[one.end() :]


def _word(draw: random.Random, text: str) -> str:
    found = list(re.finditer(r"[^\W\d_]\w*", text))
    if not found:
        return text
    one = draw.choice(found)
    other = draw.choice(found).group() if draw.random() < 0.6 else draw.choice(words())
    return text[: one.start()] + other + text[one.end() :]


def _line(draw: random.Random, text: str) -> str:
    rows = text.splitlines(keepends=True)
    if not rows:
        return text
    at, row = draw.randrange(len(rows)), draw.choice(rows)
    how = draw.randrange(3)
    return "".join(rows[:at] + ([] if how == 0 else [row]) + rows[at + (how < 2) :])


EDITS = (_scrap, _number, _number, _word, _word, _line)
