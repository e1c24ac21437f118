"""What a kind of part is: ports, figures with units and defaults, choices, results, sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from circuitcheck.basics.quantities import show
from circuitcheck.components._parts import Kind, Parameter, Part
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import MARGIN, Sheet


def write_kind(sheet: Sheet, kind: Kind) -> None:
    """Write the page of one kind."""
    sheet.heading(kind.word)
    sheet.paragraph(kind.text)
    if kind.other_words:
        sheet.paragraph(f"Also written: {', '.join(kind.other_words)}.")
    if kind.driven:
        sheet.paragraph("Stands on a shaft: driven by NAME.")
    if kind.has_ways:
        sheet.paragraph("Ways and positions follow the word, for example: valve 4/3.")
    for made in (_ports(kind), _parameters(kind), _choices(kind), _orders(kind), _measures(kind)):
        if made.rows:
            sheet.table(made)
    if kind.poses:
        sheet.line()
        sheet.paragraph(f"In a step also: {', '.join(kind.poses)}.")
    if kind.sources:
        sheet.section("Sources")
        for source in kind.sources:
            sheet.paragraph(f"- {source}", MARGIN, MARGIN * 2)


def _fullest(kind: Kind) -> Part:
    """A part with all the ports that the kind can have."""
    plain = Part("", kind)
    looks = [plain]
    for choice in kind.choices:
        if not choice.many:
            looks += [Part("", kind, choices={choice.group: phrase}) for phrase in choice.options]
    return max(looks, key=lambda part: len(part.ports))


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
            for port in _fullest(kind).ports
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
    """Say once what the smallest and largest accepted figures are for."""
    limited = [
        f"{p.name} {_range(p)}"
        for p in kind.parameters
        if p.quantity != "code" and (p.most is not None)
    ]
    return [f"Accepted: {'; '.join(limited)}."] if limited else []


def _range(parameter: Parameter) -> str:
    most = show(parameter.most or 0.0, parameter.quantity)
    if parameter.least is None:
        return f"up to {most}"
    return f"{show(parameter.least, parameter.quantity)} to {most}"


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
    sheet.table(table("Rules", (Column("Rule"), Column("Finds")), rules.items()))
    sheet.section("Other pages")
    sheet.paragraph("json: the result format for other programs", MARGIN, MARGIN)
