"""Loads what is slow to load; processes that work for the page begin as copies of one with it."""

from __future__ import annotations

from circuitcheck.live import jobs

jobs.make_ready()

__all__ = ["jobs"]
