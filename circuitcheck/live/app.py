"""What the page asks over HTTP, and what it is given: the page itself, and answers as JSON."""

from __future__ import annotations

import json
import secrets
from collections.abc import Awaitable, Callable
from functools import partial
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from circuitcheck.basics.folders import folder
from circuitcheck.editing.words import KEYWORDS
from circuitcheck.language.chapters import FORMS
from circuitcheck.live.crew import (
    BusyError,
    Crew,
    FaultError,
    OutdatedError,
    TooLongError,
    size_for_machine,
)
from circuitcheck.live.guard import App, Guard
from circuitcheck.live.shelf import MOST_BYTES, NewerError, OffShelfError, Shelf

_KINDS = {
    ".js": "text/javascript",
    ".css": "text/css",
    ".txt": "text/plain",
}
_CREWS = {"look": "figures", "point": "figures", "why": "figures", "trial": "trials",
          "sheet": "pictures", "curve": "pictures"}  # fmt: skip
_SORTS = {"figures": (1.0, 60.0), "trials": (0.5, 10.0), "pictures": (0.5, 60.0)}
"""Share of the processors that each sort of jobs gets, seconds that one may take; own choice."""
_MOST_WORD = 300
"""Length of a name that the page sends at most."""
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'nonce-{nonce}'; connect-src 'self'; "
    "img-src 'self' blob: data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


class WrongError(Exception):
    """A question that the page would not ask."""


class Desk:
    """The circuits of a folder, and the processes that work on what pages ask about them."""

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self.crews = {
            name: Crew(size_for_machine(share), limit) for name, (share, limit) in _SORTS.items()
        }

    def begin(self) -> None:
        """Begin all processes."""
        for crew in self.crews.values():
            crew.begin()

    def end(self) -> None:
        """End all processes."""
        for crew in self.crews.values():
            crew.end()

    async def open(self, asked: dict[str, Any]) -> Response:
        name = _word(asked, "name") or self.shelf.first
        held = self.shelf.read(name)
        return JSONResponse(
            {"name": name, "text": held.text, "mark": held.mark, "names": self.shelf.names(),
             "words": {"headings": list(FORMS), "keywords": KEYWORDS}}
        )  # fmt: skip

    async def state(self, asked: dict[str, Any]) -> Response:
        """Say what state a file is in now, so that changes on the disk are seen."""
        return JSONResponse({"mark": self.shelf.mark(_word(asked, "name"))})

    async def save(self, asked: dict[str, Any]) -> Response:
        try:
            mark = self.shelf.save(_word(asked, "name"), _text(asked), _word(asked, "over"))
        except NewerError as newer:
            held = newer.held
            there = {"text": held.text, "mark": held.mark} if held else {"text": "", "mark": ""}
            return JSONResponse({"said": "the file on the disk is newer", **there}, 409)
        return JSONResponse({"mark": mark})

    async def job(self, name: str, asked: dict[str, Any]) -> Response:
        """Have a question about a text answered by a process."""
        tab = _word(asked, "tab")
        task = {
            "file": str(self.shelf.path(_word(asked, "name"))), "text": _text(asked),
            "tab": tab, "step": _word(asked, "step"),
            "result": _word(asked, "result"), "curve": _word(asked, "curve"),
            "positions": asked.get("positions") is True, "colours": asked.get("colours") is True,
            "sheet": asked["sheet"] if isinstance(asked.get("sheet"), int) else 0,
        }  # fmt: skip
        return JSONResponse(await self.crews[_CREWS[name]].ask(tab, name, task))


def make_app(shelf: Shelf, port: int, token: str) -> tuple[App, Desk]:
    """Give the server's application, and the desk to be ended after it."""
    desk = Desk(shelf)
    asks = {"open": desk.open, "state": desk.state, "save": desk.save}
    asks |= {name: partial(desk.job, name) for name in _CREWS}
    routes = [Route("/", _page), Route("/page/{name:path}", _file)]
    routes += [
        Route(f"/ask/{name}", partial(_answered, ask), methods=["POST"])
        for name, ask in asks.items()
    ]
    return Guard(Starlette(routes=routes), port, token), desk


Ask = Callable[[dict[str, Any]], Awaitable[Response]]


async def _answered(ask: Ask, request: Request) -> Response:
    try:
        asked = json.loads(await request.body())
        if not isinstance(asked, dict):
            raise WrongError("this is not how the page asks")
        return await ask(asked)
    except (ValueError, RecursionError, WrongError) as problem:
        return _said(400, str(problem))
    except OffShelfError as problem:
        return _said(404, str(problem))
    except OutdatedError:
        return _said(410, "something newer was asked in the meantime")
    except BusyError as problem:
        return _said(503, str(problem))
    except TooLongError as problem:
        return _said(504, str(problem))
    except FaultError as problem:
        return _said(500, f"this is a fault of circuitcheck, not of your text: {problem}")


def _said(status: int, why: str) -> Response:
    return JSONResponse({"said": why}, status)


def _word(asked: dict[str, Any], name: str) -> str:
    value = asked.get(name, "")
    if not isinstance(value, str) or len(value) > _MOST_WORD:
        raise WrongError(f"'{name}' is not a short text")
    return value


def _text(asked: dict[str, Any]) -> str:
    text = asked.get("text")
    if not isinstance(text, str) or len(text) > MOST_BYTES:
        raise WrongError(f"a text is at most {MOST_BYTES} characters long")
    return text.encode("utf-8", "replace").decode()


async def _page(_request: Request) -> Response:
    nonce = secrets.token_urlsafe(16)
    page = (folder("live/page") / "index.html").read_text(encoding="utf-8").replace("NONCE", nonce)
    headers = {"content-security-policy": _POLICY.format(nonce=nonce)}
    return Response(page, media_type="text/html", headers=headers)


def _files() -> dict[str, Path]:
    """Give the files of the page by name; nothing else can be asked for."""
    page = folder("live/page")
    found = [*page.glob("*"), *(page / "vendor").glob("*")]
    return {path.relative_to(page).as_posix(): path for path in found if path.suffix in _KINDS}


async def _file(request: Request) -> Response:
    path = _files().get(request.path_params["name"])
    if path is None:
        return _said(404, "there is no such file")
    return Response(path.read_bytes(), media_type=_KINDS[path.suffix])
