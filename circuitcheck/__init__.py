"""Checks hydraulic circuits written as text and computes their operating points.

    import circuitcheck as cc

    press = cc.load("press.hyc")
    points = press.solve()
    points["C1"].speed                      # over all steps, a pint quantity [m/s]
    points.step("press")["C1"].speed        # in one step
    press.check().findings
    press.draw("press")                     # SVG, with the values of that step
    press.duty().heat.degC                  # where the oil settles over the cycle [degC]
    press.plot("pump", "P1", form="png")    # a curve as a picture

The functions come from `circuitcheck.pipeline` and are loaded on first use.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from circuitcheck.pipeline import CircuitError, Project, load, parse, register

__version__ = "0.1.0"
__all__ = ["CircuitError", "Project", "__version__", "load", "parse", "register"]


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module 'circuitcheck' has no attribute '{name}'")
    from circuitcheck import pipeline

    return getattr(pipeline, name)


def __dir__() -> list[str]:
    return sorted(__all__)
