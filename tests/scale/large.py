"""Large circuits of a given size: texts in which the same small things stand very often.

Each function gives a text of about ``parts`` parts (sized lines count as parts). They are
sound: nothing is found in them but what the rules have to say.
"""

from __future__ import annotations

from collections.abc import Callable

HEAD = 'circuit "Large"\noil ISO VG 46, at 50 degC\n'
DRIVE = "  E{0}  electric motor, 11 kW, 1450 rpm\n"
PUMP = "  P{0}  pump, fixed, 16 cc/rev, driven by E{0}, volumetric 92 %, rated 250 bar\n"
RELIEF = "  R{0}  relief, set 210 bar, 60 L/min, rated 315 bar\n"


def stations(parts: int) -> str:
    """Machines that have nothing in common but the page: pump, valve, cylinder, filter."""
    count = max(1, parts // 11)
    listed, laid, steps = [], [], []
    for i in range(1, count + 1):
        listed.append(
            f"  T{i}  tank, 90 L, least 60 L\n{DRIVE.format(i)}{PUMP.format(i)}{RELIEF.format(i)}"
            f"  V{i}  valve 4/3, tandem centre, solenoids a and b, spring centred,\n"
            f"      60 L/min at 6 bar, rated 315 bar\n"
            f"  C{i}  cylinder, bore 100 mm, rod 56 mm, stroke 500 mm, rated 250 bar\n"
            f"  F{i}  filter, 10 um, 60 L/min at 0.5 bar, bypass 1.7 bar\n"
        )
        laid.append(
            f"  from T{i} to P{i} S\n"
            f"  pressure_{i}  from P{i} P to V{i} P,  hose 12.7 mm, 1.5 m, rated 276 bar\n"
            f"  from P{i} P to R{i} P\n"
            f"  from R{i} T to T{i}\n"
            f"  push_{i}  from V{i} A to C{i} cap,  hose 12.7 mm, 2 m, rated 276 bar\n"
            f"  pull_{i}  from V{i} B to C{i} rod,  hose 12.7 mm, 2 m, rated 276 bar\n"
            f"  return_{i}  from V{i} T through F{i} to T{i},  hose 19 mm, 1 m\n"
        )
        steps.append(f",\n    V{i} at a, C{i} load 40 kN, C{i} travels 200 mm")
    return _text(listed, laid, steps)


def ladder(parts: int) -> str:
    """Two long rails with an orifice from one to the other at every rung."""
    rungs = max(1, (parts - 5) // 3)
    listed = ["  T1  tank, 900 L, least 600 L\n", DRIVE.format(1), PUMP.format(1), RELIEF.format(1)]
    laid = ["  from T1 to P1 S\n  from P1 P to R1 P\n  from R1 T to T1\n"]
    ahead, back = "P1 P", "T1"
    for i in range(1, rungs + 1):
        listed.append(f"  O{i}  orifice, 0.8 mm\n")
        laid.append(
            f"  out_{i}  from {ahead} to O{i} in,  tube 16 x 2 mm, 0.5 m\n"
            f"  back_{i}  from O{i} out to {back},  tube 20 x 2 mm, 0.5 m\n"
        )
        ahead, back = f"O{i} in", f"O{i} out"
    return _text(listed, laid, [", 3 s"])


def grid(parts: int) -> str:
    """A square net of hoses between throttles, fed at one corner and drained at the other."""
    side = max(2, round((parts / 3) ** 0.5))
    listed = ["  T1  tank, 900 L, least 600 L\n", DRIVE.format(1), PUMP.format(1), RELIEF.format(1)]
    laid = ["  from T1 to P1 S\n  from P1 P to R1 P\n  from R1 T to T1\n"]
    laid.append(f"  from P1 P to N1_1 in\n  from N{side}_{side} out to T1\n")
    for i in range(1, side + 1):
        for j in range(1, side + 1):
            listed.append(f"  N{i}_{j}  throttle, 20 L/min at 5 bar\n")
            if i < side:
                laid.append(f"  from N{i}_{j} out to N{i + 1}_{j} in,  hose 12.7 mm, 1 m\n")
            if j < side:
                laid.append(f"  from N{i}_{j} out to N{i}_{j + 1} in,  hose 12.7 mm, 1 m\n")
    return _text(listed, laid, [", 3 s"])


SECTION = """
block ls_section, flow ? L/min, limit 250 bar, spring 7 bar
  ports P, T, A, B, LS
  parts
    PC1 compensator, upstream, set (spring)
    V1  valve 4/3, closed centre, proportional, spring centred,
        (flow) at (spring), LS vented at centre
    R1  relief, set (limit), 5 L/min
    OR1 orifice, 0.8 mm
  lines
    from P to PC1 P
    from PC1 A to V1 P
    from V1 T to T
    from V1 A to A
    from V1 B to B
    pick_up   from V1 LS through OR1 to LS
    from pick_up to PC1 X
    from pick_up to R1 P
    from R1 T to T
end block
"""


def sections(parts: int) -> str:
    """A bank of load-sensing sections, each a block, with a chain of shuttles and cylinders."""
    count = max(2, parts // 8)
    listed = [
        "  T1  tank, 900 L, least 600 L\n", DRIVE.format(1), RELIEF.format(1),
        "  P1  pump, load sensing, axial piston, 45 cc/rev, driven by E1, margin 20 bar,\n"
        "      compensator 180 bar, rated 280 bar\n",
    ]  # fmt: skip
    laid = [
        "  from T1 to P1 S\n  from P1 L to T1\n  main  from P1 P to R1 P\n"
        "  spill  from R1 T to T1\n"
        f"  from S1 LS to SH2 1\n  from SH{count} out to P1 X\n"
    ]
    steps = []
    for i in range(1, count + 1):
        listed.append(f"  S{i}  ls_section, flow {20 + i % 5} L/min\n")
        listed.append(f"  C{i}  cylinder, bore 63 mm, rod 36 mm, stroke 400 mm, rated 250 bar\n")
        laid.append(
            f"  from main to S{i} P\n  from S{i} T to T1\n"
            f"  push_{i}  from S{i} A to C{i} cap,  hose 12.7 mm, 2 m, rated 276 bar\n"
            f"  pull_{i}  from S{i} B to C{i} rod,  hose 12.7 mm, 2 m, rated 276 bar\n"
        )
        if i > 1:
            listed.append(f"  SH{i}  shuttle\n")
            before = "" if i == 2 else f"  from SH{i - 1} out to SH{i} 1\n"
            laid.append(f"{before}  from S{i} LS to SH{i} 2\n")
        steps.append(f",\n    S{i}/V1 at a, C{i} load 20 kN, C{i} travels 200 mm")
    return SECTION + _text(listed, laid, steps)


def rail(parts: int) -> str:
    """One pressure line and one return line for very many branches, with a gauge at each."""
    count = max(1, parts // 9)
    listed = ["  T1  tank, 900 L, least 600 L\n", DRIVE.format(1), PUMP.format(1), RELIEF.format(1)]
    laid = ["  from T1 to P1 S\n  main  from P1 P to R1 P\n  from R1 T to T1\n"]
    steps = []
    for i in range(1, count + 1):
        listed.append(
            f"  V{i}  valve 4/3, closed centre, solenoids a and b, spring centred,\n"
            f"      60 L/min at 6 bar, rated 315 bar\n"
            f"  PC{i}  pilot check, ratio 3\n  G{i}  gauge, 0 to 315 bar\n"
            f"  C{i}  cylinder, bore 100 mm, rod 56 mm, stroke 500 mm, rated 250 bar\n"
            f"  RV{i}  relief, set {200 + i % 9} bar, 60 L/min\n"
            f"  X{i}  orifice, 0.8 mm\n"
        )
        laid.append(
            f"  from main to V{i} P\n  from V{i} T to T1\n  from main to RV{i} P and G{i}\n"
            f"  from RV{i} T to T1\n  push_{i}  from V{i} A through PC{i} to C{i} cap,  "
            f"hose 12.7 mm, 2 m\n  pull_{i}  from V{i} B to C{i} rod,  hose 12.7 mm, 2 m\n"
            f"  from V{i} B to PC{i} X\n  from main through X{i} to T1\n"
        )
        steps.append(f",\n    V{i} at a, C{i} load 40 kN, C{i} travels 200 mm")
    return _text(listed, laid, steps)


def _text(listed: list[str], laid: list[str], steps: list[str]) -> str:
    cycle = f"\ncycle\n  step work{''.join(steps)}\n"
    return f"{HEAD}\nparts\n{''.join(listed)}\nlines\n{''.join(laid)}{cycle}"


SHAPES: dict[str, Callable[[int], str]] = {
    "stations": stations,
    "ladder": ladder,
    "grid": grid,
    "sections": sections,
    "rail": rail,
}
