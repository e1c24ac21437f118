"""Requests for what stands beside the text: the outline, figures of a step, which step it is."""

from __future__ import annotations

from lsprotocol import types

from circuitcheck.basics.places import Place
from circuitcheck.editing.figures import inlays, steps_of, verdicts
from circuitcheck.lsp import messages
from circuitcheck.lsp.server import CircuitServer, server

SHOW_STEP = "circuitcheck.showStep"


@server.feature(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
def _symbols(ls: CircuitServer, params: types.DocumentSymbolParams) -> list[types.DocumentSymbol]:
    return messages.symbols(ls.document(params.text_document.uri))


@server.feature(types.TEXT_DOCUMENT_INLAY_HINT)
def _inlays(ls: CircuitServer, params: types.InlayHintParams) -> list[types.InlayHint]:
    document = ls.document(params.text_document.uri)
    result = ls.result(document)
    if result is None:
        return []
    step = ls.steps.get(document.uri, "")
    found = []
    shown = inlays(result, messages.ends(document), step if step in steps_of(result) else "")
    for one in (*shown, *verdicts(result, document.file)):
        place = Place(document.file, one.line, one.column, one.line, one.column)
        position = document.range(place).start
        if params.range.start <= position <= params.range.end:
            found.append(types.InlayHint(position, one.text, padding_left=True))
    return found


@server.feature(types.TEXT_DOCUMENT_CODE_LENS)
def _lenses(ls: CircuitServer, params: types.CodeLensParams) -> list[types.CodeLens]:
    document = ls.document(params.text_document.uri)
    result = ls.result(document)
    steps = steps_of(result)
    if result is None or not steps:
        return []
    chosen = ls.steps.get(document.uri, "")
    solved = next((point.step.name for point in result.points if point.success), "")
    shown = chosen if chosen in steps else solved
    found = []
    for one in document.known.mentions:
        name = one.thing.name
        if one.thing.sort == "step" and one.gives and name in steps:
            title = (
                "figures of this step are shown" if name == shown else "show figures of this step"
            )
            command = types.Command(title, command=SHOW_STEP, arguments=[document.uri, name])
            found.append(types.CodeLens(document.range(one.place), command))
    return found


@server.command(SHOW_STEP)
def _show_step(ls: CircuitServer, uri: str, step: str) -> None:
    ls.steps[ls.document(uri).uri] = step
    ls.refresh()
