"""Findings, offers, names and figures in the forms of the protocol."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from lsprotocol import types

from circuitcheck.basics.findings import Finding, Note, Severity
from circuitcheck.basics.places import Place
from circuitcheck.editing.formatting import NO_PARTS
from circuitcheck.editing.mentions import Mention
from circuitcheck.editing.offers import Offer
from circuitcheck.editing.outline import HOLDERS, Row, rows
from circuitcheck.language.chapters import FORMS
from circuitcheck.lsp.documents import Document
from circuitcheck.reports.result import Result, folded

SOURCE = "circuitcheck"
_SEVERITY = {
    Severity.ERROR: types.DiagnosticSeverity.Error,
    Severity.WARNING: types.DiagnosticSeverity.Warning,
    Severity.ADVICE: types.DiagnosticSeverity.Information,
}
_ITEM = types.CompletionItemKind
_SORTS = {
    "heading": _ITEM.Module, "keyword": _ITEM.Keyword, "kind": _ITEM.Class,
    "block": _ITEM.Struct, "figure": _ITEM.Property, "choice": _ITEM.EnumMember,
    "name": _ITEM.Variable, "port": _ITEM.Field, "position": _ITEM.EnumMember,
    "measure": _ITEM.Value, "unit": _ITEM.Unit, "step": _ITEM.Event, "value": _ITEM.Constant,
    "rule": _ITEM.Reference, "file": _ITEM.File,
}  # fmt: skip
_SYMBOLS = {
    "parts": types.SymbolKind.Object, "lines": types.SymbolKind.Interface,
    "cycle": types.SymbolKind.Event, "values": types.SymbolKind.Constant,
}  # fmt: skip


# ---- findings -----------------------------------------------------------------------------------


def shown(document: Document, findings: Iterable[Finding], result: Result | None) -> list[Finding]:
    """Give findings at places of the document itself.

    What is found in a used file stands at the sentence that leads there. A file that holds
    only blocks is not blamed for listing no parts.
    """
    library = bool(document.known.blocks)
    found = []
    for finding in findings:
        if not (library and finding.slug == NO_PARTS):
            found.append((finding, _place(document, finding, result)))
    return [_at(finding, place) for finding, place in found]


def _place(document: Document, finding: Finding, result: Result | None) -> Place:
    """Give the place of a finding in the document; its part, or the heading, where it has none."""
    place = finding.place
    if place.file == document.file and place.line:
        return place
    root = place.root
    if root.file == document.file and root.line:
        return root
    circuit = result.circuit if result is not None else None
    if circuit is not None and finding.component in circuit.parts and not place.line:
        return circuit.parts[finding.component].place.root
    uses = [c.place for c in document.known.text.named("use") if c.place.file == document.file]
    if place.line and uses:
        return uses[0]
    return circuit.place if circuit is not None else Place(document.file, 1, 1, 1, 2)


def _at(finding: Finding, place: Place) -> Finding:
    """Give a finding with a note on where it stands, if that is in another file."""
    if place == finding.place:
        return finding
    notes = finding.notes
    if finding.place.line:
        notes = (Note(finding.message, finding.place), *notes)
    return replace(finding, place=place, notes=notes, instead=None)


def diagnostics(document: Document, findings: Iterable[Finding]) -> list[types.Diagnostic]:
    """Give findings as an editor shows them; those alike in several steps are one."""
    return [_diagnostic(document, *one) for one in folded(findings)]


def _diagnostic(
    document: Document, finding: Finding, others: tuple[Finding, ...]
) -> types.Diagnostic:
    steps = list(dict.fromkeys(f.step for f in (finding, *others) if f.step))
    message = finding.message
    if len(steps) > 1:
        message += f" (also in {', '.join(steps[1:])})"
    pieces = [message, finding.remedy, finding.why and f"Why: {finding.why}"]
    related = [
        types.DiagnosticRelatedInformation(location, note.message)
        for note in finding.notes
        if (location := document.location(note.place)) is not None
    ]
    related += [
        types.DiagnosticRelatedInformation(location, f"follows from it: {under.message}")
        for under in finding.consequences
        if (location := document.location(under.place)) is not None
    ]
    return types.Diagnostic(
        range=document.range(finding.place),
        message="\n".join(filter(None, pieces)),
        severity=_SEVERITY[finding.severity],
        code=finding.slug,
        source=SOURCE,
        related_information=related or None,
    )


# ---- completion ---------------------------------------------------------------------------------


def items(
    document: Document, start: int, end: int, offers: Iterable[Offer]
) -> types.CompletionList:
    """Give offers that take the place of the text between two offsets."""
    where = document.between(start, end)
    found = [
        types.CompletionItem(
            label=offer.label,
            kind=_SORTS[offer.sort],
            detail=offer.about or None,
            sort_text=f"{number:04d}",
            filter_text=offer.label,
            text_edit=types.TextEdit(where, offer.label),
        )
        for number, offer in enumerate(offers)
    ]
    return types.CompletionList(is_incomplete=False, items=found)


# ---- the outline --------------------------------------------------------------------------------


class _Branch:
    """A heading of the outline with what stands under it."""

    def __init__(self, row: Row, where: types.Range) -> None:
        text = " ".join(row.raw.text.split())
        name = row.chapter if FORMS[row.chapter].rule else text[:60]
        self.under: list[types.DocumentSymbol] = []
        self.symbol = types.DocumentSymbol(
            name, types.SymbolKind.Module, where, where, children=self.under
        )

    def grow(self, where: types.Range) -> None:
        self.symbol.range = types.Range(self.symbol.range.start, where.end)


def symbols(document: Document) -> list[types.DocumentSymbol]:
    """Give chapters with what is named in them; blocks and variants hold theirs."""
    given = _given(document)
    found: list[types.DocumentSymbol] = []
    holder: _Branch | None = None
    chapter: _Branch | None = None
    for row in rows(document.source):
        where = document.between(row.start, row.end)
        if holder is not None:
            holder.grow(where)
        if row.heading and row.chapter == "end":
            holder = chapter = None
        elif row.heading:
            chapter = _Branch(row, where)
            (found if holder is None else holder.under).append(chapter.symbol)
            if row.chapter in HOLDERS:
                holder = chapter
        elif chapter is not None:
            chapter.grow(where)
            for one in given.get(where.start.line + 1, ()):
                kind = _SYMBOLS.get(row.chapter, types.SymbolKind.Variable)
                about = " ".join(row.raw.text[:80].split())
                symbol = types.DocumentSymbol(
                    one.thing.name, kind, where, document.range(one.place), about
                )
                chapter.under.append(symbol)
    return found


def _given(document: Document) -> dict[int, list[Mention]]:
    """Give the mentions that give names in the text itself, by line."""
    given: dict[int, list[Mention]] = {}
    for one in document.known.mentions:
        if one.gives and one.place.file == document.file:
            given.setdefault(one.place.line, []).append(one)
    return given


def ends(document: Document) -> Iterator[tuple[int, int, tuple[str, ...]]]:
    """Give line and column of the end of each sentence that names parts or a line, with them.

    Blocks and variants are left out: what stands in them has no one figure.
    """
    given = _given(document)
    for row in rows(document.source):
        if row.heading or row.inside or row.chapter not in ("parts", "lines"):
            continue
        line, column = document.line_of(row.end)
        first, _ = document.line_of(row.start)
        names = tuple(one.thing.name for one in given.get(first, ()))
        if names:
            yield line, column, names
