"""Requests of somebody who writes: completion, hover, repairs, layout."""

from __future__ import annotations

from lsprotocol import types

from circuitcheck.basics.refusal import CircuitError
from circuitcheck.editing.actions import action
from circuitcheck.editing.completion import completion
from circuitcheck.editing.formatting import formatted
from circuitcheck.editing.hover import hover
from circuitcheck.lsp import messages
from circuitcheck.lsp.server import CircuitServer, server
from circuitcheck.pipeline import parse


@server.feature(
    types.TEXT_DOCUMENT_COMPLETION, types.CompletionOptions(trigger_characters=[" ", ",", "("])
)
def _completion(ls: CircuitServer, params: types.CompletionParams) -> types.CompletionList:
    document = ls.document(params.text_document.uri)
    end = document.offset(params.position)
    found = completion(document.known, document.source, end)
    return messages.items(document, found.start, end, found.offers)


@server.feature(types.TEXT_DOCUMENT_HOVER)
def _hover(ls: CircuitServer, params: types.HoverParams) -> types.Hover | None:
    document = ls.document(params.text_document.uri)
    found = hover(document.known, ls.result(document), *document.at(params.position))
    if found is None:
        return None
    content = types.MarkupContent(types.MarkupKind.Markdown, found.text)
    return types.Hover(content, document.range(found.place))


@server.feature(
    types.TEXT_DOCUMENT_CODE_ACTION,
    types.CodeActionOptions(code_action_kinds=[types.CodeActionKind.QuickFix]),
)
def _actions(ls: CircuitServer, params: types.CodeActionParams) -> list[types.CodeAction]:
    document = ls.document(params.text_document.uri)
    found = ls.found.get(document.uri)
    if found is None or found.version != document.version:
        return []
    answers = []
    for finding in found.findings:
        proposed = action(finding, document.source)
        where = document.range(finding.place)
        if proposed is None or where.end < params.range.start or params.range.end < where.start:
            continue
        edit = types.TextEdit(document.range(proposed.change.place), proposed.change.text)
        answers.append(
            types.CodeAction(
                proposed.title,
                kind=types.CodeActionKind.QuickFix,
                diagnostics=messages.diagnostics(document, [finding]),
                is_preferred=True,
                edit=types.WorkspaceEdit(changes={document.uri: [edit]}),
            )
        )
    return answers


@server.feature(types.TEXT_DOCUMENT_FORMATTING)
def _formatting(
    ls: CircuitServer, params: types.DocumentFormattingParams
) -> list[types.TextEdit] | None:
    document = ls.document(params.text_document.uri)
    project = parse(document.source, document.file, document.folder)
    try:
        text = formatted(project, document.raw)
    except CircuitError:
        ls.say("this text is not understood yet, so it was not laid out")
        return None
    return [] if text == document.raw else [types.TextEdit(document.whole, text)]
