"""Where on the circuit a reading was taken."""

from __future__ import annotations

from circuitcheck.circuit.model import Claim
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._drains import drain_path, with_case


def junction_of(case: Case, reading: Claim) -> str | None:
    """Junction at which a reading of pressure was taken."""
    if reading.subject in case.circuit.junctions:
        return reading.subject
    part = case.circuit.parts.get(reading.subject)
    if part is None:
        return None
    port = reading.port or ("P" if part.kind.word == "pump" else "")
    if not port and len(part.ports) == 1:
        port = part.ports[0].letter
    if port == "end" and part.kind.word != "line":
        port = ""
    return case.network.at(part.name, port)


def drained_through(case: Case, meter: str) -> Part | None:
    """Pump or motor whose case drain runs through a flow meter, None if there is none."""
    for part in with_case(case):
        if any(passage.part == meter for passage in drain_path(case, part) or ()):
            return part
    return None
