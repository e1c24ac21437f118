"""``circuitcheck explain``: what a rule, a kind of part or the result format is."""

from __future__ import annotations

import difflib

import click

from circuitcheck.cli._output import say, sheet


@click.command("explain", short_help="Explain a rule, a kind of part or the JSON format.")
@click.argument("name", nargs=-1)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "markdown"]),
    default="text",
    show_default=True,
    help="Of 'components': for the terminal, or as a page in Markdown.",
)
def command(name: tuple[str, ...], form: str) -> int:
    """Explain NAME: a rule, what else stands in square brackets behind a finding, a kind of
    part, 'components', 'oil', or 'json', the result format.

    A fluid ('HFC', 'water glycol') shows the figures that are taken for it.

    Without NAME everything that can be explained is listed.
    """
    from circuitcheck.basics.folders import PACKAGE
    from circuitcheck.components import kinds
    from circuitcheck.fluid.families import designations, families
    from circuitcheck.reports import fluid_text, kind_text
    from circuitcheck.reports.reference import reference_page
    from circuitcheck.reports.tables import Column, table
    from circuitcheck.rules import catalogue, explain, explained, told

    asked = " ".join(name).strip()
    page = sheet()
    if not asked:
        titles = {slug: rule.title for slug, rule in catalogue().items()}
        kind_text.write_names(page, kinds(), titles)
        page.table(table("Told beside the rules", (Column("Name", whole=True), Column("Means")),
                         ((slug, one.title) for slug, one in told().items())))  # fmt: skip
        say(page.text())
        return 0
    if asked == "components" and form == "markdown":
        say(reference_page(kinds()))
        return 0
    if form == "markdown":
        raise click.UsageError("only 'components' can be had in Markdown")
    if asked == "components":
        for kind in {kind.word: kind for kind in kinds().values()}.values():
            kind_text.write_kind(page, kind)
        say(page.text())
        return 0
    if asked.lower() == "json":
        say((PACKAGE / "reports" / "json_format.md").read_text(encoding="utf-8"))
        return 0
    if asked == "oil":
        fluid_text.write_fluids(page)
        say(page.text())
        return 0
    fluids = [*designations(), *families().values()]
    if asked in fluids:
        fluid_text.write_fluid(page, asked)
        say(page.text())
        return 0
    if asked in kinds():
        kind_text.write_kind(page, kinds()[asked])
        say(page.text())
        return 0
    slug = asked.replace("_", "-").replace(" ", "-")
    if slug in explained():
        say(explain(slug))
        return 0
    known = [*kinds(), *explained(), "components", "json", "oil", *fluids]
    near = difflib.get_close_matches(asked, known, 3, 0.5)
    hint = f"did you mean {' or '.join(near)}?" if near else "'circuitcheck explain' lists all"
    raise click.UsageError(f"'{asked}' is neither a rule nor a kind of part; {hint}")
