"""Whatever is routed joins its ports and touches nothing else."""

from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.schematic.check import Frame, Wire, find_faults
from circuitcheck.schematic.grid import Grid
from circuitcheck.schematic.netlist import Net
from circuitcheck.schematic.routing import Router, polylines
from circuitcheck.symbols import Anchor

CELLS = st.permutations([(x, y) for x in range(5) for y in range(4)])
SIDES: dict[str, tuple[int, int]] = {"N": (2, 0), "S": (2, 4), "W": (0, 2), "E": (4, 2)}


def route(boxes: list[tuple[int, int]], nets: list[list[tuple[int, str]]]) -> list[str]:
    """Route nets between square symbols on a coarse raster; name what is wrong."""
    grid = Grid(-12, -12, 84, 72)
    frames = [Frame(str(k), (x, y, x + 4, y + 4)) for k, (x, y) in enumerate(boxes)]
    for frame in frames:
        grid.block(frame.box)
    pins: dict[str, list[Anchor]] = {}
    listed: list[Net] = []
    for number, ends in enumerate(nets):
        anchors = [
            Anchor(boxes[k][0] + SIDES[s][0], boxes[k][1] + SIDES[s][1], s)  # type: ignore[arg-type]
            for k, s in ends
        ]
        name = str(number)
        pins[name] = anchors
        listed.append(Net(name, "work", tuple((str(k), s) for k, s in ends)))
    router = Router(grid, listed, pins, {})
    missing = router.run()
    wires = [
        Wire(
            done.net.id,
            tuple(polylines(grid, done.arms)),
            tuple((str(k), a) for k, a in enumerate(pins[done.net.id])),
        )
        for done in router.drawn.values()
    ]
    return [str(f) for f in find_faults(frames, wires, [])] + [f"missing {n.id}" for n in missing]


@settings(max_examples=10, deadline=None)
@given(CELLS, st.permutations([(k, s) for k in range(6) for s in "NSWE"]), st.data())
def test_random_nets_are_routed_without_faults(
    cells: list[tuple[int, int]], ends: list[tuple[int, str]], data: st.DataObject
) -> None:
    boxes = [(x * 12, y * 12) for x, y in cells[:6]]
    nets: list[list[tuple[int, str]]] = []
    at = 0
    while at < 14:
        size = data.draw(st.integers(2, 4))
        nets.append(ends[at : at + size])
        at += size
    assert route(boxes, nets) == []


def test_opposite_ports_are_joined_straight() -> None:
    grid = Grid(-5, -5, 30, 30)
    net = Net("n", "work", (("a", "N"), ("b", "S")))
    router = Router(grid, [net], {"n": [Anchor(2, 10, "N"), Anchor(2, 4, "S")]}, {})
    assert router.run() == []
    assert polylines(grid, router.drawn[0].arms) == [((2, 4), (2, 10))]


def test_an_enclosed_port_is_reported() -> None:
    grid = Grid(-5, -5, 30, 30)
    grid.block((0, 1, 4, 3))
    net = Net("n", "work", (("a", "N"), ("b", "S")))
    router = Router(grid, [net], {"n": [Anchor(2, 8, "N"), Anchor(2, 0, "S")]}, {})
    assert router.run() == [net]
