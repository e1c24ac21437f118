"""Neutral cases made to order: banks of load-sensing valves and whole mobile machines.

The frames and ports are those of the kept neutral cases, so that the figures can be compared.
"""

from __future__ import annotations

from typing import Any

Ports = dict[str, tuple[float, float, str]]
FRAMES: dict[str, tuple[str, int, float, float, tuple[str, ...], Ports]] = {
    "tank": ("tank", 0, 4, 3, (), {"T": (2, 0, "N")}),
    "prime_mover": ("prime_mover", 1, 6, 6, ("mirror",), {"S": (6, 3, "E")}),
    "pump": ("pump", 1, 8, 8, ("mirror",), {"P": (4, 0, "N"), "S": (4, 8, "S"), "D": (0, 4, "W")}),
    "pump_ls": (
        "pump", 1, 10, 8, ("mirror",),
        {"P": (4, 0, "N"), "S": (4, 8, "S"), "D": (0, 4, "W"), "X": (10, 2, "E"),
         "L": (10, 6, "E")},
    ),
    "relief": ("relief", 2, 6, 6, ("mirror", "turn"), {"P": (3, 0, "N"), "T": (3, 6, "S")}),
    "check": ("check", 2, 2, 3, ("mirror", "turn"), {"in": (1, 3, "S"), "out": (1, 0, "N")}),
    "orifice": ("orifice", 2, 4, 4, ("mirror", "turn"), {"in": (2, 4, "S"), "out": (2, 0, "N")}),
    "gauge": ("gauge", 3, 4, 4, ("mirror", "turn"), {"P": (2, 4, "S")}),
    "filter_return": ("filter", 1, 4, 4, ("mirror", "turn"),
                      {"in": (2, 0, "N"), "out": (2, 4, "S")}),
    "cooler": ("cooler", 1, 4, 4, ("mirror", "turn"), {"in": (2, 0, "N"), "out": (2, 4, "S")}),
    "compensator": ("compensator", 2, 6, 6, ("mirror", "turn"),
                    {"P": (3, 6, "S"), "A": (3, 0, "N"), "X": (0, 3, "W")}),
    "valve_ls": (
        "valve", 3, 24, 4, ("mirror",),
        {"P": (11, 4, "S"), "T": (13, 4, "S"), "A": (11, 0, "N"), "B": (13, 0, "N"),
         "LS": (0, 2, "W")},
    ),
    "valve43": (
        "valve", 3, 20, 4, ("mirror",),
        {"P": (9, 4, "S"), "T": (11, 4, "S"), "A": (9, 0, "N"), "B": (11, 0, "N")},
    ),
    "shuttle": ("shuttle", 2, 6, 4, ("mirror", "turn"),
                {"X": (0, 2, "W"), "Y": (6, 2, "E"), "Z": (3, 4, "S")}),
    "cbv_dual": (
        "counterbalance", 4, 14, 6, ("mirror",),
        {"V1": (2, 6, "S"), "V2": (12, 6, "S"), "C1": (2, 0, "N"), "C2": (12, 0, "N")},
    ),
    "pilot_check": ("check", 4, 4, 4, ("mirror",),
                    {"in": (2, 4, "S"), "out": (2, 0, "N"), "X": (0, 2, "W")}),
    "oneway": ("flow_control", 4, 6, 4, ("mirror", "turn"),
               {"in": (3, 4, "S"), "out": (3, 0, "N")}),
    "cylinder": ("actuator", 5, 18, 4, ("mirror",), {"A": (2, 4, "S"), "B": (14, 4, "S")}),
    "motor": ("actuator", 5, 8, 8, ("mirror",),
              {"A": (0, 4, "W"), "B": (8, 4, "E"), "L": (4, 8, "S")}),
}  # fmt: skip
"""Type -> role, rank, width and height of the frame [M], what may be done to it, ports."""


