"""The language server: which request of the protocol is answered by what."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field

from lsprotocol import types
from pygls.exceptions import JsonRpcException
from pygls.lsp.server import LanguageServer

from circuitcheck import __version__
from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.basics.places import Place
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.editing.actions import action
from circuitcheck.editing.completion import completion
from circuitcheck.editing.figures import inlays, steps_of, verdicts
from circuitcheck.editing.formatting import formatted
from circuitcheck.editing.hover import hover
from circuitcheck.editing.mentions import Mention, given_at, mention_at
from circuitcheck.editing.renaming import NoRenameError, renamable, renamed
from circuitcheck.lsp import messages
from circuitcheck.lsp.checking import Checked, Checker
from circuitcheck.lsp.documents import Document, path_of, ranged, uri_of
from circuitcheck.lsp.neighbours import spoken_elsewhere, texts_for
from circuitcheck.pipeline import parse
from circuitcheck.reports.result import Result

SHOW_STEP = "circuitcheck.showStep"
REFUSED = -32803
"""Code of the protocol for a request that was understood and cannot be done."""


@dataclass
class _Found:
    """What was found in one version of a text."""

    version: int
    findings: list[Finding] = field(default_factory=list)
    result: Result | None = None


class CircuitServer(LanguageServer):
    """Knows the open texts, what was found in them, and which step of each is shown."""

    def __init__(self) -> None:
        super().__init__(
            "circuitcheck", __version__, text_document_sync_kind=types.TextDocumentSyncKind.Full
        )
        self.open: dict[str, Document] = {}
        self.found: dict[str, _Found] = {}
        self.steps: dict[str, str] = {}
        self.checker: Checker | None = None

    # ---- open texts --------------------------------------------------------------------

    def document(self, uri: str) -> Document:
        """Give an open text; JsonRpcException where it is not open."""
        if uri not in self.open:
            raise JsonRpcException(f"{uri} is not open", REFUSED)
        return self.open[uri]

    def take(self, uri: str, pause: float | None = None) -> None:
        """Take the text of an editor as it stands now, and have it checked."""
        text = self.workspace.get_text_document(uri)
        encoding = types.PositionEncodingKind(self.workspace.position_encoding or "utf-16")
        document = Document(uri, text.version or 0, text.source, encoding)
        self.open[uri] = document
        self.ask(document, pause)

    def ask(self, document: Document, pause: float | None = None) -> None:
        """Have a text checked."""
        if self.checker is None:
            loop = asyncio.get_running_loop()
            self.checker = Checker(
                lambda checked: _called(loop, self.tell, checked),
                lambda uri, problem: _called(loop, self.failed, uri, problem),
            )
        given = {} if pause is None else {"pause": pause}
        self.checker.ask(
            document.uri, document.version, document.source, document.file, document.folder, **given
        )

    def again(self, path: str) -> None:
        """Have the texts checked again that may use a file that has changed."""
        for document in list(self.open.values()):
            if document.file != path:
                self.take(document.uri, 0.0)

    def forget(self, uri: str) -> None:
        """Forget a text that was closed."""
        self.open.pop(uri, None)
        self.found.pop(uri, None)
        self.steps.pop(uri, None)
        if self.checker is not None:
            self.checker.forget(uri)
        self.text_document_publish_diagnostics(types.PublishDiagnosticsParams(uri, []))

    # ---- what was found ----------------------------------------------------------------

    def tell(self, checked: Checked) -> None:
        """Show what was found, unless the text has changed since."""
        document = self.open.get(checked.uri)
        if document is None or document.version != checked.version:
            return
        before = self.found.get(checked.uri)
        findings = messages.shown(document, checked.findings, checked.result)
        wrong = any(finding.severity is Severity.ERROR for finding in findings)
        if checked.result is None and not wrong and before is not None and before.result:
            # rules are still being asked: what they found last stays until they answer
            return
        self.found[checked.uri] = _Found(checked.version, findings, checked.result)
        self.text_document_publish_diagnostics(
            types.PublishDiagnosticsParams(
                document.uri, messages.diagnostics(document, findings), document.version
            )
        )
        if checked.result is not None:
            self.refresh()

    def refresh(self) -> None:
        """Have the editor ask again for what stands behind and above the sentences."""
        wanted = self.client_capabilities.workspace
        if wanted is None:
            return
        if wanted.inlay_hint is not None and wanted.inlay_hint.refresh_support:
            self.workspace_inlay_hint_refresh(None)
        if wanted.code_lens is not None and wanted.code_lens.refresh_support:
            self.workspace_code_lens_refresh(None)

    def failed(self, uri: str, problem: Exception) -> None:
        """Say that the program itself is at fault."""
        self.say(
            f"this is a fault of circuitcheck, not of your text: "
            f"{type(problem).__name__}: {problem} ({uri})",
            types.MessageType.Error,
        )

    def say(self, message: str, kind: types.MessageType = types.MessageType.Info) -> None:
        """Write into the editor's log."""
        self.window_log_message(types.LogMessageParams(kind, message))

    def result(self, document: Document) -> Result | None:
        """Give what was computed for this very version, None if it is not ready."""
        found = self.found.get(document.uri)
        return found.result if found is not None and found.version == document.version else None


def _called(loop: asyncio.AbstractEventLoop, what: object, *values: object) -> None:
    """Call in the server's own thread; nothing is left to call once it has ended."""
    assert callable(what)
    if not loop.is_closed():
        loop.call_soon_threadsafe(what, *values)


server = CircuitServer()


# ---- the life of texts ----------------------------------------------------------------------


@server.feature(types.TEXT_DOCUMENT_DID_OPEN)
def _opened(ls: CircuitServer, params: types.DidOpenTextDocumentParams) -> None:
    ls.take(params.text_document.uri, 0.0)


@server.feature(types.TEXT_DOCUMENT_DID_CHANGE)
def _changed(ls: CircuitServer, params: types.DidChangeTextDocumentParams) -> None:
    ls.take(params.text_document.uri)


@server.feature(types.TEXT_DOCUMENT_DID_SAVE)
def _saved(ls: CircuitServer, params: types.DidSaveTextDocumentParams) -> None:
    ls.again(path_of(params.text_document.uri))


@server.feature(types.WORKSPACE_DID_CHANGE_WATCHED_FILES)
def _files_changed(ls: CircuitServer, params: types.DidChangeWatchedFilesParams) -> None:
    for change in params.changes:
        ls.again(path_of(change.uri))


@server.feature(types.TEXT_DOCUMENT_DID_CLOSE)
def _closed(ls: CircuitServer, params: types.DidCloseTextDocumentParams) -> None:
    ls.forget(params.text_document.uri)


@server.feature(types.SHUTDOWN)
def _shut_down(ls: CircuitServer, _params: None) -> None:
    if ls.checker is not None:
        ls.checker.end()


# ---- while writing ----------------------------------------------------------------------------


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


# ---- names ------------------------------------------------------------------------------------


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


@server.feature(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
def _symbols(ls: CircuitServer, params: types.DocumentSymbolParams) -> list[types.DocumentSymbol]:
    return messages.symbols(ls.document(params.text_document.uri))


# ---- figures beside the text --------------------------------------------------------------------


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
