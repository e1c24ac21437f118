"""The line schedule: sizes of hoses, tubes and pipes, and the runs between ports."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from circuitcheck.circuit.clauses import LINE, ClauseReader
from circuitcheck.circuit.desk import Desk, article, spread
from circuitcheck.circuit.ends import FAR, NEAR, EndReader, LinePoint, Passed, Point
from circuitcheck.circuit.figures import FigureReader, Wanted, written
from circuitcheck.circuit.model import End
from circuitcheck.circuit.names import Names
from circuitcheck.circuit.opening import Opened
from circuitcheck.circuit.parts import PartReader
from circuitcheck.circuit.said import Phrase, Said, choice_with
from circuitcheck.components._parts import Figure, Part
from circuitcheck.language.text import Amount, Clause, Line, Text


@dataclass
class Laid:
    """A line as read: what its two sides mean, what stands between them.

    ``chain`` is the way through it, as (inlet, outlet) of what stands in the run, the sized
    line among it.
    """

    number: int
    sentence: Line
    starts: list[Point]
    stops: list[Point]
    through: list[Passed] = field(default_factory=list)
    part: Part | None = None
    chain: list[tuple[Point, Point]] = field(default_factory=list)

    @property
    def name(self) -> str:
        return self.sentence.name.text if self.sentence.name is not None else ""


class LineReader:
    """Reads the line schedule; sized lines become parts."""

    def __init__(
        self, desk: Desk, names: Names, parts: PartReader, clauses: ClauseReader,
        figures: FigureReader, blocks: Mapping[str, Opened],
    ) -> None:  # fmt: skip
        self._desk = desk
        self._names = names
        self._parts = parts
        self._clauses = clauses
        self._figures = figures
        self._blocks = blocks
        self.half_joined: set[End] = set()
        """Ports joined by lines that are wrong."""

    def read(self, text: Text) -> list[Laid]:
        """Read every line."""
        sentences = list(text.lines())
        for line in sentences:
            if line.name is not None:
                self._names.give(line.name, "line")
        ends = EndReader(self._desk, self._names, dict(self._parts.found.parts), sentences,
                         self._blocks)  # fmt: skip
        laid = [self._line(number, line, ends) for number, line in enumerate(sentences)]
        return self._without_loose(sentences, [line for line in laid if line is not None])

    def _without_loose(self, sentences: list[Line], laid: list[Laid]) -> list[Laid]:
        """Leave out lines that end in a line that is wrong."""
        standing = {line.number: line for line in laid}
        naming: dict[int, list[int]] = {}
        for line in laid:
            for point in (*line.starts, *line.stops):
                if isinstance(point, LinePoint):
                    naming.setdefault(point.line, []).append(line.number)
        todo = [number for number in range(len(sentences)) if number not in standing]
        while todo:
            for number in naming.get(todo.pop(), ()):
                loose = standing.pop(number, None)
                if loose is not None:
                    todo.append(number)
                    self._half([*loose.starts, *loose.stops], [*loose.through])
        return list(standing.values())

    def _line(self, number: int, line: Line, ends: EndReader) -> Laid | None:
        before = len(self._desk.findings)
        starts = [ends.point(end, number) for end in line.starts]
        stops = [ends.point(end, number) for end in line.stops]
        through = [ends.through(end) for end in line.through]
        said = self._size(line)
        sized = said is None or said.right
        points = [point for point in (*starts, *stops) if point is not None]
        self._meets_itself(line, starts, stops)
        self._passes_twice(line, through, {*starts, *stops})
        wrong = len(self._desk.findings) > before or len(points) < len(starts) + len(stops)
        if wrong or not sized or None in through:
            self._half(points, through)
            return None
        laid = Laid(
            number,
            line,
            [point for point in starts if point is not None],
            [point for point in stops if point is not None],
            [passed for passed in through if passed is not None],
        )
        if said is not None:
            laid.part = self._part(laid, said)
            if laid.part is None:
                self._half(points, through)
                return None
        laid.chain = _chain(laid)
        return laid

    def _half(self, points: list[Point], through: list[Passed | None]) -> None:
        for passed in through:
            if passed is not None:
                points = [*points, passed.inlet, passed.outlet]
        self.half_joined.update(point for point in points if isinstance(point, End))

    def _meets_itself(
        self, line: Line, starts: list[Point | None], stops: list[Point | None]
    ) -> None:
        """Report a port that stands on both sides of a line."""
        near = set(starts)
        for end, point in zip(line.stops, stops, strict=True):
            if point is not None and point in near:
                self._desk.error(
                    "line-to-itself",
                    end.place,
                    f"this line begins and ends at {end.name.text}"
                    + (f" {end.port.text}" if end.port is not None else ""),
                    "a line joins different ports",
                )

    def _passes_twice(
        self, line: Line, through: list[Passed | None], ends: set[Point | None]
    ) -> None:
        """Report a run that begins or ends at what stands in it."""
        for end, passed in zip(line.through, through, strict=True):
            if passed is not None and (passed.inlet in ends or passed.outlet in ends):
                self._desk.error(
                    "line-to-itself",
                    end.place,
                    f"this line begins or ends at {passed.name}, which stands in it",
                    "name what stands in a run only after 'through'",
                )

    # ---- sizes -----------------------------------------------------------------------

    def _size(self, line: Line) -> Said | None:
        """Give what the clauses of a line say, None if it has no size."""
        if not line.clauses:
            return None
        kind = self._desk.kinds[LINE]
        said = Said(kind)
        last = line.stops[-1].place.end_line
        for clause in line.clauses:
            if clause.place.line > last and "from" in clause.words():
                self._desk.error(
                    "comma-at-end",
                    clause.items[0].place,
                    f"'{' '.join(clause.words()[:2])}' looks like the next line",
                    "take away the comma at the end of the line above",
                )
                break
            words = clause.words()
            if words and len(words) < len(clause.items) and choice_with(kind, words[0]):
                self._bore(clause, words, said)
            else:
                self._clauses.clause(clause, said)
            last = clause.place.end_line
        return said

    def _bore(self, clause: Clause, words: list[str], said: Said) -> None:
        """``hose 1/2 in`` (bore), ``tube 16 x 2 mm`` (outside x wall)."""
        kind, make = said.kind, words[0]
        group, bore = choice_with(kind, make), kind.parameter("bore")
        assert group is not None
        assert bore is not None
        said.phrases.append(Phrase(group, make, clause.items[0].place))
        item, wanted = clause.items[1], Wanted(bore, article(make))
        if len(words) > 1:
            self._desk.error(
                "stray-word",
                item.place,
                f"'{words[1]}' does not belong here",
                f"write the bore:  {make} 1/2 in",
            )
            return
        if not isinstance(item, Amount):
            figure = self._figures.figure(item, clause.items[2:], wanted)
        elif item.unit is None and _is_dash(item.text):
            self._dash(item, make)
            return
        elif item.mark == "x":
            figure = self._tube(item, make, said)
        else:
            figure = self._figures.figure(item, clause.items[2:], wanted)
        if figure is None:
            said.right = False
            return
        self._clauses.keep(figure, wanted, said)
        if len(clause.items) > 2:
            self._clauses.comma_missing(clause.items[2])

    def _dash(self, item: Amount, make: str) -> None:
        sixteenths = abs(int(item.text))
        size = Fraction(sixteenths, 16)
        whole, rest = divmod(size.numerator, size.denominator)
        inches = f"{whole}" if not rest else f"{rest}/{size.denominator}"
        if whole and rest:
            inches = f"{whole}-{rest}/{size.denominator}"
        self._desk.error(
            "dash-size",
            item.place,
            f"dash size {item.text}: say the bore",
            f"{item.text} is {inches} in: write {make} {inches} in",
        )

    def _tube(self, item: Amount, make: str, said: Said) -> Figure | None:
        """Bore of ``16 x 2 mm``: the outside less the wall on both sides."""
        wall_parameter, bore = said.kind.parameter("wall"), said.kind.parameter("bore")
        assert item.pair is not None
        assert wall_parameter is not None
        assert bore is not None
        outside, wall = item.pair
        if make == "hose":
            self._desk.error(
                "figure-form", item.place, "a hose is given by its bore", "write  hose 12.7 mm"
            )
            return None
        if 2 * wall >= outside:
            self._desk.error(
                "impossible",
                item.place,
                f"a wall of {wall:g} leaves no bore in a {make} of {outside:g}",
                f"write the outside first:  {make} 16 x 2 mm",
            )
            return None
        plain = replace(item, pair=None, mark="", value=outside - 2 * wall)
        figure = self._figures.figure(plain, (), Wanted(bore, article(make)))
        thickness = (
            self._figures.figure(
                replace(plain, value=wall), (), Wanted(wall_parameter, article(make))
            )
            if figure is not None
            else None
        )
        if figure is None or thickness is None:
            return None
        self._clauses.keep(
            replace(thickness, text=f"wall of {written(item)}"),
            Wanted(wall_parameter, article(make)),
            said,
        )
        return replace(figure, text=f"bore of {written(item)}")

    def _part(self, laid: Laid, said: Said) -> Part | None:
        parts, line = self._parts.found.parts, laid.sentence
        name = laid.name or self._made_name(line)
        size = line.clauses[0]
        place = spread(size, 0, len(size.items) - 1) if line.name is None else line.name.place
        part = Part(name, said.kind, place=place)
        if not self._parts.fill(part, said):
            return None
        parts[name] = part
        return part

    def _made_name(self, line: Line) -> str:
        """Name a line without a name by its ends: "M1 L to T1"."""
        ends = []
        for end in (line.starts[0], line.stops[0]):
            ends.append(end.name.text if end.port is None else f"{end.name.text} {end.port.text}")
        use = line.place.use
        name = plain = " to ".join(ends) if use is None else _inside_name(use.name, ends)
        number = 2
        while name in self._parts.found.parts:
            name, number = f"{plain} ({number})", number + 1
        return name


def _is_dash(text: str) -> bool:
    return text.startswith("-") and text[1:].isdigit()


def _chain(laid: Laid) -> list[tuple[Point, Point]]:
    """Give what stands in a run from its near to its far side.

    The hose lies before the parts it is written with; where the run begins in a part that
    needs no port letter (a tank), behind them, as a strainer stands in the tank.
    """
    chain: list[tuple[Point, Point]] = [(one.inlet, one.outlet) for one in laid.through]
    if laid.part is not None:
        size: tuple[Point, Point] = (End(laid.part.name, NEAR), End(laid.part.name, FAR))
        first = laid.starts[0]
        from_tank = isinstance(first, End) and first.port == ""
        chain = [*chain, size] if from_tank else [size, *chain]
    return chain


def _inside_name(block: str, ends: list[str]) -> str:
    """Name a line inside a block: S1/V1 A to S1 A is S1/V1 A to A."""
    prefixes = (f"{block}/", f"{block} ")
    short = [next((e.removeprefix(p) for p in prefixes if e.startswith(p)), e) for e in ends]
    return f"{block}/{' to '.join(short)}"
