"""Texts of small circuits, which several tests read and change."""

from __future__ import annotations

PRESS = """\
circuit "press"
oil ISO VG 46, at 45 degC
parts
  T1  tank, 100 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 180 bar
  V1  valve 4/3, closed centre
  C1  cylinder, bore 80 mm, rod 50 mm, stroke 400 mm
lines
  suction from T1 to P1 S
  from P1 P to V1 P
  from P1 P to R1 P
  from R1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T to T1
cycle
  step idle, V1 at centre, 5 s
  step out, V1 at a, C1 load 20 kN, C1 travels 400 mm
"""

TWO_PUMPS = """\
parts
  T1  tank
  P1 and P2  pump, fixed, 10 cc/rev, 1450 rpm, volumetric 100 %
  C1  cylinder, single acting, bore 50 mm, stroke 100 mm
lines
  from T1 to P1 S and P2 S
  from P1 P and P2 P to C1 cap
cycle
  step go,  C1 load 1 kN
  step stop,  C1 at end stop
"""
"""A circuit whose last step contradicts itself: rigid pumps on a rod that stands."""

CYLINDER_STAND = """circuit "stand"
parts
  T1 tank
  E1 electric motor, 7.5 kW, 1450 rpm
  P1 pump, fixed, 16 cc/rev, driven by E1
  R1 relief, set 160 bar, 60 L/min
  V1 valve 4/3, closed centre, solenoids a and b, spring centred, 40 L/min at 5 bar
  C1 cylinder, bore 63 mm, rod 36 mm, stroke 500 mm
lines
  from T1 to P1 S
  from P1 P to R1 P and V1 P
  from R1 T and V1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
cycle
  step out, V1 at a, C1 load 20 kN
  step back, V1 at b, C1 load 5 kN
"""

THROTTLE_STAND = """circuit "stand"
parts
  T1 tank
  E1 electric motor, 7.5 kW, 1450 rpm
  P1 pump, fixed, 16 cc/rev, driven by E1
  R1 relief, set 160 bar, 60 L/min
  TH1 throttle, 20 L/min at 100 bar
lines
  from T1 to P1 S
  pressure from P1 P to R1 P and TH1 in
  from R1 T and TH1 out to T1
cycle
  step cold, oil at 20 degC
  step warm, oil at 60 degC
"""
