"""All element laws by their word."""

from __future__ import annotations

from types import MappingProxyType

from circuitcheck.laws import machines, modulated, passages, pipe, storage, transmissions
from circuitcheck.laws._law import Law

_ALL: tuple[Law, ...] = (
    passages.Gap(),
    passages.Resistor(),
    passages.Orifice(),
    modulated.Modulated(),
    pipe.Pipe(),
    machines.Rotary(),
    machines.Piston(),
    machines.Load(),
    machines.Void(),
    machines.Slip(),
    storage.Store(),
    transmissions.Coupling(),
)

LAWS: MappingProxyType[str, Law] = MappingProxyType({law.word: law for law in _ALL})
