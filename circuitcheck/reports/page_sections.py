"""The chapters of the report in their order; each is a function that gives its blocks.

A chapter that has nothing to say gives no blocks and is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from circuitcheck.basics.quantities import show
from circuitcheck.reports.background import assumptions_table, unused_lines
from circuitcheck.reports.claims import claims_table
from circuitcheck.reports.findings_text import accepted_table, not_checked_table
from circuitcheck.reports.ladder import ladder_table
from circuitcheck.reports.ladder_picture import ladder_picture
from circuitcheck.reports.page_blocks import (
    Block,
    Boxes,
    Facts,
    Head,
    Items,
    Material,
    Picture,
    Section,
    Sheets,
    Tabled,
    Words,
)
from circuitcheck.reports.page_duty import curves, duty_cycle
from circuitcheck.reports.page_lists import heat_table, lines_table, parts_table
from circuitcheck.reports.page_numbers import numbers
from circuitcheck.reports.result import folded, label, uncertain
from circuitcheck.reports.step_tables import (
    oil_line,
    point_tables,
    pressures_table,
    solver_table,
    steps_table,
)
from circuitcheck.reports.tank_tables import tank_tables
from circuitcheck.reports.two_points import two_points_lines
from circuitcheck.rules import cautions

Blocks = Iterator[Block]


def job(m: Material) -> Blocks:
    """What was checked: title, issue, oil, how many parts, how long a cycle."""
    result = m.result
    rows = [("Circuit", m.circuit.title or "without a title")]
    rows += [("Issue", m.circuit.issue)] if m.circuit.issue else []
    rows += [("Text", result.file.replace("\\", "/").rpartition("/")[2])] if result.file else []
    oils = dict.fromkeys(oil_line(p, m.circuit.oil.name, m.units) for p in result.points)
    rows += [("Oil" if n == 0 else "", oil.removeprefix("Oil ")) for n, oil in enumerate(oils)]
    lines = len(m.circuit.of_kind("line"))
    rows.append(("Extent", f"{len(m.circuit.parts) - lines} parts, {lines} lines with a size"))
    times = [point.duration for point in result.points]
    known = [time for time in times if time is not None]
    cycle = f"{len(times)} {'step' if len(times) == 1 else 'steps'}"
    if known and len(known) == len(times):
        cycle += f", {show(sum(known), 'time', m.units)} together"
    rows += [("Cycle", cycle), ("Checked by", f"circuitcheck {result.version}")]
    yield Facts(tuple(rows))


def findings(m: Material) -> Blocks:
    """What is wrong or worth a thought, and what was accepted."""
    if m.result.accepted:
        yield Tabled(accepted_table(m.result))
    found = folded(m.result.findings)
    if found:
        yield Boxes(found)
    else:
        yield Words("No findings. That does not mean that the machine is safe.")


def claims(m: Material) -> Blocks:
    """Figures of the drawing and of gauges beside computed ones, and what readings say."""
    if not m.result.claims:
        return
    yield Tabled(claims_table(m.result.claims, m.units))
    if m.circuit.readings and m.result.solved:
        from circuitcheck.reports.diagnosis import verdict
        from circuitcheck.review.diagnosis import diagnose

        found, _ = diagnose(m.circuit)
        yield Head("What the readings say")
        for text in verdict(found, m.units):
            yield Words(text)


def schematic(m: Material) -> Blocks:
    """The drawing with the values of each step."""
    if m.drawings:
        yield Sheets(m.drawings, m.circuit.title)


def steps(m: Material) -> Blocks:
    """Steps and pressures side by side, then what every part does in each step."""
    yield Tabled(steps_table(m.result, m.units))
    yield Tabled(pressures_table(m.result, m.units))
    for made in tank_tables(m.result, m.units):
        yield Tabled(made)
    for number, point in enumerate(m.result.points, 1):
        lasts = "" if point.duration is None else f", {show(point.duration, 'time', m.units)}"
        yield Head(f"Step {point.step.name}{lasts}", f"step-{number}")
        if not point.success:
            yield Words(f"Not solved: {point.message}.", "strong")
            continue
        for told in two_points_lines(point, m.units):
            yield Words(f"Two operating points: {told}", "strong")
        for made in point_tables(point, m.units):
            yield Tabled(made)


def lines(m: Material) -> Blocks:
    """Line schedule: ends, size, and the worst that each line sees."""
    made = lines_table(m.result, m.circuit, m.units)
    if made.rows:
        yield Tabled(made)


def parts(m: Material) -> Blocks:
    """List of parts with what the text gives of them."""
    yield Tabled(parts_table(m.circuit))


def ladder(m: Material) -> Blocks:
    """Settings, ratings and working pressures, as a picture and as a table."""
    from circuitcheck.review.ladder import ladder as rungs_of

    if m.result.solution is None:
        return
    accepted = [one.finding for one in m.result.accepted]
    rungs = rungs_of(m.circuit, m.result.solution, [*m.result.findings, *accepted])
    if rungs:
        caption = "Working pressures, settings and ratings; the table says the same."
        yield Picture(ladder_picture(rungs, m.circuit.title, m.units), caption)
        yield Tabled(ladder_table(rungs, m.units))


def heat(m: Material) -> Blocks:
    """Where the heat is made, part by part."""
    made = heat_table(m.result, m.units)
    if made.rows:
        yield Tabled(made)


def start_up(m: Material) -> Blocks:
    """The card of the first start: order, settings, what every meter must show."""
    from circuitcheck.reports.start_up import bands_line, readings_table, settings_table
    from circuitcheck.review.expected import expected
    from circuitcheck.review.ladder import SETTING
    from circuitcheck.review.ladder import ladder as rungs_of
    from circuitcheck.review.start_up import start_up as points_of

    if m.result.solution is None:
        return
    rungs = rungs_of(m.circuit, m.result.solution, m.result.findings)
    settings = [rung for rung in rungs if rung.sort == SETTING]
    points = points_of(m.circuit, bool(settings))
    yield Items(tuple((point.title, point.text) for point in points), numbered=True)
    if settings:
        yield Tabled(settings_table(settings, m.units))
    yield Tabled(readings_table(expected(m.circuit, m.result.solution), m.units))
    yield Words(bands_line(), "note")


def basis(m: Material) -> Blocks:
    """What was assumed, what could not be checked, what nothing decides, how it was solved."""
    doubtful = [
        f"{'; '.join(dict.fromkeys(label(m.circuit, name) for name in names))}: "
        f"{status} in {', '.join(where)}"
        for status, names, where in uncertain(m.result)
    ]
    if doubtful:
        yield Head("Pressures that only leakage sets, or nothing")
        yield Items(tuple(("", line) for line in doubtful))
    if m.circuit.assumptions:
        yield Tabled(assumptions_table(m.circuit))
    if m.result.not_checked:
        yield Tabled(not_checked_table(m.result.not_checked))
    yield Tabled(solver_table(m.result, m.units))
    if m.circuit.unused:
        yield Head("Not used yet")
        yield Words("These sentences were read and kept; they have no effect on any figure.")
        yield Items(tuple(("", line) for line in unused_lines(m.circuit)))


def warnings(m: Material) -> Blocks:
    """What everybody must be told who works from the figures."""
    for caution in cautions(len(m.result.not_checked)):
        yield Head(caution.title)
        yield Words(caution.long)
        yield Words(f"Source: {caution.source}", "sources")


Chapter = Callable[[Material], Blocks]

SECTIONS: tuple[tuple[str, str, Chapter], ...] = (
    ("job", "Job", job),
    ("findings", "Findings", findings),
    ("claims", "Claims and readings", claims),
    ("schematic", "Schematic", schematic),
    ("steps", "Steps", steps),
    ("lines", "Line schedule", lines),
    ("parts", "Parts", parts),
    ("ladder", "Pressure ladder", ladder),
    ("heat", "Heat", heat),
    ("duty", "Duty cycle", duty_cycle),
    ("curves", "Curves", curves),
    ("start-up", "First start", start_up),
    ("numbers", "How each number was made", numbers),
    ("basis", "What the figures rest on", basis),
)
"""Chapters in their order: id, title, function. One more is one more line."""

CAUTIONS = "Before you put your hands on a machine"


def sections(m: Material) -> list[Section]:
    """Give the chapters that have something to say, cautions at the end."""
    found = []
    if m.result.circuit is None:
        found.append(Section("findings", "Findings", (Boxes(folded(m.result.findings)),)))
    else:
        for key, title, chapter in SECTIONS:
            blocks = tuple(chapter(m))
            if blocks:
                found.append(Section(key, title, blocks))
    return [*found, Section("cautions", CAUTIONS, tuple(warnings(m)))]
