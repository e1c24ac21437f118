"""All element laws by their word."""

from __future__ import annotations

from types import MappingProxyType

from circuitcheck.laws import (
    bores,
    brakes,
    drives,
    machines,
    measured,
    modulated,
    passages,
    pipe,
    rotary,
    storage,
    transmissions,
    warm_gas,
)
from circuitcheck.laws._law import Law

_ALL: tuple[Law, ...] = (
    passages.Gap(),
    passages.Resistor(),
    passages.Orifice(),
    bores.Hole(),
    bores.Tube(),
    modulated.Modulated(),
    pipe.Pipe(),
    rotary.Rotary(),
    measured.Measured(),
    machines.Piston(),
    machines.Load(),
    machines.Void(),
    drives.Slip(),
    storage.Store(),
    warm_gas.WarmStore(),
    transmissions.Coupling(),
    brakes.Brake(),
)

STORES = ("store", "warm_store")
"""Laws of elements that keep oil from step to step."""

LAWS: MappingProxyType[str, Law] = MappingProxyType({law.word: law for law in _ALL})
