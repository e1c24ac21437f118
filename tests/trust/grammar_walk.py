"""Random sentences from the grammar of the language and the dictionary of kinds.

A walk through the rules of the grammar file, as the parser has them: whatever the grammar
allows can come out. Words are those of the kinds, figures are common ones and bombs.
"""

from __future__ import annotations

import math
import random
from collections import defaultdict
from functools import cache

from lark.grammar import NonTerminal, Rule, Symbol, Terminal
from lark.lexer import PatternStr

from circuitcheck.basics.unit_table import UNITS
from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Parameter
from circuitcheck.language.grammar import parser
from tests.components.ranges import USUAL, WORDED, written

NAMES = ("T1", "P1", "E1", "V1", "V2", "R1", "C1", "M1", "A1", "FC1", "F1", "S1", "1V2", "W", "b")
NUMBERS = (
    "0", "1", "2", "5", "10", "16", "50", "63", "100", "210", "1450", "0.5", "-1", "1e3", "-0",
    "1e-9", "1e308", "-1e308", "1e-308", "9e999", "5e-324", "1e400", "00012", "999999999999",
)  # fmt: skip
STRANGE_TEXTS = (
    "", " ", "press", "=1+1", "+1", "-1", "@x", "\t=1", "<script>alert(1)</script>", "]]>", "&amp;",
    "--><b>", "'", "%s", "{{7*7}}", "x" * 300, "Ünïcode ΔΩ 漢字", "\\P\\L", "a,b;c", "../..",
)  # fmt: skip
PLAIN = ("at", "with", "in", "on", "set", "load", "speed", "travels", "pressure", "flow", "heat",
         "because", "within", "above", "below", "left of", "column", "sheet", "from", "to",
         "driven by", "plugged", "centre", "a", "b", "tank", "limit", "rated")  # fmt: skip
CODES = ("G 3/4", "SAE 12", "M22 x 1.5", "FKM", "NBR", "ISO 6162-1 DN 25", "loss.csv")
DEEPEST = 24


@cache
def _rules() -> dict[str, list[Rule]]:
    found: dict[str, list[Rule]] = defaultdict(list)
    for rule in parser().rules:
        found[rule.origin.name].append(rule)
    return found


@cache
def _fixed() -> dict[str, str]:
    """Terminals that are one word or mark."""
    known = parser().terminals
    return {one.name: one.pattern.value for one in known if isinstance(one.pattern, PatternStr)}


@cache
def _depth() -> dict[str, int]:
    """How many rules deep each rule is at the least."""
    depth: dict[str, int] = {}
    while len(depth) < len(_rules()):
        for name, rules in _rules().items():
            needs = [[s.name for s in r.expansion if isinstance(s, NonTerminal)] for r in rules]
            least = [1 + max((depth[n] for n in of), default=0) for of in needs
                     if all(n in depth for n in of)]  # fmt: skip
            if least:
                depth.setdefault(name, min(least))
    return depth


@cache
def words() -> tuple[str, ...]:
    """Words of all kinds: their names, figures, choices, orders, ports and positions."""
    found: dict[str, None] = dict.fromkeys(PLAIN)
    for kind in every_kind():
        texts = [kind.word, *kind.poses, *(p.name for p in (*kind.parameters, *kind.orders))]
        texts += [option for choice in kind.choices for option in choice.options]
        found |= dict.fromkeys(word for text in texts for word in text.split() if word.isalpha())
    return tuple(sorted(found))


@cache
def every_kind() -> tuple[Kind, ...]:
    """All kinds of the dictionary, in one order."""
    return tuple(kind for word, kind in sorted(kinds().items()) if word == kind.word)


@cache
def _units() -> tuple[str, ...]:
    return tuple(row[0] for rows in UNITS.values() for row in rows)


def sentence(draw: random.Random, rule: str) -> str:
    """Give a sentence that follows a rule of the grammar."""
    out: list[str] = []
    _walk(draw, NonTerminal(rule), 0, out)
    return " ".join(out)


def _walk(draw: random.Random, symbol: Symbol, depth: int, out: list[str]) -> None:
    if isinstance(symbol, Terminal):
        out.append(_terminal(draw, symbol.name))
        return
    rules = _rules()[symbol.name]
    if depth > DEEPEST or len(out) > 40:
        rules = sorted(rules, key=_least)[:1]
    for one in draw.choice(rules).expansion:
        _walk(draw, one, depth + 1, out)


def _least(rule: Rule) -> int:
    return max((_depth()[s.name] for s in rule.expansion if isinstance(s, NonTerminal)), default=0)


def _terminal(draw: random.Random, name: str) -> str:
    fixed = _fixed().get(name)
    if fixed is not None:
        return fixed
    number = draw.choice(NUMBERS)
    made = {
        "WORD": lambda: draw.choice(NAMES if draw.random() < 0.4 else words()),
        "CODE": lambda: draw.choice(("1V2", "1-H1.3", "2A1/V1", "99Z99")),
        "DASHED": lambda: draw.choice(("2-3", "0-0", "999999999999999999-1")),
        "JOINT": lambda: draw.choice(("P-A", "P-A-B-T", "A-A", "P-Q", "X-Y")),
        "STRING": lambda: f'"{draw.choice(STRANGE_TEXTS)}"',
        "NUMBER": lambda: number,
        "UNIT": lambda: draw.choice(_units()),
        "RATIO": lambda: draw.choice(("4/3", "1/0", "0/0", "4:1", "4:0", "999/998")),
        "MIXED": lambda: draw.choice(("1 1/2", "1-1/4", "0 0/0", "9 1/999999999999")),
        "DIMS": lambda: draw.choice(("16 x 2", "0 x 0", "20x2.5", "1e9 x 1")),
        "COMMANUM": lambda: draw.choice(("1,5", "1,450", "0,0")),
        "PLUSMINUS": lambda: draw.choice(("±", "+-", "+/-")),
        "VALUE": lambda: draw.choice(("a", "work_pressure", "b", "flow")),
    }
    return made.get(name, lambda: draw.choice(words()))()


def figure(draw: random.Random, parameter: Parameter) -> str:
    """Give a figure of a parameter: mostly one that it may have, sometimes a bomb."""
    if parameter.quantity in WORDED:
        return f'"{draw.choice(STRANGE_TEXTS if draw.random() < 0.1 else CODES)}"'
    how = draw.random()
    if how < 0.03:
        text = f"{draw.choice(NUMBERS)} {parameter.unit}".strip()
    else:
        text = written(_value(draw, parameter), parameter)
    if how > 0.99:
        text = f"{text.split()[0]} {draw.choice(_units())}"
    if parameter.at is not None and draw.random() < 0.5:
        text += f" at {figure(draw, parameter.at)}"
    return text


def _value(draw: random.Random, parameter: Parameter) -> float:
    """Give a value that a parameter may have, three digits of it [SI]."""
    low, high = USUAL.get(parameter.quantity, (1e-3, 1e3))
    if parameter.default:
        low, high = abs(parameter.default) / 3, abs(parameter.default) * 3
    least, most = parameter.limits
    low, high = max(low, least), min(high, most)
    if not 0.0 < low < high:
        return least if least > float("-inf") else 0.0
    value = float(f"{math.exp(draw.uniform(math.log(low), math.log(high))):.3g}")
    return float(round(value)) if parameter.quantity == "count" else min(max(value, least), most)
