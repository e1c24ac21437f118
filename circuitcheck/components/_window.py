"""Viscosities that a pump or motor wants: given by its data sheet, seen by the rules."""

from __future__ import annotations

from circuitcheck.components._parts import Choice, Parameter, Part

PARAMETERS = (
    Parameter(
        "least viscosity",
        "viscosity",
        "cSt",
        "thinnest oil it may work with",
        least=1e-7,
        most=1e-3,
    ),
    Parameter(
        "most viscosity", "viscosity", "cSt", "thickest oil it may work with", least=1e-6, most=0.1
    ),
    Parameter(
        "start viscosity",
        "viscosity",
        "cSt",
        "thickest oil it may start with",
        least=1e-6,
        most=0.1,
    ),
)

CHOICE = Choice("fluid", ("rated for the fluid",))
"""Said of a rating that the maker gives for the fluid of the circuit."""


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    """The window goes from thin to thick oil; at the start more is allowed, not less."""
    found = []
    for thin, thick, remedy in (
        ("least viscosity", "most viscosity", "least is the thinner oil"),
        ("most viscosity", "start viscosity", "at the start thicker oil is allowed for a while"),
    ):
        low, high = part.figures.get(thin), part.figures.get(thick)
        if low is not None and high is not None and low.value > high.value:
            message = f"'{thin}' of {part.name} ({low.text}) is over '{thick}' ({high.text})"
            found.append((thick, message, remedy))
    return found
