"""Requests about names: where they are given, who speaks of them, another name."""

from __future__ import annotations

from lsprotocol import types
from pygls.exceptions import JsonRpcException

from circuitcheck.editing.mentions import Mention, given_at, mention_at
from circuitcheck.editing.renaming import NoRenameError, renamable, renamed
from circuitcheck.lsp.documents import Document, path_of, ranged, uri_of
from circuitcheck.lsp.neighbours import spoken_elsewhere, texts_for
from circuitcheck.lsp.server import REFUSED, CircuitServer, server


def _mention(document: Document, position: types.Position) -> Mention | None:
    line, column = document.at(position)
    return mention_at(document.known.mentions, document.file, line, column)


@server.feature(types.TEXT_DOCUMENT_DEFINITION)
def _definition(ls: CircuitServer, params: types.DefinitionParams) -> types.Location | None:
    document = ls.document(params.text_document.uri)
    one = _mention(document, params.position)
    if one is None:
        return None
    if one.thing.sort == "file" and document.folder is not None:
        path = str(document.folder / one.thing.name)
        return types.Location(uri_of(path), _start()) if path in document.known.text.used else None
    place = given_at(document.known.text, document.known.mentions, one.thing)
    return None if place is None else document.location(place)


def _start() -> types.Range:
    return types.Range(types.Position(0, 0), types.Position(0, 0))


@server.feature(types.TEXT_DOCUMENT_REFERENCES)
def _references(ls: CircuitServer, params: types.ReferenceParams) -> list[types.Location]:
    document = ls.document(params.text_document.uri)
    one = _mention(document, params.position)
    if one is None:
        return []
    places = [
        m.place
        for m in document.known.mentions
        if m.thing == one.thing and (params.context.include_declaration or not m.gives)
    ]
    found = [location for place in places if (location := document.location(place)) is not None]
    return [*found, *spoken_elsewhere(document, one.thing, _roots(ls))]


@server.feature(types.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT)
def _highlights(
    ls: CircuitServer, params: types.DocumentHighlightParams
) -> list[types.DocumentHighlight]:
    document = ls.document(params.text_document.uri)
    one = _mention(document, params.position)
    return [
        types.DocumentHighlight(document.range(m.place))
        for m in document.known.mentions
        if one is not None and m.thing == one.thing and m.place.file == document.file
    ]


@server.feature(types.TEXT_DOCUMENT_PREPARE_RENAME)
def _prepare_rename(
    ls: CircuitServer, params: types.PrepareRenameParams
) -> types.PrepareRenamePlaceholder | None:
    document = ls.document(params.text_document.uri)
    one = _mention(document, params.position)
    if one is None or not renamable(one.thing):
        return None
    return types.PrepareRenamePlaceholder(document.range(one.place), one.thing.name)


@server.feature(types.TEXT_DOCUMENT_RENAME, types.RenameOptions(prepare_provider=True))
def _rename(ls: CircuitServer, params: types.RenameParams) -> types.WorkspaceEdit:
    document = ls.document(params.text_document.uri)
    one = _mention(document, params.position)
    if one is None:
        raise JsonRpcException("there is no name here", REFUSED)
    texts = texts_for(document, one.thing, _roots(ls))
    try:
        changes = renamed(texts, one.thing, params.new_name.strip())
    except NoRenameError as problem:
        raise JsonRpcException(str(problem), REFUSED) from problem
    sources = {name: text for one in texts for name, text in one.used.items()}
    edits: dict[str, list[types.TextEdit]] = {}
    for file, made in changes.items():
        if file == document.file:
            uri, source = document.uri, document.source
        else:
            uri = uri_of(file)
            source = sources.get(file) or next(t.source for t in texts if t.file == file)
        unsaved = ls.open.get(uri)
        if unsaved is not None and unsaved.source != source:
            raise JsonRpcException(f"{file} has changes that are not saved; save it first", REFUSED)
        rows = source.split("\n")
        edits[uri] = [
            types.TextEdit(ranged(rows, c.place, document.encoding), c.text) for c in made
        ]
    return types.WorkspaceEdit(changes=edits)


def _roots(ls: CircuitServer) -> list[str]:
    return [path_of(uri) for uri in ls.workspace.folders]
