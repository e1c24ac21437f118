"""Who may speak to the live page's server: this machine, this page, with the token."""

from __future__ import annotations

import hmac
import json
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_BODY = 2_000_000
"""Bytes of a request at most: a text of the size that can be saved, escaped as JSON."""
MOST_PATH = 200
TOKEN = b"x-circuitcheck-token"
_HEADERS = (
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cache-control", b"no-store"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"x-frame-options", b"DENY"),
)


class Guard:
    """Turns away what does not come from the page itself; everything else goes on to ``app``.

    Loopback does not suffice: any page in the same browser can send requests there, and a name
    that is made to lead to loopback could read the answers. So Host and Origin must be this
    server's own, and all but the empty page needs the token, which no other page knows.
    """

    def __init__(self, app: App, port: int, token: str) -> None:
        self._app, self._token = app, token.encode()
        self._hosts = {f"{name}:{port}".encode() for name in ("127.0.0.1", "localhost")}
        self._origins = {b"http://" + host for host in self._hosts}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        refused = self._refusal(scope)
        if refused is not None:
            await _refuse(send, *refused)
            return
        body, whole = await _read(receive) if scope["method"] == "POST" else (b"", True)
        if not whole:
            await _refuse(send, 413, "this request is too large")
            return
        await self._app(scope, _giving(body), _with_headers(send))

    def _refusal(self, scope: Scope) -> tuple[int, str] | None:
        headers: dict[bytes, bytes] = dict(scope["headers"])
        if headers.get(b"host", b"").lower() not in self._hosts:
            return 403, "this server answers on loopback only"
        origin = headers.get(b"origin")
        if origin is not None and origin not in self._origins:
            return 403, "this request comes from another page"
        if headers.get(b"sec-fetch-site", b"none") not in (b"same-origin", b"none"):
            return 403, "this request comes from another page"
        if len(scope["path"]) > MOST_PATH:
            return 414, "this address is too long"
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return 405, "this is not how the page asks"
        if scope["method"] == "POST":
            return self._refusal_of_question(headers)
        return None

    def _refusal_of_question(self, headers: dict[bytes, bytes]) -> tuple[int, str] | None:
        if not hmac.compare_digest(headers.get(TOKEN, b""), self._token):
            return 401, "the token is missing or not of this run"
        if headers.get(b"content-type", b"").partition(b";")[0] != b"application/json":
            return 415, "this is not how the page asks"
        length = headers.get(b"content-length", b"0")
        if not length.isdigit() or int(length) > MOST_BODY:
            return 413, "this request is too large"
        return None


async def _read(receive: Receive) -> tuple[bytes, bool]:
    """Read the body of a request; False with it where it is larger than said or allowed."""
    pieces, size = [], 0
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return b"", True
        piece = message.get("body", b"")
        size += len(piece)
        if size > MOST_BODY:
            return b"", False
        pieces.append(piece)
        if not message.get("more_body", False):
            return b"".join(pieces), True


def _giving(body: bytes) -> Receive:
    async def receive() -> Message:
        return {"type": "http.request", "body": body, "more_body": False}

    return receive


def _with_headers(send: Send) -> Send:
    async def with_headers(message: Message) -> None:
        if message["type"] == "http.response.start":
            message["headers"] = [*message.get("headers", []), *_HEADERS]
        await send(message)

    return with_headers


async def _refuse(send: Send, status: int, why: str) -> None:
    headers = [(b"content-type", b"application/json"), *_HEADERS]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": json.dumps({"said": why}).encode()})
