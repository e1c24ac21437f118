"""Three machines of sixty parts to order: a crane, a loader and a transfer line (neutral cases).

Made of what large machines have in common: several pumps, load sensing beside open-centre
valves in series, pilot valves with lines to both ends of a spool, counterbalances, accumulator.
"""

from __future__ import annotations

from typing import Any

from tests.schematic.banks import FRAMES, Case, branch, fan, sections

FRAMES.update(
    {
        "valve_piloted": (
            "valve", 3, 24, 4, ("mirror",),
            {"P": (11, 4, "S"), "T": (13, 4, "S"), "A": (11, 0, "N"), "B": (13, 0, "N"),
             "XA": (0, 2, "W"), "XB": (24, 2, "E")},
        ),
        "valve_series": (
            "valve", 3, 26, 4, ("mirror",),
            {"P": (10, 4, "S"), "N": (13, 4, "S"), "T": (16, 4, "S"), "A": (10, 0, "N"),
             "NO": (13, 0, "N"), "B": (16, 0, "N")},
        ),
        "pilot_valve": (
            "valve", 3, 14, 4, ("mirror",),
            {"P": (6, 4, "S"), "T": (8, 4, "S"), "A": (4, 0, "N"), "B": (10, 0, "N")},
        ),
        "accumulator": ("accumulator", 3, 4, 8, (), {"P": (2, 8, "S")}),
        "reducing": ("flow_control", 2, 6, 6, ("mirror",),
                     {"P": (3, 6, "S"), "A": (3, 0, "N"), "T": (6, 3, "E")}),
        "unloading": ("relief", 2, 6, 6, ("mirror",),
                      {"P": (3, 0, "N"), "T": (3, 6, "S"), "X": (0, 3, "W")}),
    }
)  # fmt: skip


def _pump(case: Case, number: int, *, relief: str = "relief") -> str:
    """Add a fixed pump with relief and check; give the pin behind the check."""
    n = str(number)
    case.add(f"RV{n}9", relief)
    case.add(f"CV{n}9", "check")
    case.join("pressure", f"P{n}.P", f"RV{n}9.P", f"CV{n}9.in")
    case.join("return", f"RV{n}9.T", "T.T")
    return f"CV{n}9.out"


def _drive(case: Case, pumps: tuple[str, ...]) -> None:
    case.add("M1", "prime_mover")
    for k, kind in enumerate(pumps, start=1):
        case.add(f"P{k}", kind)
    case.join("shaft", "M1.S", *(f"P{k}.D" for k in range(1, len(pumps) + 1)))
    case.join("suction", "T.T", *(f"P{k}.S" for k in range(1, len(pumps) + 1)))


def crane() -> dict[str, Any]:
    """Mobile: a load-sensing bank, and piloted valves of a second pump with their joysticks."""
    case = Case("crane")
    _drive(case, ("pump_ls", "pump", "pump"))
    piloted = ("held", "motor held", "plain", "held")
    returns = tuple(f"W{k}.T" for k in range(1, len(piloted) + 1))
    sections(case, ("held", "held", "motor", "locked", "plain"), True, False, returns=returns)
    high, pilot = _pump(case, 2), _pump(case, 3)
    case.add("AC1", "accumulator")
    case.add("G3", "gauge")
    for k in range(1, len(piloted) + 1):
        case.add(f"W{k}", "valve_piloted")
    for k in range(1, len(piloted) + 1):
        case.add(f"J{k}", "pilot_valve")
        case.join("return", f"J{k}.T", "T.T")
        case.join("pilot", f"J{k}.A", f"W{k}.XA")
        case.join("pilot", f"J{k}.B", f"W{k}.XB")
    case.join("pressure", high, *(f"W{k}.P" for k in range(1, len(piloted) + 1)))
    inlets = (f"J{k}.P" for k in range(1, len(piloted) + 1))
    case.join("pilot", pilot, "AC1.P", "G3.P", *inlets)
    for k, kind in enumerate(piloted, start=1):
        branch(case, kind, f"w{k}", f"W{k}.A", f"W{k}.B")
    return case.done()


def loader() -> dict[str, Any]:
    """Mobile: open-centre valves in series at one pump, a load-sensing bank at another, a fan."""
    case = Case("loader")
    _drive(case, ("pump_ls", "pump", "pump"))
    series = ("held", "relieved", "plain", "motor", "held")
    last = len(series)
    returns = (*(f"W{k}.T" for k in range(1, last + 1)), f"W{last}.NO")
    bank = ("plain", "held", "motor held", "throttled", "locked")
    sections(case, bank, True, True, returns=returns)
    feed = _pump(case, 2)
    for k in range(1, last + 1):
        case.add(f"W{k}", "valve_series")
    case.add("G2", "gauge")
    case.join("pressure", feed, "G2.P", "W1.N", *(f"W{k}.P" for k in range(1, last + 1)))
    for k in range(1, last):
        case.join("pressure", f"W{k}.NO", f"W{k + 1}.N")
    for k, kind in enumerate(series, start=1):
        branch(case, kind, f"w{k}", f"W{k}.A", f"W{k}.B")
    fan(case)
    return case.done()


def transfer_line() -> dict[str, Any]:
    """Stationary: two pumps of which one is unloaded, accumulator, eleven stations."""
    case = Case("transfer line")
    _drive(case, ("pump", "pump"))
    case.add("UV1", "unloading")
    for name, kind in (
        ("CV1", "check"), ("RV1", "relief"), ("G1", "gauge"), ("AC1", "accumulator"),
        ("F1", "filter_return"), ("CL1", "cooler"),
    ):  # fmt: skip
        case.add(name, kind)
    stations = (
        "locked", "plain", "throttled", "motor", "held", "plain", "locked", "relieved", "held",
        "throttled", "motor",
    )  # fmt: skip
    numbers = range(1, len(stations) + 1)
    for k in numbers:
        case.add(f"V{k}", "valve43")
        case.add(f"CK{k}", "check")
        case.join("pressure", f"CK{k}.out", *([] if k % 3 == 2 else [f"V{k}.P"]),
                  *([f"RD{k}.P"] if k % 3 == 2 else []))  # fmt: skip
        if k % 3 == 2:
            case.add(f"RD{k}", "reducing")
            case.join("pressure", f"RD{k}.A", f"V{k}.P")
            case.join("drain", f"RD{k}.T", "T.T")
    case.join("pressure", "P1.P", "UV1.P", "CV1.in")
    inlets = (f"CK{k}.in" for k in numbers)
    case.join("pressure", "P2.P", "CV1.out", "UV1.X", "RV1.P", "G1.P", "AC1.P", *inlets)
    case.join("return", "UV1.T", "T.T")
    case.join("return", "RV1.T", "T.T")
    case.join("return", *(f"V{k}.T" for k in numbers), "F1.in")
    case.join("return", "F1.out", "CL1.in")
    case.join("return", "CL1.out", "T.T")
    for k, kind in zip(numbers, stations, strict=True):
        branch(case, kind, str(k), f"V{k}.A", f"V{k}.B")
    return case.done()


LARGE: dict[str, dict[str, Any]] = {
    "crane": crane(),
    "loader": loader(),
    "transfer line": transfer_line(),
}
