"""Netlists for the tests: machines put together from branches of the usual kinds."""

from __future__ import annotations

from collections.abc import Iterable

from circuitcheck.schematic import Item, Net, Netlist, Value
from circuitcheck.symbols import Look, all_symbols

SWITCHED = ("solenoids a and b", "spring centred")
PARALLEL, CROSSED = (("P", "A"), ("B", "T")), (("P", "B"), ("A", "T"))


class Machine:
    """Collects items and nets in the order of the text."""

    def __init__(self) -> None:
        self.items: list[Item] = []
        self.nets: list[Net] = []
        self.values: list[Value] = []

    def add(self, name: str, kind: str, *lines: str, **look: object) -> str:
        symbol = all_symbols()[kind](Look(**look))  # type: ignore[arg-type]
        self.items.append(Item(name, kind, symbol, lines, len(self.items)))
        return name

    def join(self, name: str, kind: str, *pins: str, label: str = "") -> None:
        split = tuple(tuple(pin.split(".")) for pin in pins)
        self.nets.append(Net(name, kind, split, label))  # type: ignore[arg-type]

    def value(self, pin: str, text: str) -> None:
        item, port = pin.split(".")
        self.values.append(Value(item, port, text))

    def netlist(self) -> Netlist:
        return Netlist(tuple(self.items), tuple(self.nets), values=tuple(self.values))


def valve(centre: tuple[tuple[str, ...], ...] = ()) -> dict[str, object]:
    return {
        "ports": ("P", "T", "A", "B"),
        "rest": "centre",
        "positions": {"a": PARALLEL, "centre": centre, "b": CROSSED},
        "actuation": SWITCHED,
    }


def press() -> Netlist:
    """Fixed pump, relief, tandem centre, one cylinder, return filter."""
    m = Machine()
    m.add("T1", "tank", "60 L", "ISO VG 46")
    m.add("E1", "electric motor", "11 kW", "1450 1/min")
    m.add("S1", "strainer", "125 µm", has=frozenset({"bypass"}))
    m.add("P1", "pump", "16 cm³", choices={"control": "fixed"}, ports=("S", "P"))
    m.add("R1", "relief", "210 bar")
    m.add("G1", "gauge", "0 to 315 bar")
    m.add("V1", "valve", "60 L/min at 6 bar", **valve((("P", "T"),)))
    m.add("C1", "cylinder", "100/56 x 500 mm")
    m.add("F1", "filter", "10 µm", has=frozenset({"bypass"}))
    m.join("shaft", "shaft", "E1.shaft", "P1.shaft")
    m.join("suction", "suction", "T1.T", "S1.in")
    m.join("suction 2", "suction", "S1.out", "P1.S", label="DN 32")
    m.join("pressure", "pressure", "P1.P", "R1.P", "V1.P", "G1.M", label="DN 12")
    m.join("spill", "return", "R1.T", "T1.T")
    m.join("push", "work", "V1.A", "C1.cap", label="DN 12")
    m.join("pull", "work", "V1.B", "C1.rod", label="DN 12")
    m.join("return", "return", "V1.T", "F1.in", label="DN 19")
    m.join("return 2", "return", "F1.out", "T1.T")
    m.value("P1.P", "203 bar")
    m.value("P1.P", "21.3 L/min")
    m.value("C1.cap", "191 bar")
    return m.netlist()


def regenerative() -> Netlist:
    """A 3/2 valve joins the rod line to the cap line; meter-out flow control."""
    m = Machine()
    m.add("T1", "tank", "40 L")
    m.add("E1", "electric motor", "2.2 kW")
    m.add("P1", "pump", "11 cm³", choices={"control": "fixed"}, ports=("S", "P"))
    m.add("R1", "relief", "70 bar")
    m.add("V1", "valve", "30 L/min", **valve())
    m.add(
        "V2",
        "valve",
        "30 L/min",
        ports=("P", "T", "A"),
        rest="rest",
        positions={"a": (("A", "P"),), "rest": (("A", "T"),)},
        actuation=("solenoid a", "spring return"),
    )
    m.add("FC1", "flow control", "1.5 L/min", choices={"reverse": "free-flow check"})
    m.add("C1", "cylinder", "63/45 x 400 mm")
    m.add("G1", "gauge", "0 to 160 bar")
    m.add("G2", "gauge", "0 to 250 bar")
    m.join("shaft", "shaft", "E1.shaft", "P1.shaft")
    m.join("suction", "suction", "T1.T", "P1.S")
    m.join("pressure", "pressure", "P1.P", "V1.P", "R1.P", "G1.M")
    m.join("spill", "return", "R1.T", "T1.T")
    m.join("cap", "work", "V1.A", "C1.cap", "V2.P")
    m.join("rod", "work", "C1.rod", "V2.A", "G2.M")
    m.join("meter", "work", "V2.T", "FC1.in")
    m.join("back", "work", "FC1.out", "V1.B")
    m.join("return", "return", "V1.T", "T1.T", label="DN 12")
    m.value("C1.cap", "58 bar")
    m.value("C1.rod", "143 bar")
    return m.netlist()


