"""Ports put together: junctions, runs, and the graph of the circuit."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.basics.places import Place
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.ends import FAR, NEAR, BlockPort, LinePoint, Point
from circuitcheck.circuit.inside import around
from circuitcheck.circuit.lines import Laid
from circuitcheck.circuit.model import End, Junction, Run
from circuitcheck.components._parts import Part


class Junctions:
    """Ports that stand at one pressure, found by joining them two by two."""

    def __init__(self, desk: Desk, parts: Mapping[str, Part], laid: list[Laid]) -> None:
        self._parts = parts
        self._laid = {line.number: line for line in laid}
        self._leader: dict[Point, Point] = {}
        self._places: dict[Point, Place] = {}
        for line in laid:
            self._lay(line)
        self._junctions = self._named(laid)
        self._first_inside: dict[Point, dict[str, End]] = {}
        nowhere = next((line for line in laid if not self._stands(line)), None)
        if nowhere is not None:
            desk.error(
                "line-ends-nowhere",
                nowhere.sentence.place,
                "this line ends nowhere: the lines it names end only in each other",
                "give one of them a port to end at",
            )

    # ---- joining ---------------------------------------------------------------------

    def _lay(self, line: Laid) -> None:
        near, far = LinePoint(line.number, NEAR), LinePoint(line.number, FAR)
        for point, end in zip(line.starts, line.sentence.starts, strict=True):
            self._join(near, point, end.place)
        before: Point = near
        for inlet, outlet in line.chain:
            self._join(before, inlet, line.sentence.place)
            before = outlet
        self._join(before, far, line.sentence.place)
        for point, end in zip(line.stops, line.sentence.stops, strict=True):
            self._join(far, point, end.place)

    def _leader_of(self, point: Point) -> Point:
        leader = self._leader.setdefault(point, point)
        while leader != point:
            upper = self._leader[leader]
            self._leader[point] = upper
            point, leader = leader, upper
        return leader

    def _join(self, one: Point, other: Point, place: Place) -> None:
        for point in (one, other):
            self._places.setdefault(point, place)
        first, second = self._leader_of(one), self._leader_of(other)
        if first != second:
            self._leader[second] = first

    def _stands(self, line: Laid) -> bool:
        """Whether a port stands on both sides of a line."""
        sides = (LinePoint(line.number, NEAR), LinePoint(line.number, FAR))
        return all(self._leader_of(side) in self._junctions for side in sides)

    # ---- naming ----------------------------------------------------------------------

    def _named(self, laid: list[Laid]) -> dict[Point, Junction]:
        """Give the junctions by their leading point, in the order of the text."""
        found: dict[Point, Junction] = {}
        for point in list(self._leader):
            if isinstance(point, End):
                leader = self._leader_of(point)
                junction = found.get(leader)
                if junction is None:
                    junction = found[leader] = Junction("", place=self._places[point])
                junction.ends.append(point)
        wanted: dict[Point, str] = {}
        for leader, junction in found.items():
            tank = next((end for end in junction.ends if end.port == ""), None)
            if tank is not None:
                wanted[leader] = tank.part
        for line in laid:
            if line.name:
                wanted.setdefault(self._leader_of(LinePoint(line.number, FAR)), line.name)
        taken: set[str] = set(self._parts)
        for leader, junction in found.items():
            name = wanted.get(leader, str(junction.ends[0]))
            while name in taken:
                name += "'"
            taken.add(name)
            junction.name = name
        return found

    # ---- results ---------------------------------------------------------------------

    def all(self) -> dict[str, Junction]:
        """Give the junctions by name."""
        return {junction.name: junction for junction in self._junctions.values()}

    def at(self, point: Point) -> str:
        """Give the name of the junction at a point, empty if no port stands there."""
        junction = self._junctions.get(self._leader_of(point))
        return junction.name if junction is not None else ""

    def far_of(self, line: Laid) -> str:
        """Give the name of the junction at the far end of a line."""
        return self.at(LinePoint(line.number, FAR))

    def near_of(self, line: Laid) -> str:
        """Give the name of the junction at the near end of a line."""
        return self.at(LinePoint(line.number, NEAR))

    def joined(self) -> set[End]:
        """Give every port on a junction."""
        return {end for junction in self._junctions.values() for end in junction.ends}

    def run(self, line: Laid) -> Run:
        """Give a line as a run between ports; an end that names a line by a port there."""
        return Run(
            line.name or (line.part.name if line.part is not None else ""),
            tuple(self._port_at(point) for point in line.starts),
            tuple(passed.name for passed in line.through),
            tuple(self._port_at(point) for point in line.stops),
            line.part.name if line.part is not None else "",
            self.near_of(line),
            self.far_of(line),
            line.sentence.place,
        )

    def _port_at(self, point: Point) -> End:
        if isinstance(point, End):
            return point
        if isinstance(point, BlockPort):
            return self.end_at(point)
        line = self._laid.get(point.line)
        seen = {point.line}
        while line is not None:
            if line.chain:
                last = line.chain[-1][1] if point.side == FAR else line.chain[0][0]
                return last if isinstance(last, End) else self.end_at(last)
            onward = (line.stops if point.side == FAR else line.starts)[0]
            if isinstance(onward, End):
                return onward
            if isinstance(onward, BlockPort):
                return self.end_at(onward)
            if onward.line in seen:
                break
            seen.add(onward.line)
            point, line = onward, self._laid.get(onward.line)
        return self.end_at(point)

    def end_at(self, point: Point) -> End:
        """Give a port that stands at a point; of a block's port, one inside the block."""
        leader = self._leader_of(point)
        junction = self._junctions.get(leader)
        if junction is None:
            return End("", "")
        if not isinstance(point, BlockPort):
            return junction.ends[0]
        if leader not in self._first_inside:
            first: dict[str, End] = {}
            for end in junction.ends:
                for block in around(end.part):
                    first.setdefault(block, end)
            self._first_inside[leader] = first
        return self._first_inside[leader].get(point.block, junction.ends[0])