class Case:
    """Collects symbols and nets of a neutral case."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.symbols: list[dict[str, Any]] = []
        self.nets: list[dict[str, Any]] = []
        self.add("T", "tank", repeatable=True)

    def add(self, name: str, type_: str, **more: Any) -> str:
        role, rank, w, h, may, ports = FRAMES[type_]
        made = {k: {"x": x, "y": y, "side": side} for k, (x, y, side) in ports.items()}
        self.symbols.append(
            {"id": name, "type": type_, "role": role, "rank": rank, "w": w, "h": h,
             "ports": made, **({"may": list(may)} if may else {}), **more}
        )  # fmt: skip
        return name

    def join(self, kind: str, *pins: str) -> None:
        self.nets.append({"id": f"n{len(self.nets)}", "kind": kind, "pins": list(pins)})

    def done(self) -> dict[str, Any]:
        return {"name": self.name, "module": 1, "symbols": self.symbols, "nets": self.nets}


def supply(case: Case, pump: str = "pump_ls") -> None:
    case.add("M1", "prime_mover")
    case.add("P1", pump)
    case.join("shaft", "M1.S", "P1.D")
    case.join("suction", "T.T", "P1.S")


def branch(case: Case, kind: str, n: str, a: str, b: str) -> None:
    """Join an actuator with what belongs to it to the work ports a and b."""
    if kind.startswith("motor"):
        mover = case.add(f"MO{n}", "motor")
        case.join("drain", f"{mover}.L", "T.T")
    else:
        mover = case.add(f"C{n}", "cylinder")
    ends = f"{mover}.A", f"{mover}.B"
    if kind.endswith("held"):
        case.add(f"CB{n}", "cbv_dual")
        case.join("work", a, f"CB{n}.V1")
        case.join("work", b, f"CB{n}.V2")
        case.join("work", f"CB{n}.C1", ends[0])
        case.join("work", f"CB{n}.C2", ends[1])
    elif kind.endswith("locked"):
        for side, low, other, high in (("A", a, "B", ends[0]), ("B", b, "A", ends[1])):
            case.add(f"K{side}{n}", "pilot_check")
            case.join("work", low, f"K{side}{n}.in", f"K{other}{n}.X")
            case.join("work", f"K{side}{n}.out", high)
    elif kind.endswith("throttled"):
        case.add(f"TH{n}", "oneway")
        case.join("work", a, f"TH{n}.in")
        case.join("work", f"TH{n}.out", ends[0])
        case.join("work", b, ends[1])
    elif kind.endswith("twin"):
        case.add(f"D{n}", "cylinder")
        case.join("work", a, ends[0], f"D{n}.A")
        case.join("work", b, ends[1], f"D{n}.B")
    elif kind.endswith("relieved"):
        case.add(f"PR{n}", "relief")
        case.join("work", a, ends[0], f"PR{n}.P")
        case.join("return", f"PR{n}.T", "T.T")
        case.join("work", b, ends[1])
    else:
        case.join("work", a, ends[0])
        case.join("work", b, ends[1])


def bank(
    kinds: tuple[str, ...], *, compensated: bool = True, backwards: bool = False
) -> dict[str, Any]:
    """A load-sensing pump with one section for each kind of branch and a chain of shuttles.

    With ``backwards`` the chain begins at the last section and ends at the first.
    """
    case = Case("bank " + " ".join(kinds))
    supply(case)
    sections(case, kinds, compensated, backwards)
    return case.done()


def sections(
    case: Case, kinds: tuple[str, ...], compensated: bool, backwards: bool,
    feeds: tuple[str, ...] = (), returns: tuple[str, ...] = (),
) -> None:  # fmt: skip
    for name, kind in (
        ("RV1", "relief"), ("LSR1", "relief"), ("OR1", "orifice"), ("G1", "gauge"),
        ("F1", "filter_return"), ("CL1", "cooler"),
    ):  # fmt: skip
        case.add(name, kind)
    numbers = [str(k + 1) for k in range(len(kinds))]
    for n in numbers if compensated else ():
        case.add(f"CP{n}", "compensator")
    for n in numbers:
        case.add(f"V{n}", "valve_ls")
    for n in numbers[1:]:
        case.add(f"SH{n}", "shuttle")
    inlets = [f"CP{n}.P" if compensated else f"V{n}.P" for n in numbers]
    case.join("pressure", "P1.P", "RV1.P", "G1.P", *inlets, *feeds)
    case.join("return", *(f"V{n}.T" for n in numbers), *returns, "F1.in")
    case.join("return", "F1.out", "CL1.in")
    case.join("return", "CL1.out", "T.T")
    case.join("return", "RV1.T", "T.T")
    case.join("return", "LSR1.T", "T.T")
    case.join("return", "OR1.out", "T.T")
    case.join("drain", "P1.L", "T.T")
    order = numbers[::-1] if backwards else numbers
    signal = [f"V{order[0]}.LS", *([f"CP{order[0]}.X"] if compensated else [])]
    for k, n in enumerate(order):
        if compensated:
            case.join("pressure", f"CP{n}.A", f"V{n}.P")
        if k == 0:
            continue
        shuttle = f"SH{numbers[k]}"
        case.join("load_sense", *signal, f"{shuttle}.X")
        own = [f"V{n}.LS", *([f"CP{n}.X"] if compensated else [])]
        case.join("load_sense", *own, f"{shuttle}.Y")
        signal = [f"{shuttle}.Z"]
    case.join("load_sense", *signal, "P1.X", "LSR1.P", "OR1.in")
    for n, kind in zip(numbers, kinds, strict=True):
        branch(case, kind, n, f"V{n}.A", f"V{n}.B")


def fan(case: Case) -> None:
    """A third pump that turns a fan, with its own relief valve."""
    case.add("FM", "motor")
    case.add("RV3", "relief")
    case.join("pressure", "P3.P", "RV3.P", "FM.A")
    case.join("return", "RV3.T", "T.T")
    case.join("return", "FM.B", "T.T")
    case.join("drain", "FM.L", "T.T")


def mobile(kinds: tuple[str, ...], plain: tuple[str, ...]) -> dict[str, Any]:
    """A mobile machine: a load-sensing bank, a second pump with plain valves, a fan."""
    case = Case("mobile machine")
    case.add("M1", "prime_mover")
    case.add("P1", "pump_ls")
    case.add("P2", "pump")
    case.add("P3", "pump")
    case.join("shaft", "M1.S", "P1.D", "P2.D", "P3.D")
    case.join("suction", "T.T", "P1.S", "P2.S", "P3.S")
    returns = [f"W{k}.T" for k in range(1, len(plain) + 1)]
    sections(case, kinds, True, False, returns=tuple(returns))
    case.add("RV2", "relief")
    case.add("G2", "gauge")
    case.add("CV2", "check")
    case.join("pressure", "P2.P", "RV2.P", "CV2.in")
    case.join("return", "RV2.T", "T.T")
    for k in range(1, len(plain) + 1):
        case.add(f"W{k}", "valve43")
    case.join("pressure", "CV2.out", "G2.P", *(f"W{k}.P" for k in range(1, len(plain) + 1)))
    for k, kind in enumerate(plain, start=1):
        branch(case, kind, f"w{k}", f"W{k}.A", f"W{k}.B")
    fan(case)
    return case.done()


BANKS: dict[str, dict[str, Any]] = {
    "bank of 2": bank(("plain", "motor")),
    "bank of 3": bank(("plain", "held", "motor")),
    "bank of 4": bank(("held", "locked", "motor held", "twin")),
    "bank of 5": bank(("motor", "plain", "throttled", "held", "relieved"), backwards=True),
    "bank of 6": bank(("plain", "held", "held", "motor", "locked", "motor"), compensated=False),
    "bank of 8": bank(
        ("held", "plain", "motor held", "locked", "twin", "motor", "relieved", "plain")
    ),
    "bank of 10": bank(
        ("held", "held", "plain", "motor held", "locked")
        + ("plain", "motor", "held", "plain", "motor")
    ),
    "mobile of 60": mobile(
        ("held", "plain", "motor held", "held", "plain", "motor"), ("plain", "locked", "motor")
    ),
    "mobile of 70": mobile(
        ("held", "locked", "motor held", "held", "plain", "motor", "twin"),
        ("throttled", "locked", "motor"),
    ),
}
