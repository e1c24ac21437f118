"""What is bought with a part beside what it does: seals, threads, plate, adjusting range, people.

No equation reads these; the rules compare them from part to part.
"""

from __future__ import annotations

from circuitcheck.components._parts import Choice, Parameter

SEALS = Parameter("seals", "code", "", "material of the seals, letters of ISO 1629: NBR, FKM")
PORTS = Parameter("ports", "code", "", 'thread or flange of its ports: M22x1.5, "G 1/2", SAE61')

SUCTION_PORT = Parameter("suction port", "code", "", "thread or flange of the inlet")
TANK_PORT = Parameter("tank port", "code", "", "thread or flange of the port to tank")
DRAIN_PORT = Parameter("drain port", "code", "", "thread or flange of the case drain")

ENDS = (
    Parameter("ends", "code", "", "thread or flange of the fittings at both ends"),
    Parameter("near end", "code", "", "thread or flange at its near end"),
    Parameter("far end", "code", "", "thread or flange at its far end"),
)

THROUGH_DRIVE = (
    Parameter("through limit", "torque", "Nm", "highest torque handed on behind", least=0.1),
    Parameter("rear flange", "code", "", "flange for the pump behind, SAE J744 code"),
    Parameter("rear shaft", "code", "", "shaft that the pump behind must have, SAE J744 code"),
)

COUPLING = Parameter("coupling", "torque", "Nm", "highest torque of the coupling", least=0.1)

SIZE = (
    Parameter("size", "code", "", "size of its mounting pattern, ISO 4401: 06, 10"),
    Parameter("plate", "code", "", "size of the plate it stands on, ISO 4401: 06, 10"),
)

ADJUSTS = (
    Parameter("adjusts from", "pressure", "bar", "least setting of its spring", least=0.0),
    Parameter("adjusts to", "pressure", "bar", "highest setting of its spring", least=1.0),
)

HOSE_LIMITS = (
    Parameter("coldest", "temperature", "degC", "coldest oil it stands"),
    Parameter("hottest", "temperature", "degC", "hottest oil it stands"),
    Parameter("bend radius", "length", "mm", "radius to which it is bent", least=1e-3),
    Parameter("least radius", "length", "mm", "least radius it stands", least=1e-3),
)

NEAR_PEOPLE = Choice("reach", ("near people",))
GUARD = Choice("guard", ("guarded",))
NEAR_HEAT = Choice("heat", ("near a heat source",))
CRITICAL = Choice("rank", ("critical",))
ENDS_ABOVE = Choice("far end", ("ends above the oil",))
BELOW = Choice("below", ("people below",))
LOCK = Choice("lock", ("lockable",))
CLAMP = (Parameter("clamps at", "pressure", "bar", "least pressure that still clamps", least=1.0),)
