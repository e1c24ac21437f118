"""A sheet of all symbols, each with its name and the mark of where its form comes from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import partial

from circuitcheck.basics.shapes import Box, Pose, Shape, Text
from circuitcheck.schematic.fonts import text_width
from circuitcheck.schematic.svg import Group, to_svg
from circuitcheck.symbols import Look, Symbol, all_symbols
from circuitcheck.symbols._elements import elements_used

MARKS = {"m": "from memory of ISO 1219-1:2012", "m?": "from memory, doubtful", "p": "own choice"}
"""Marks of a form's origin, weakest last: a symbol has that of its weakest element."""
_TEXT = 1.4
"""Font size of names and marks [M]."""
_LINE = 1.8
"""Distance of lines of text [M]."""
_WIDE, _GAP, _MARGIN = 150.0, 3.0, 5.0
_SPOOL = {"a": (("P", "A"), ("B", "T")), "centre": (("P", "T"),), "b": (("P", "B"), ("A", "T"))}
_PORTS = ("P", "T", "A", "B")
_BOTH = ("solenoids a and b", "spring centred")


def _look(
    ports: tuple[str, ...] = (),
    has: tuple[str, ...] = (),
    positions: Mapping[str, tuple[tuple[str, ...], ...]] | None = None,
    rest: str = "",
    actuation: tuple[str, ...] = (),
    **choices: str,
) -> Look:
    return Look(choices, ports, positions or {}, rest, actuation, frozenset(has))


_FORMS: dict[str, tuple[tuple[str, Look], ...]] = {
    "valve": (
        ("2/2", _look(("P", "A"), positions={"a": (("P", "A"),), "0": ()}, rest="0",
                      actuation=("solenoid a", "spring return"))),
        ("3/2", _look(("P", "T", "A"), positions={"a": (("P", "A"),), "0": (("A", "T"),)},
                      rest="0", actuation=("solenoid a", "spring return"))),
        ("4/2", _look(_PORTS, positions={"a": _SPOOL["a"], "b": _SPOOL["b"]}, rest="b",
                      actuation=("lever", "detent"))),
        ("4/3", _look(_PORTS, positions=_SPOOL, rest="centre", actuation=_BOTH)),
        ("4/3 proportional", _look(_PORTS, positions={**_SPOOL, "centre": ()}, rest="centre",
                                   actuation=("proportional", "spring centred"))),
    ),
    "pump": (
        ("fixed", _look()),
        ("variable", _look(control="variable")),
        ("closed loop", _look(("A", "B", "L"), control="closed loop")),
        ("pressure compensated", _look(control="pressure compensated")),
        ("load sensing, torque limit", _look(has=("compensator", "torque limit"),
                                             control="load sensing")),
        ("the same in short", _look(has=("compensator", "torque limit"),
                                    control="load sensing", form="short form")),
    ),
    "cylinder": (
        ("double acting", _look(("cap", "rod"))),
        ("single acting", _look(("cap",), acting="single acting")),
        ("double rod", _look(("cap", "rod"), ends="double rod")),
    ),
    "relief": (("", _look()), ("with its pilot stage", _look(port="remote port"))),
    "section": (("", _look()), ("flow sharing", _look(compensator="flow sharing"))),
    "filter": (("", _look()), ("with bypass", _look(has=("bypass",)))),
    "throttle-check": (("", _look(free="free-flow check")),),
}  # fmt: skip
"""Kind -> the forms that the sheet shows of it; of every other kind it shows the usual one."""
_APART = ("throttle-check",)
"""Words that share a file with others but are drawn in a form of their own."""


@dataclass(frozen=True)
class Shown:
    """One symbol of the sheet: names in the language, form, origin as mark and clauses."""

    words: tuple[str, ...]
    form: str
    symbol: Symbol
    mark: str
    clauses: tuple[str, ...] = field(default=())

    @property
    def lines(self) -> tuple[str, ...]:
        """Give what is written under the symbol."""
        name = f"{self.words[0]}, {self.form}" if self.form else self.words[0]
        also = (f"also: {', '.join(self.words[1:])}",) if self.words[1:] else ()
        clauses = " ".join(self.clauses)
        return (name, *also, f"[{self.mark}] {clauses}".strip())


def shown_symbols() -> list[Shown]:
    """Draw every kind that the program knows, in the order of names."""
    words: dict[object, list[str]] = {}
    for word, draw in all_symbols().items():
        words.setdefault((draw, word if word in _APART else ""), []).append(word)
    found = []
    for names in sorted(words.values()):
        for form, look in _FORMS.get(names[0], (("", Look()),)):
            symbol, used = elements_used(partial(all_symbols()[names[0]], look))
            mark, clauses = _origin(used)
            found.append(Shown(tuple(names), form, symbol, mark, clauses))
    return found


def _origin(used: Mapping[str, str]) -> tuple[str, tuple[str, ...]]:
    """Give the weakest mark and the clauses of the elements of a symbol."""
    texts = list(used.values())
    if any("doubtful" in text for text in texts):
        mark = "m?"
    elif texts and all("own choice" in text and "ISO" not in text for text in texts):
        mark = "p"
    else:
        mark = "m" if texts else "p"
    clauses = {text.split("1219-1:2012 ")[1].split(",")[0] for text in texts if ":2012 " in text}
    return mark, tuple(sorted(clauses))


def symbol_sheet() -> str:
    """Give the sheet as SVG, one module = 2.5 mm."""
    groups: list[Group] = []
    x, y, high = 0.0, 0.0, 0.0
    for place, shown in enumerate(shown_symbols()):
        x0, y0, x1, y1 = shown.symbol.frame
        widths = [text_width(t, _TEXT, bold=k == 0) for k, t in enumerate(shown.lines)]
        wide = max(x1 - x0, *widths)
        if x and x + wide > _WIDE:
            x, y, high = 0.0, y + high + _GAP, 0.0
        tall = y1 - y0 + 1.0 + _LINE * len(shown.lines)
        at = Pose(round(x + wide / 2 - (x0 + x1) / 2), round(y - y0))
        shapes = [shape.posed(at) for shape in shown.symbol.shapes]
        shapes += _written(shown, x + wide / 2, y + y1 - y0 + 1.5)
        groups.append(Group(f"symbol-{place + 1}", tuple(shapes), ", ".join(shown.words)))
        x, high = x + wide + _GAP, max(high, tall)
    legend = "; ".join(f"[{mark}] {text}" for mark, text in MARKS.items())
    foot = y + high + _GAP + 2.0
    told = f"Origin: {legend}. Numbers: clauses of ISO 1219-1:2012."
    groups.append(Group("legend", (Text((0.0, foot), told, _TEXT, "start"),)))
    box: Box = (-_MARGIN, -_MARGIN, _WIDE + _MARGIN, foot + _MARGIN)
    return to_svg(groups, box, "Symbols", "All symbols with name and origin of their form.")


def _written(shown: Shown, x: float, y: float) -> Iterable[Shape]:
    for place, line in enumerate(shown.lines):
        yield Text((x, y + _LINE * place), line, _TEXT, bold=not place)
