"""Statements and kinds to a circuit: names resolved, figures in SI, ports joined."""

from circuitcheck.circuit.build import build
from circuitcheck.circuit.model import Circuit

__all__ = ["Circuit", "build"]
