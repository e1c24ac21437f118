"""The server with everything that it answers."""

from __future__ import annotations

from circuitcheck.lsp import beside, naming, writing
from circuitcheck.lsp.server import server

ANSWERS = (beside, naming, writing)
"""Modules whose requests are registered as they are loaded."""

__all__ = ["server"]