def splitter() -> Netlist:
    """Two pumps on one shaft, the big one unloaded by the pressure of the small one."""
    m = Machine()
    m.add("T1", "tank", "7 gal")
    m.add("E1", "engine", "9 hp", "3200 1/min")
    m.add("P1", "pump", "0.85 cu in", choices={"control": "fixed"}, ports=("S", "P"))
    m.add("P2", "pump", "0.26 cu in", choices={"control": "fixed"}, ports=("S", "P"))
    m.add("CV1", "check", "5 psi", has=frozenset({"cracking"}))
    m.add("U1", "unloading valve", "650 psi")
    m.add("R1", "relief", "2500 psi")
    m.add("V1", "valve", "25 gpm", **{**valve((("P", "T"),)), "actuation": ("lever", "detent b")})
    m.add("C1", "cylinder", "4/1-3/4 x 24 in")
    m.add("G1", "gauge", "0 to 5000 psi")
    m.add("F1", "filter", "25 µm", has=frozenset({"bypass"}))
    m.join("shaft", "shaft", "E1.shaft", "P1.shaft", "P2.shaft")
    m.join("suction", "suction", "T1.T", "P1.S", "P2.S")
    m.join("high", "pressure", "P2.P", "V1.P", "CV1.out", "R1.P", "G1.M", "U1.X")
    m.join("low", "pressure", "P1.P", "CV1.in", "U1.P")
    m.join("dump", "return", "U1.T", "T1.T")
    m.join("spill", "return", "R1.T", "T1.T")
    m.join("push", "work", "V1.A", "C1.cap")
    m.join("pull", "work", "V1.B", "C1.rod")
    m.join("return", "return", "V1.T", "F1.in")
    m.join("return 2", "return", "F1.out", "T1.T")
    m.value("P2.P", "2490 psi")
    return m.netlist()


def winch() -> Netlist:
    """Load-sensing pump, two sections, counterbalance, brake shuttle, winch."""
    m = Machine()
    m.add("T1", "tank", "90 L", "ISO VG 46")
    m.add("E1", "engine", "60 kW", "2000 1/min")
    load_sensing_pump(m)
    m.add("R1", "relief", "280 bar")
    m.add("S1", "section", "25 L/min")
    m.add("S2", "section", "60 L/min")
    m.add("SH1", "shuttle")
    m.add("SH2", "shuttle")
    m.add("CB1", "counterbalance", "230 bar", "4:1")
    m.add("B1", "cylinder", "brake", choices={"acting": "spring return"})
    m.add("C1", "cylinder", "63/36 x 300 mm")
    m.add("C2", "cylinder", "63/36 x 300 mm")
    m.add("M1", "motor", "100 cm³", ports=("A", "B", "L"))
    m.add("W1", "winch", "ratio 20")
    m.add("K1", "cooler", "12 kW")
    m.add("F1", "filter", "10 µm", has=frozenset({"bypass"}))
    m.add("G1", "gauge", "0 to 400 bar")
    m.add("G2", "gauge", "0 to 400 bar")
    m.add("FM1", "flowmeter", "0 to 20 L/min")
    m.join("shaft", "shaft", "E1.shaft", "P1.shaft")
    m.join("drum", "shaft", "M1.shaft", "W1.shaft")
    m.join("suction", "suction", "T1.T", "P1.S")
    m.join("pressure", "pressure", "P1.P", "S1.P", "S2.P", "R1.P", "G1.M")
    m.join("sense", "load_sense", "SH1.out", "P1.X", "G2.M")
    m.join("sense 1", "load_sense", "S1.LS", "SH1.1")
    m.join("sense 2", "load_sense", "S2.LS", "SH1.2")
    m.join("raise", "work", "S1.A", "C1.cap", "C2.cap")
    m.join("lower", "work", "S1.B", "C1.rod", "C2.rod")
    m.join("haul", "work", "S2.A", "CB1.V", "SH2.1")
    m.join("haul 2", "work", "CB1.C", "M1.A")
    m.join("pay out", "work", "S2.B", "M1.B", "SH2.2", "CB1.X")
    m.join("release", "pilot", "SH2.out", "B1.cap")
    m.join("return", "return", "S1.T", "S2.T", "K1.in", "R1.T")
    m.join("return 2", "return", "K1.out", "F1.in")
    m.join("return 3", "return", "F1.out", "T1.T")
    m.join("drain", "drain", "P1.L", "FM1.in")
    m.join("drain 2", "drain", "FM1.out", "T1.T")
    m.join("drain 3", "drain", "M1.L", "T1.T")
    m.value("P1.P", "203 bar")
    m.value("M1.A", "183 bar")
    return m.netlist()


