"""An editor of the simplest kind: it speaks the protocol over pipes and keeps what is said."""

from __future__ import annotations

import json
import queue
import subprocess
import sys
import threading
import time
from pathlib import Path
from types import TracebackType
from typing import Any

PROJECT = Path(__file__).resolve().parent.parent.parent
PATIENCE = 60.0
PUBLISH = "textDocument/publishDiagnostics"


class Editor:
    """Starts the server as editors do, and talks to it."""

    def __init__(self, root: Path, encodings: list[str] | None = None) -> None:
        self.root = root
        self.process = subprocess.Popen(
            [sys.executable, "-m", "circuitcheck", "lsp"],
            cwd=PROJECT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip
        self.log: list[dict[str, Any]] = []
        self._answers: queue.Queue[dict[str, Any]] = queue.Queue()
        self._number = 0
        threading.Thread(target=self._listen, daemon=True).start()
        general = {"positionEncodings": encodings} if encodings else {}
        self.capabilities = self.ask(
            "initialize",
            {
                "processId": None, "rootUri": root.as_uri(),
                "workspaceFolders": [{"uri": root.as_uri(), "name": "project"}],
                "capabilities": {
                    "general": general,
                    "workspace": {"inlayHint": {"refreshSupport": True},
                                  "codeLens": {"refreshSupport": True}},
                },
            },
        )["capabilities"]  # fmt: skip
        self.tell("initialized", {})

    def __enter__(self) -> Editor:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, _: BaseException | None, __: TracebackType | None
    ) -> None:
        if kind is not None:
            self.process.kill()
        elif self.process.poll() is None:
            self.ask("shutdown", None)
            self.tell("exit", None)
        self.process.wait(PATIENCE)

    # ---- messages ----------------------------------------------------------------------

    def _listen(self) -> None:
        out = self.process.stdout
        assert out is not None
        while header := out.readline():
            length = 0
            while header.strip():
                name, _, value = header.partition(b":")
                length = int(value) if name.lower() == b"content-length" else length
                header = out.readline()
            said = json.loads(out.read(length))
            self.log.append(said)
            if "id" in said and "method" in said:  # the server asks: nothing is refused
                self._send({"id": said["id"], "result": None})
            elif "id" in said:
                self._answers.put(said)

    def _send(self, message: dict[str, Any]) -> None:
        data = json.dumps({"jsonrpc": "2.0", **message}).encode()
        pipe = self.process.stdin
        assert pipe is not None
        pipe.write(b"Content-Length: %d\r\n\r\n%b" % (len(data), data))
        pipe.flush()

    def tell(self, method: str, params: Any) -> None:
        self._send({"method": method, "params": params})

    def answer(self, method: str, params: Any) -> dict[str, Any]:
        """Ask, and give the whole answer, be it an error."""
        self._number += 1
        self._send({"id": self._number, "method": method, "params": params})
        while True:
            said = self._answers.get(timeout=PATIENCE)
            if said["id"] == self._number:
                return said

    def ask(self, method: str, params: Any) -> Any:
        said = self.answer(method, params)
        assert "error" not in said, said
        return said["result"]

    def wait(self, method: str, what: Any = lambda params: True, after: int = 0) -> Any:
        """Give what the server says by itself, once it says what is waited for."""
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            for said in self.log[after:]:
                if said.get("method") == method and what(said.get("params")):
                    return said.get("params")
            time.sleep(0.01)
        raise AssertionError(f"{method} did not come: {self.log[after:]}")

    # ---- texts -------------------------------------------------------------------------

    def open(self, file: Path, text: str | None = None) -> Text:
        return Text(self, file, text)


class Text:
    """A text that is open in the editor."""

    def __init__(self, editor: Editor, file: Path, text: str | None) -> None:
        self.editor, self.file = editor, file
        self.uri = file.as_uri()
        self.text = file.read_text(encoding="utf-8") if text is None else text
        self.version = 1
        document = {"uri": self.uri, "languageId": "hyc", "version": 1, "text": self.text}
        editor.tell("textDocument/didOpen", {"textDocument": document})

    def write(self, text: str) -> None:
        self.text, self.version = text, self.version + 1
        self.editor.tell(
            "textDocument/didChange",
            {"textDocument": {"uri": self.uri, "version": self.version},
             "contentChanges": [{"text": text}]},
        )  # fmt: skip

    def found(self, solved: bool = True) -> list[dict[str, Any]]:
        """Wait for what is found in this very version; ``solved``: with the rules asked."""

        def this(params: dict[str, Any]) -> bool:
            return bool(params["uri"] == self.uri and params.get("version") == self.version)

        found: list[dict[str, Any]] = self.editor.wait(PUBLISH, this)["diagnostics"]
        if solved:
            first = next(
                number for number, said in enumerate(self.editor.log)
                if said.get("method") == PUBLISH and this(said["params"])
            )  # fmt: skip
            self.editor.wait("workspace/inlayHint/refresh", after=first)
            found = [
                said["params"]["diagnostics"]
                for said in self.editor.log
                if said.get("method") == PUBLISH and this(said["params"])
            ][-1]
        return found

    def at(self, words: str, behind: bool = False) -> dict[str, int]:
        """Give the position of | in words of the text (without it: of their beginning)."""
        before, _, after = words.partition("|")
        offset = self.text.index(before + after if "|" in words else words)
        offset += len(before) if "|" in words else len(words) * behind
        return self.position(offset)

    def position(self, offset: int) -> dict[str, int]:
        row = self.text[:offset].split("\n")[-1]
        units = len(row.encode("utf-16-le")) // 2
        return {"line": self.text[:offset].count("\n"), "character": units}

    def offset(self, position: dict[str, int]) -> int:
        rows = self.text.split("\n")
        row = rows[position["line"]]
        start = sum(len(one) + 1 for one in rows[: position["line"]])
        return start + len(row.encode("utf-16-le")[: 2 * position["character"]].decode("utf-16-le"))

    def said(self, where: dict[str, Any]) -> str:
        """Give what stands in a range."""
        return self.text[self.offset(where["start"]) : self.offset(where["end"])]

    def with_edits(self, edits: list[dict[str, Any]]) -> str:
        text = self.text
        for edit in sorted(edits, key=lambda e: self.offset(e["range"]["start"]), reverse=True):
            where = edit["range"]
            text = text[: self.offset(where["start"])] + edit["newText"] + text[
                self.offset(where["end"]) :
            ]  # fmt: skip
        return text

    def ask(self, what: str, position: dict[str, int] | None = None, **more: Any) -> Any:
        params: dict[str, Any] = {"textDocument": {"uri": self.uri}, **more}
        if position is not None:
            params["position"] = position
        return self.editor.ask(f"textDocument/{what}", params)

    def offers(self, words: str) -> list[str]:
        """Give the labels offered at | in words of the text."""
        return [item["label"] for item in self.ask("completion", self.at(words))["items"]]
