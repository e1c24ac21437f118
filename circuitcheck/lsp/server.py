"""The language server: the open texts, what was found in them, and how long they live."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field

from lsprotocol import types
from pygls.exceptions import JsonRpcException
from pygls.lsp.server import LanguageServer

from circuitcheck import __version__
from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.lsp import messages
from circuitcheck.lsp.checking import Checked, Checker
from circuitcheck.lsp.documents import Document, path_of
from circuitcheck.reports.result import Result

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


def _called(loop: asyncio.AbstractEventLoop, what: Callable[..., None], *values: object) -> None:
    """Call in the server's own thread; nothing is left to call once it has ended."""
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