def load_sensing_pump(m: Machine) -> None:
    m.add(
        "P1",
        "pump",
        "45 cm³",
        "LS 20 bar",
        choices={"control": "load sensing"},
        ports=("S", "P", "L", "X"),
        has=frozenset({"compensator", "torque limit"}),
    )


BRANCHES = (
    "cylinder",
    "holding",
    "metered",
    "motor",
    "locked",
    "two cylinders",
    "gauge",
    "sequence",
    "reduced",
    "port relief",
    "throttles",
)
EXTRAS = ("accumulator", "check", "cooler", "thermometer", "test point")


def machine(
    branches: Iterable[str],
    *,
    filtered: bool = True,
    valued: bool = False,
    extras: Iterable[str] = (),
) -> Netlist:
    """A fixed pump with one 4/3 valve for each named kind of branch, and extras at the pump."""
    extras = tuple(extras)
    m = Machine()
    m.add("T1", "tank", "200 L")
    m.add("E1", "electric motor", "30 kW")
    m.add("P1", "pump", "45 cm³", choices={"control": "fixed"}, ports=("S", "P"))
    m.add("R1", "relief", "210 bar")
    m.add("G1", "gauge", "0 to 315 bar")
    m.join("shaft", "shaft", "E1.shaft", "P1.shaft")
    m.join("suction", "suction", "T1.T", "P1.S")
    m.join("spill", "return", "R1.T", "T1.T")
    supplied, returned = ["P1.P", "R1.P", "G1.M"], []
    for number, kind in enumerate(branches, start=1):
        m.add(f"V{number}", "valve", "60 L/min at 6 bar", **valve())
        if kind == "reduced":
            m.add(f"RV{number}", "reducing valve", "60 bar", ports=("P", "A", "T"))
            supplied.append(f"RV{number}.P")
            m.join(f"low{number}", "pressure", f"RV{number}.A", f"V{number}.P")
            m.join(f"rd{number}", "drain", f"RV{number}.T", "T1.T")
        else:
            supplied.append(f"V{number}.P")
        returned.append(f"V{number}.T")
        branch(m, number, kind)
        if valued:
            m.value(f"V{number}.A", "123 bar")
            m.value(f"V{number}.B", "4.5 bar")
    if "accumulator" in extras:
        m.add("A1", "accumulator", "10 L", "p0 90 bar")
        m.add("B1", "shut-off", "normally open")
        supplied.append("B1.in")
        m.join("bottle", "pressure", "B1.out", "A1.P")
    if "thermometer" in extras:
        m.add("TH1", "thermometer", "0 to 120 °C")
        returned.append("TH1.M")
    if "test point" in extras:
        m.add("TP1", "test point")
        supplied.append("TP1.M")
    if "check" in extras:
        m.add("CV1", "check", "0.5 bar", has=frozenset({"cracking"}))
        m.join("delivery", "pressure", "P1.P", "R1.P", "CV1.in")
        supplied = ["CV1.out", *(pin for pin in supplied if pin not in ("P1.P", "R1.P"))]
    m.join("pressure", "pressure", *supplied, label="DN 20")
    if "cooler" in extras:
        m.add("K1", "cooler", "6 kW")
        m.join("warm", "return", *returned, "K1.in")
        returned = ["K1.out"]
    if filtered:
        m.add("F1", "filter", "10 µm", has=frozenset({"bypass"}))
        m.join("return", "return", *returned, "F1.in")
        m.join("return 2", "return", "F1.out", "T1.T")
    else:
        m.join("return", "return", *returned, "T1.T")
    return m.netlist()


