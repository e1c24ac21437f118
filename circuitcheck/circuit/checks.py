"""What is looked at when the whole circuit stands: ports left open, parts without a drive."""

from __future__ import annotations

from collections.abc import Mapping, Set

from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import End
from circuitcheck.components._parts import Part


def check_open_ports(desk: Desk, parts: Mapping[str, Part], joined: Set[End]) -> None:
    """Report ports with nothing on them that are not said to be plugged."""
    for part in parts.values():
        for port in part.ports:
            end = End(part.name, port.letter)
            if port.needed and end not in joined and port.letter not in part.plugged:
                desk.error(
                    "port-open",
                    part.place,
                    f"port {port.letter} of {part.name} is not joined to anything",
                    f"add a line from {end}, or close it: {part.name}, {port.letter} plugged",
                    component=part.name,
                )


def check_drives(desk: Desk, parts: Mapping[str, Part]) -> None:
    """Report what needs a shaft and has none: neither a drive nor a speed of its own, or both."""
    for part in parts.values():
        if part.driven_by is not None and part.given("speed"):
            desk.error(
                "two-speeds",
                part.figures["speed"].place,
                f"{part.name} is driven by {part.driven_by} and has a speed of its own",
                "take one of the two away",
                component=part.name,
            )
        if part.kind.driven and part.driven_by is None and part.figure("speed") is None:
            own = part.kind.parameter("speed")
            remedy = "write what turns it: driven by E1"
            if own is not None:
                remedy += f", or its speed: 1450 {own.unit}"
            desk.error(
                "drive-missing",
                part.place,
                f"nothing turns {part.name}",
                remedy,
                component=part.name,
            )
