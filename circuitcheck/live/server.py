"""Runs the page's server on loopback until it is ended."""

from __future__ import annotations

import secrets
import signal
import socket
import webbrowser
from collections.abc import Callable
from pathlib import Path
from types import FrameType

import uvicorn

from circuitcheck.live.app import Desk, make_app
from circuitcheck.live.shelf import Shelf

LOOPBACK = "127.0.0.1"
USUAL_PORT = 7141
"""The port that is tried first, so that a page finds its server again; own choice."""


class PortTakenError(Exception):
    """The port asked for is used by another program."""


def serve(file: Path, port: int | None, browser: bool, say: Callable[[str], None]) -> None:
    """Serve the page of a circuit and the others of its folder; returns when it is ended.

    Parameters
    ----------
    port
        None for the usual one, or any free one where that is taken; 0 for any free one
    browser
        Whether to show the page in the browser
    say
        Is given the address as soon as the page can be had

    Raises
    ------
    PortTakenError
    OffShelfError
        If the file cannot be read
    """
    shelf = Shelf(file)
    shelf.read(shelf.first)
    held = _bound(port)
    own_port = held.getsockname()[1]
    token = secrets.token_urlsafe(32)
    app, desk = make_app(shelf, own_port, token)
    address = f"http://{LOOPBACK}:{own_port}/#token={token}"
    config = uvicorn.Config(
        app, log_config=None, access_log=False, lifespan="off", server_header=False,
        http="h11", ws="none", limit_concurrency=400, timeout_graceful_shutdown=2,
        timeout_keep_alive=75, h11_max_incomplete_event_size=32_000,
    )  # fmt: skip
    server = _Server(config, desk)

    def end(_signal: int, _frame: FrameType | None) -> None:
        server.should_exit = True  # heeded even before it begins, and harmless after its end

    try:
        held.listen(128)
        for way in (signal.SIGINT, signal.SIGTERM):  # the server ends on them, then all the rest
            signal.signal(way, end)
        desk.begin()
        say(address)
        if browser:
            webbrowser.open(address)
        server.run(sockets=[held])
    finally:
        desk.end()
        held.close()


class _Server(uvicorn.Server):
    """Ends the work in progress first, so that nothing is waited for."""

    def __init__(self, config: uvicorn.Config, desk: Desk) -> None:
        super().__init__(config)
        self._desk = desk

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End the processes, then the server."""
        self._desk.end()
        await super().shutdown(sockets)


def _bound(port: int | None) -> socket.socket:
    held = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    held.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        held.bind((LOOPBACK, USUAL_PORT if port is None else port))
    except OSError as error:
        if port is not None:
            held.close()
            why = (error.strerror or str(error)).lower()
            raise PortTakenError(f"port {port} cannot be used: {why}") from error
        held.bind((LOOPBACK, 0))
    return held
