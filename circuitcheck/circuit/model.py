"""A circuit: parts, junctions, lines, steps, and what the text claims about them."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from circuitcheck.basics.limits import Limit
from circuitcheck.basics.places import NOWHERE, Place
from circuitcheck.components._parts import Figure, Part, Port
from circuitcheck.fluid.oil import Oil

if TYPE_CHECKING:
    import networkx as nx

    from circuitcheck.circuit.allowances import Allowance
    from circuitcheck.circuit.variations import Question


@dataclass(frozen=True, slots=True)
class End:
    """A port of a part."""

    part: str
    port: str

    def __str__(self) -> str:
        return f"{self.part} {self.port}" if self.port else self.part


@dataclass
class Junction:
    """Ports that stand at one pressure, joined without a sized line between them.

    ``name`` is what reports print: the name of a line that ends there, else its first port.
    """

    name: str
    ends: list[End] = field(default_factory=list)
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Run:
    """One sentence of the line schedule, as written (sized or not), for lists and drawing."""

    name: str
    starts: tuple[End, ...]
    through: tuple[str, ...]
    stops: tuple[End, ...]
    part: str  # name of the line part that carries the size, empty for a plain joint
    near: str  # junction at its near end
    far: str  # junction at its far end
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Orders:
    """What a step says of one part."""

    position: str = ""
    opening: float = 1.0
    figures: dict[str, Figure] = field(default_factory=dict)
    words: frozenset[str] = frozenset()
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the duty cycle. ``duration`` [s] is None where a way or nothing is given.

    ``orders`` holds what is said of parts, by name; ``oil_degC`` a temperature of its own.
    """

    name: str
    orders: dict[str, Orders] = field(default_factory=dict)
    duration: float | None = None
    oil_degC: float | None = None
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Claim:
    """A number to be verified. ``within`` is a share of the value or an absolute tolerance.

    ``subject`` is a part or junction name, empty for the whole circuit; ``mode`` is
    "within", "at most" or "at least"; ``tolerance`` in SI units of the quantity, or a
    share where ``share`` is true.
    """

    subject: str
    port: str
    what: str
    figure: Figure
    step: str
    tolerance: float
    share: bool
    mode: str = "within"
    over_cycle: bool = False
    document: str = ""
    temperature: float | None = None
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A finding that is accepted: its slug, part and step (empty: of any), the reason."""

    slug: str
    part: str
    step: str
    reason: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Hint:
    """A wish about the drawing: ``subject`` stands ``relation`` ("above") the ``objects``."""

    subject: str
    relation: str
    objects: tuple[str, ...]
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Assumption:
    """A figure or choice that the text does not give and that was taken from elsewhere."""

    part: str
    name: str
    text: str
    origin: str  # "built in" | "every pump"
    source: str


@dataclass(frozen=True, slots=True)
class BlockUse:
    """A block that stands in the circuit: its name there, its parts, where its ports are joined.

    ``parts`` are names such as ``S1/V1``, those of blocks inside it included; ``ports`` gives
    the junction by the letter of a port, empty where it is plugged on both sides.
    """

    name: str
    block: str
    parts: tuple[str, ...]
    ports: dict[str, str]
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Unused:
    """A sentence that was read and kept but is not acted on yet."""

    chapter: str
    text: str
    place: Place


@dataclass
class Circuit:
    """Everything a text says, names resolved, figures in SI.

    A line with a size is a part of kind ``line`` with the ports ``start`` and ``end``.
    A junction whose name equals a part's is given with a trailing "'".
    Blocks are opened: their parts stand among the others, with names such as ``S1/V1``, and
    ``blocks`` says which belong together. ``questions`` are the chapters ``variations``,
    ``tolerances`` what may be off by how much; ``texts`` holds the texts of used files by name.
    ``title_block`` is what the heading says for the drawing's title block, by its word.
    """

    title: str
    issue: str
    oil: Oil
    parts: dict[str, Part]
    junctions: dict[str, Junction]
    runs: list[Run]
    steps: list[Step]
    repeats: bool = False
    claims: list[Claim] = field(default_factory=list)
    readings: list[Claim] = field(default_factory=list)
    hints: list[Hint] = field(default_factory=list)
    accepted: list[Acceptance] = field(default_factory=list)
    limits: dict[str, dict[str, Limit]] = field(default_factory=dict)
    sheet: str = ""
    title_block: dict[str, str] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    assumptions: list[Assumption] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    tolerances: list[Allowance] = field(default_factory=list)
    unused: list[Unused] = field(default_factory=list)
    file: str = ""
    text: str = ""
    oil_degC: float = 50.0
    place: Place = NOWHERE
    blocks: list[BlockUse] = field(default_factory=list)
    texts: dict[str, str] = field(default_factory=dict)

    @cached_property
    def graph(self) -> nx.MultiGraph[str]:
        """Parts and junctions as the nodes of a `networkx.MultiGraph`, joined ports as its edges.

        Nodes are the part names (attributes ``kind="part"``, ``part=Part``) and the junction
        names (``kind="junction"``, ``junction=Junction``); each joined port is one edge
        between part and junction, its key the port letter, attribute ``port=Port``. Parallel
        edges are two ports of one part on one junction.
        """
        import networkx as nx  # slow to load, and a check does without

        graph: nx.MultiGraph[str] = nx.MultiGraph()
        ports: dict[End, Port] = {}
        for name, part in self.parts.items():
            graph.add_node(name, kind="part", part=part)
            ports.update((End(name, port.letter), port) for port in part.ports)
        for name, junction in self.junctions.items():
            graph.add_node(name, kind="junction", junction=junction)
            for end in junction.ends:
                graph.add_edge(end.part, name, key=end.port, port=ports[end])
        return graph

    @cached_property
    def rests(self) -> dict[str, str]:
        """Position in which each spool stands when nothing acts on it, by part."""
        return {name: part.rest for name, part in self.parts.items() if part.kind.rest}

    def junction_of(self, part: str, port: str) -> Junction | None:
        """Junction on which a port stands, None where it is plugged or left open."""
        return self._junctions_by_end.get(End(part, port))

    @cached_property
    def _junctions_by_end(self) -> dict[End, Junction]:
        return {end: junction for junction in self.junctions.values() for end in junction.ends}

    def neighbours(self, junction: str) -> list[End]:
        """Give the ports on a junction, in the order of the text."""
        return list(self.junctions[junction].ends)

    def of_kind(self, *words: str) -> list[Part]:
        """Parts whose kind has one of these words, in the order of the text."""
        return [part for part in self.parts.values() if part.kind.word in words]
