"""The chain from text to report; the only room that knows the order of the stages.

Every stage gives its result and its findings. A mistake in the text stops what needs the
missing thing and nothing else. Rooms are loaded when first needed, so that importing this
one costs nothing.
"""

from circuitcheck.basics.refusal import CircuitError
from circuitcheck.pipeline.own_kinds import Registration, register
from circuitcheck.pipeline.project import Project, load, open_file, parse

__all__ = [
    "CircuitError",
    "Project",
    "Registration",
    "load",
    "open_file",
    "parse",
    "register",
]
