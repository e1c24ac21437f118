"""What a kind of part is: ports, figures with units and defaults, choices, results, sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from circuitcheck.basics.quantities import number_in, read_unit, show
from circuitcheck.components._parts import Kind, Parameter, Part, Port
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import MARGIN, Sheet

LITTLE = 0.1
"""Smallest figures up to this, in the usual unit, only keep 0 out; own choice."""


@dataclass(frozen=True)
class Listing:
    """Sentences under a heading."""

    heading: str
    rows: tuple[str, ...]


Piece = str | Table | Listing
"""What the page of a kind consists of; a text is a paragraph."""


def kind_pieces(kind: Kind) -> Iterator[Piece]:
    """Give the page of one kind, piece by piece, without its heading."""
    yield kind.text
    if kind.other_words:
        yield f"Also written: {', '.join(kind.other_words)}."
    if kind.driven:
        yield "Stands on a shaft: driven by NAME."
    if kind.drives:
        yield "Drives what is driven by it."
    if kind.partnership is not None:
        yield f"Works with another: {kind.partnership.phrase} with NAME."
    if kind.has_ways:
        yield "Ways and positions follow the word, for example: valve 4/3."
    if kind.through is not None:
        inlet, outlet = kind.through
        yield f"May stand in a run (through NAME): oil passes from {inlet} to {outlet}."
    for made in (_ports(kind), _parameters(kind), _choices(kind)):
        if made.rows:
            yield made
    if kind.positions is not None:
        yield "In a step: at POSITION, with a share of the opening where it is proportional."
    if kind.orders:
        yield _orders(kind)
    if kind.poses:
        yield f"In a step also: {', '.join(kind.poses)}."
    if kind.measures:
        yield _measures(kind)
    if kind.law_text:
        yield Listing("Law", kind.law_text)
    if kind.sources:
        yield Listing("Sources", kind.sources)


def write_kind(sheet: Sheet, kind: Kind) -> None:
    """Write the page of one kind."""
    sheet.heading(kind.word)
    for piece in kind_pieces(kind):
        if isinstance(piece, Table):
            sheet.table(piece)
        elif isinstance(piece, Listing):
            sheet.section(piece.heading)
            for row in piece.rows:
                sheet.paragraph(f"- {row}", MARGIN, MARGIN * 2)
        else:
            sheet.paragraph(piece)


def _every_port(kind: Kind) -> dict[str, Port]:
    """All the ports that a part of the kind can have, by letter."""
    looks = [Part("", kind)]
    for choice in kind.choices:
        if choice.many:
            looks += [Part("", kind, many={choice.group: (o,)}) for o in choice.options]
        else:
            looks += [Part("", kind, choices={choice.group: o}) for o in choice.options]
    return {port.letter: port for part in looks for port in part.ports}


def _ports(kind: Kind) -> Table:
    always = {port.letter for port in Part("", kind).ports}
    return table(
        "Ports",
        (Column("Port"), Column("Is"), Column("For"), Column("")),
        (
            (
                port.letter or "(none)",
                port.text,
                port.kind.value,
                ""
                if port.letter in always and port.needed
                else "may stay open"
                if port.letter in always
                else "with some choices",
            )
            for port in _every_port(kind).values()
        ),
    )


def _parameters(kind: Kind) -> Table:
    usual = kind.assumes(Part("", kind)) if kind.assumes else {}
    return table(
        "Figures",
        (Column("Figure"), Column("Unit"), Column("If not said"), Column("Meaning")),
        (row for parameter in kind.parameters for row in _parameter(parameter, usual)),
        ["A figure in brackets may stand without its name.", *_limits(kind)],
    )


def _parameter(
    parameter: Parameter, usual: Mapping[str, tuple[float, str]]
) -> Iterator[tuple[str, ...]]:
    name = f"({parameter.name})" if parameter.bare else parameter.name
    default, source = _default(parameter, usual)
    meaning = f"{parameter.text}; {source}" if source else parameter.text
    yield name, parameter.unit, default, meaning
    if parameter.at is not None:
        for _, unit, at_default, text in _parameter(parameter.at, usual):
            yield f"  at ... {unit}".rstrip(), unit, at_default, text


def _default(parameter: Parameter, usual: Mapping[str, tuple[float, str]]) -> tuple[str, str]:
    """Value taken where the text says none, and where it is from."""
    if parameter.name in usual:
        value, source = usual[parameter.name]
        return show(value, parameter.quantity), source
    if parameter.needed:
        return "must be said", ""
    if parameter.default is None:
        return "-", ""
    return show(parameter.default, parameter.quantity), parameter.source


def _limits(kind: Kind) -> list[str]:
    """Say once what the smallest and largest accepted figures are."""
    every = [q for p in kind.parameters for q in (p, p.at) if q is not None]
    above, not_below, ranges = list[str](), list[str](), list[str]()
    for parameter in every:
        least, most = parameter.least, parameter.most
        if parameter.quantity in ("code", "file") or (least is None and most is None):
            continue
        if most is None and least == 0.0:
            not_below.append(parameter.name)
        elif most is None and least is not None and least > 0.0 and _is_little(parameter, least):
            above.append(parameter.name)
        else:
            ranges.append(f"{parameter.name} {_range(parameter)}")
    rows = [f"More than 0: {', '.join(above)}."] if above else []
    rows += [f"0 or more: {', '.join(not_below)}."] if not_below else []
    return [*rows, f"Accepted: {'; '.join(ranges)}."] if ranges else rows


def _is_little(parameter: Parameter, least: float) -> bool:
    """Whether a limit only keeps 0 out."""
    return number_in(least, parameter.quantity, _usual(parameter)) <= LITTLE


def _usual(parameter: Parameter) -> dict[str, str]:
    """Give the unit in which a figure is usually written."""
    unit = read_unit(parameter.unit) if parameter.unit else None
    fits = unit is not None and unit.quantity == parameter.quantity
    return {parameter.quantity: parameter.unit} if fits else {}


def _range(parameter: Parameter) -> str:
    usual = _usual(parameter)
    least = "" if parameter.least is None else show(parameter.least, parameter.quantity, usual)
    most = "" if parameter.most is None else show(parameter.most, parameter.quantity, usual)
    if least and most:
        return f"{least} to {most}"
    return f"up to {most}" if most else f"at least {least}"


def _choices(kind: Kind) -> Table:
    return table(
        "Choices",
        (Column("Of"), Column("Say one of"), Column("If not said")),
        (
            (
                choice.group,
                ", ".join(choice.options) + (" (several may be said)" if choice.many else ""),
                choice.default or "-",
            )
            for choice in kind.choices
        ),
    )


def _orders(kind: Kind) -> Table:
    return table(
        "What a step may say",
        (Column("Figure"), Column("Unit"), Column("Meaning")),
        ((order.name, order.unit, order.text) for order in kind.orders),
    )


def _measures(kind: Kind) -> Table:
    return table(
        "What is computed",
        (Column("Name"), Column("Quantity"), Column("Meaning")),
        (
            (measure.name, measure.quantity.replace("_", " "), measure.text)
            for measure in kind.measures
        ),
    )


def write_names(sheet: Sheet, kinds: Mapping[str, Kind], rules: Mapping[str, str]) -> None:
    """Write what can be explained: kinds of parts, and rules with their titles."""
    sheet.section("Kinds of parts")
    sheet.paragraph(", ".join(dict.fromkeys(k.word for k in kinds.values())), MARGIN, MARGIN)
    sheet.table(table("Rules", (Column("Rule", whole=True), Column("Finds")), rules.items()))
    sheet.section("Other pages")
    sheet.paragraph("components: all kinds of parts, one after the other", MARGIN, MARGIN)
    sheet.paragraph("oil: how the oil's line is written, and the fluids there are", MARGIN, MARGIN)
    sheet.paragraph("json: the result format for other programs", MARGIN, MARGIN)