def branch(m: Machine, n: int, kind: str) -> None:
    """Add what stands above valve n."""
    a, b = f"V{n}.A", f"V{n}.B"
    if kind == "motor":
        m.add(f"M{n}", "motor", "100 cm³", ports=("A", "B", "L"))
        m.join(f"a{n}", "work", a, f"M{n}.A")
        m.join(f"b{n}", "work", b, f"M{n}.B")
        m.join(f"l{n}", "drain", f"M{n}.L", "T1.T")
        return
    m.add(f"C{n}", "cylinder", "63/36 x 400 mm")
    cap, rod = f"C{n}.cap", f"C{n}.rod"
    if kind == "holding":
        m.add(f"CB{n}", "counterbalance", "250 bar", "4:1")
        m.join(f"a{n}", "work", a, f"CB{n}.V")
        m.join(f"c{n}", "work", f"CB{n}.C", cap)
        m.join(f"b{n}", "work", b, rod, f"CB{n}.X")
    elif kind == "metered":
        m.add(f"FC{n}", "flow control", "12 L/min", choices={"reverse": "free-flow check"})
        m.join(f"a{n}", "work", a, cap)
        m.join(f"b{n}", "work", rod, f"FC{n}.in")
        m.join(f"c{n}", "work", f"FC{n}.out", b)
    elif kind == "locked":
        m.add(f"PA{n}", "pilot check", "3:1")
        m.add(f"PB{n}", "pilot check", "3:1")
        m.join(f"a{n}", "work", a, f"PA{n}.in", f"PB{n}.X")
        m.join(f"b{n}", "work", b, f"PB{n}.in", f"PA{n}.X")
        m.join(f"c{n}", "work", f"PA{n}.out", cap)
        m.join(f"d{n}", "work", f"PB{n}.out", rod)
    elif kind == "sequence":
        m.add(f"SQ{n}", "sequence", "80 bar", choices={"reverse": "free-flow check"})
        m.add(f"D{n}", "cylinder", "63/36 x 400 mm")
        m.join(f"a{n}", "work", a, cap, f"SQ{n}.P")
        m.join(f"s{n}", "work", f"SQ{n}.A", f"D{n}.cap")
        m.join(f"y{n}", "drain", f"SQ{n}.Y", "T1.T")
        m.join(f"b{n}", "work", b, rod, f"D{n}.rod")
    elif kind == "port relief":
        m.add(f"PR{n}", "relief", "240 bar")
        m.join(f"a{n}", "work", a, cap, f"PR{n}.P")
        m.join(f"r{n}", "return", f"PR{n}.T", "T1.T")
        m.join(f"b{n}", "work", b, rod)
    elif kind == "throttles":
        for side, low, high in (("A", a, cap), ("B", b, rod)):
            name = m.add(f"TH{side}{n}", "throttle", choices={"reverse": "free-flow check"})
            m.join(f"{side}{n}", "work", low, f"{name}.out")
            m.join(f"{side}{n}'", "work", f"{name}.in", high)
    elif kind == "two cylinders":
        m.add(f"D{n}", "cylinder", "63/36 x 400 mm")
        m.join(f"a{n}", "work", a, cap, f"D{n}.cap")
        m.join(f"b{n}", "work", b, rod, f"D{n}.rod")
    else:
        ends = [cap]
        if kind == "gauge":
            m.add(f"G1{n}", "gauge", "0 to 250 bar")
            ends.append(f"G1{n}.M")
        m.join(f"a{n}", "work", a, *ends)
        m.join(f"b{n}", "work", b, rod)
