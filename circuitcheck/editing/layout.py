"""The one way in which a circuit text is laid out: indents, columns, blanks; words stay."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from circuitcheck.basics.quantities import read_unit
from circuitcheck.editing.outline import HOLDERS, Row, rows
from circuitcheck.editing.tokens import tokens
from circuitcheck.language.chapters import FORMS
from circuitcheck.language.sentences import BLANK, plain_newlines

INDENT, NAMES = 2, 3
"""Indent of a sentence under its heading; letters in the column of names, at least."""

WIDEST = 100
"""Lines are not drawn out beyond this for the sake of a column; own choice."""

_LONG_NAME, _LONG_ENDS = 16, 50
"""Longer ones stand out of their column, and so do names of several parts."""

_GAPS = {"parts": 1, "values": 2, "cycle": 2}
"""Blanks between the column of names and what follows."""

_SPACES = re.compile(rf'"[^"\n]*"|[{BLANK}]+')


@dataclass
class _Line:
    """A line of the text: what it says, cut into cells that stand in columns; its comment.

    ``role`` is "heading", "first", "more" (of a sentence carried on) or "" where it says
    nothing; ``group`` is shared by lines whose cells stand below each other.
    """

    role: str
    cells: list[str]
    comment: str
    depth: int
    chapter: str
    group: int
    at_margin: bool
    text: str = ""

    @property
    def blank(self) -> bool:
        return not self.role and not self.comment


def laid_out(source: str) -> str:
    """Give a text in its layout. It must be understood; what it means stays the same."""
    lines = _without_extra_blanks(_lines(_spelt(plain_newlines(source))))
    _indent_comments(lines)
    _set_columns(lines)
    _set_comments(lines)
    return "".join(f"{line.text}\n" for line in lines)


def _spelt(text: str) -> str:
    """Give a text with units in their usual letters: PSI becomes psi, l/min L/min."""
    for token in reversed(tokens(text)):
        if token.kind == "unit":
            said = text[token.start : token.end]
            unit = read_unit(said)
            if unit is not None and unit.canonical.lower() == said.lower():
                text = text[: token.start] + unit.canonical + text[token.end :]
    return text


# ---- lines ----------------------------------------------------------------------------------


def _lines(text: str) -> list[_Line]:
    starts = [0, *(match.end() for match in re.finditer("\n", text))]
    comments = {
        bisect_right(starts, token.start) - 1: token.start
        for token in tokens(text)
        if token.kind == "comment"
    }
    roles: dict[int, tuple[str, Row]] = {}
    number = 0
    for row in rows(text):
        while number + 1 < len(starts) and starts[number + 1] <= row.start:
            number += 1
        last = number + row.raw.text.count("\n")
        roles[number] = ("heading" if row.heading else "first", row)
        roles.update(dict.fromkeys(range(number + 1, last + 1), ("more", row)))
    return list(_read(text, starts, comments, roles))


def _read(
    text: str, starts: list[int], comments: dict[int, int], roles: dict[int, tuple[str, Row]]
) -> Iterator[_Line]:
    group, row = 0, None
    for number, start in enumerate(starts):
        end = starts[number + 1] - 1 if number + 1 < len(starts) else len(text)
        cut = comments.get(number, end)
        said, comment = text[start:cut].strip(BLANK), text[cut:end].rstrip(BLANK)
        role, row = roles.get(number, ("", row))
        chapter, depth = ("", 0) if row is None else (row.chapter, _depth(row))
        if role == "more" and not said:
            yield _Line("", [], comment, depth + INDENT, chapter, group, False)
            continue
        if not said:
            yield _Line("", [], comment, _below(row), chapter, group, cut == start)
            group += not comment and _one_line(row)
            continue
        group += role == "heading" and not _one_line(row)
        cells = _cells(_spaced(said, role), role, row)
        yield _Line(role, cells, comment, depth, chapter, group, False)
        group += role == "heading" and not _one_line(row)


def _one_line(row: Row | None) -> bool:
    """Whether a row is a chapter of one line: circuit, oil, units, use."""
    return row is not None and row.heading and row.chapter in ("circuit", "oil", "units", "use")


def _depth(row: Row) -> int:
    inside = INDENT if row.inside else 0
    return inside if row.heading else inside + INDENT


def _below(row: Row | None) -> int:
    """Indent of what stands under a heading, or beside a sentence."""
    if row is None or row.chapter == "end" or _one_line(row):
        return 0
    return _depth(row) + (INDENT if row.heading else 0)


def _spaced(said: str, role: str) -> str:
    """Give what a line says with single blanks, and commas close to what they follow."""
    text = _SPACES.sub(lambda m: m.group() if m.group()[0] == '"' else " ", said)
    text = re.sub(r'"[^"\n]*"| *(,) *|(\() *| *(\))', lambda m: _mark(m) or m.group(), text).strip()
    return re.sub(r"^([a-z]+) ?: ?", r"\1 ", text).strip() if role == "heading" else text


def _mark(match: re.Match[str]) -> str:
    comma, opened, closed = match.groups()
    return ", " if comma else opened or closed or ""


def _cells(text: str, role: str, row: Row | None) -> list[str]:
    """Cut what a line says into cells; the last one may be long."""
    if row is None or role == "more":
        return ["  ".join(_clauses(text)) if row and row.chapter == "cycle" else text]
    if role == "heading":
        return text.split(" ", 1) if _one_line(row) else [text]
    if row.chapter in ("parts", "values"):
        match = re.match(r"(\S+(?: and \S+)*) (.*)", text)
        return [match[1], match[2]] if match else [text]
    if row.chapter == "lines":
        match = re.match(r"(?:(\S+) )?(from [^,]*,?)(.*)", text)
        return [match[1] or "", match[2], match[3].strip()] if match else [text]
    if row.chapter == "cycle":
        return _clauses(text)
    return [text]


def _clauses(text: str) -> list[str]:
    """Give the clauses of a step, each with the comma behind it."""
    found = (match.group().strip() for match in re.finditer(r'(?:"[^"\n]*"|[^,"])+,?', text))
    return [clause for clause in found if clause]


# ---- blanks and comments --------------------------------------------------------------------


def _without_extra_blanks(lines: list[_Line]) -> list[_Line]:
    """Keep one blank line of many, none at both ends, and put one above a chapter."""
    found: list[_Line] = []
    for line in lines:
        if line.blank and (not found or found[-1].blank):
            continue
        if line.role == "heading" and (FORMS[line.chapter].rule or line.chapter in HOLDERS):
            at = len(found)
            while at and not found[at - 1].role and found[at - 1].comment:
                at -= 1
            above = found[at - 1] if at else None
            opened = above is not None and above.role == "heading" and above.chapter in HOLDERS
            if above is not None and not above.blank and not opened:
                found.insert(at, _Line("", [], "", 0, "", line.group, False))
        found.append(line)
    while found and found[-1].blank:
        found.pop()
    return found


def _indent_comments(lines: list[_Line]) -> None:
    """A comment stands as the line below it; one with nothing below it as its chapter does."""
    below: _Line | None = None
    for line in reversed(lines):
        if line.role:
            below = line
        elif line.blank:
            below = None
        elif below is not None:
            line.depth = below.depth + (INDENT if below.role == "more" else 0)
        elif line.at_margin:
            line.depth = 0


# ---- columns --------------------------------------------------------------------------------


def _set_columns(lines: list[_Line]) -> None:
    groups: dict[int, list[_Line]] = {}
    for line in lines:
        groups.setdefault(line.group, []).append(line)
    for group in groups.values():
        said = [line for line in group if line.role in ("heading", "first")]
        first = (line.cells[0] for line in said if len(line.cells) > 1)
        names = _width((name for name in first if " and " not in name), _LONG_NAME)
        if said and said[0].role == "first":
            names = max(names, NAMES)
        if said and said[0].chapter == "cycle":
            _set_steps(said)
        ends = _width(
            (_joined(line, names) for line in said if len(line.cells) == 3 and line.cells[2]),
            _LONG_ENDS,
        )
        for line in group:
            if line.role == "more":
                more = names + _GAPS["cycle"] if line.chapter == "cycle" else 2 * INDENT
                line.text = " " * (line.depth + more) + line.cells[0]
            elif line.role:
                line.text = " " * line.depth + _aligned(line, names, ends)


def _width(cells: Iterable[str], most: int) -> int:
    return max((len(cell) for cell in cells if len(cell) <= most), default=0)


def _set_steps(steps: list[_Line]) -> None:
    """Put the clauses of steps into columns, as far as most of those that go on speak of the
    same there; a step that speaks of something else leaves the columns."""
    inside = steps
    column = 1
    while inside := [line for line in inside if len(line.cells) > column]:
        common, _ = Counter(_subject(line.cells[column]) for line in inside).most_common(1)[0]
        inside = [line for line in inside if _subject(line.cells[column]) == common]
        width = max(len(line.cells[column]) for line in inside)
        for line in inside:
            if len(line.cells) > column + 1:
                line.cells[column] = f"{line.cells[column]:{width}}"
        column += 1
    for line in steps:
        line.cells = [line.cells[0], *filter(None, ["  ".join(line.cells[1:])])]


def _subject(clause: str) -> str:
    """Give the part of which a clause speaks, and whether it says where it stands."""
    first, second, *_ = [*clause.rstrip(",").split(), "", ""]
    return "a figure" if first[0] in "0123456789.(" else f"{first} {second == 'at'}"


def _joined(line: _Line, names: int) -> str:
    """Give name and ends of a line of the line schedule; one without a name begins before."""
    name, ends = line.cells[0], line.cells[1]
    return f"{name:{names}}  {ends}" if name else ends


def _aligned(line: _Line, names: int, ends: int) -> str:
    if len(line.cells) == 1:
        return line.cells[0]
    if len(line.cells) == 3:
        joined, rest = _joined(line, names), line.cells[2]
        return f"{joined:{ends}}  {rest}" if rest else joined
    gap = _GAPS.get(line.chapter, 1)
    if len(line.cells[0]) > names:
        gap = 2
    return f"{line.cells[0]:{names}}{' ' * gap}{line.cells[1]}"


def _set_comments(lines: list[_Line]) -> None:
    """Put the comments of lines that follow each other below each other."""
    run: list[_Line] = []
    for line in [*lines, _Line("", [], "", 0, "", 0, False)]:
        if line.role and line.comment:
            run.append(line)
            continue
        widths = [len(one.text) + 2 for one in run]
        column = max((w for w in widths if w <= WIDEST // 2 + 20), default=0)
        for one in run:
            one.text = f"{one.text:{column}}" if column else one.text
            one.text += ("" if one.text.endswith("  ") else "  ") + one.comment
        run = []
        if line.comment:
            line.text = " " * line.depth + line.comment
