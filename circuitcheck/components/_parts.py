"""The contract of a component module: what a kind of part says about itself.

A module of this room exports ``KINDS``, a tuple of `Kind`. A kind is data (word in the
language, ports, parameters with units and limits, choices, what a step may say of it,
results, sources) and four functions:

``ports(part)``
    the ports of this very part (a valve 3/2 has fewer than a 4/3);
``equations(part, net)``
    writes the part's element laws into ``net`` (a `laws.net.Net`); every figure is an
    array that broadcasts to shape (variants,), in SI;
``results(part, view)``
    named figures of the solved part, arrays of shape (variants,), in SI;
``state(part, view)``
    one trade word per variant ("relief open").

Three more, where a kind needs them: ``positions(part)`` and ``rest(part)`` of a spool;
``assumes(part)``, defaults that depend on the choices, as {name: (SI value, source)};
``mistakes(part)``, what cannot be, as (figure name, message, remedy). ``latch(part, view)``
gives where a state that survives from step to step begins and where it ends: two arrays of
bool; in the equations it is ``net.latched``. ``cautions(part, view)`` gives for every
variant what the part itself has to say against its figures, as warnings of the solver.
``starts(part, view)`` belongs to a kind that may stand on two operating points (a motor
that runs or has stalled): where it starts by itself, and from where else it is worth a try.
``warms(part, view)`` gives the power that the part brings into the oil from outside; negative
where it takes heat out.

A component never sees a row number: it names ports, the net numbers them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, TypeAlias

from circuitcheck.basics.places import NOWHERE, Place
from circuitcheck.components._limits import outermost
from circuitcheck.laws.smoothing import Array

if TYPE_CHECKING:
    from circuitcheck.laws.net import Bools, Net
    from circuitcheck.laws.view import View

Figures: TypeAlias = Array
"""Results of a part: arrays of shape (variants,), SI."""


class PortKind(Enum):
    """What a port is for; decides line type in the drawing and which rules look at it."""

    PRESSURE = "pressure"
    RETURN = "return"
    SUCTION = "suction"
    WORK = "work"
    THROUGH = "through"
    DRAIN = "drain"
    PILOT = "pilot"
    SENSE = "sense"
    MEASURE = "measure"


@dataclass(frozen=True)
class Port:
    """One fluid port: its letter on the part, its use, whether the part needs it joined."""

    letter: str
    kind: PortKind
    text: str = ""
    needed: bool = True


@dataclass(frozen=True)
class Parameter:
    """One figure of a kind.

    ``quantity`` is a name of `basics.quantities`; ``default``, ``least`` and ``most`` are
    SI values of it; "code" is one word or quoted, "file" the name of a file in quotes beside the
    circuit. ``bare``: the figure may stand without its name ("16 cc/rev" of a
    pump). ``at``: a second figure after "at" ("60 L/min at 6 bar", "case drain 2.5 L/min
    at 200 bar"), itself a parameter. ``unit`` is what people usually write.
    """

    name: str
    quantity: str
    unit: str
    text: str
    default: float | None = None
    needed: bool = False
    least: float | None = None
    most: float | None = None
    bare: bool = False
    at: Parameter | None = None
    source: str = "common practice, no source"

    @property
    def limits(self) -> tuple[float, float]:
        """Least and most that is accepted [SI]; where it names no end, that of its quantity."""
        low, high = outermost(self.quantity)
        return (
            low if self.least is None else self.least,
            high if self.most is None else self.most,
        )


@dataclass(frozen=True)
class Choice:
    """A group of phrases of which a part has one ("tandem centre", "closed centre").

    ``default`` is taken, and listed as assumed, where the text says none; with no default
    the group may stay unsaid. ``many``: several phrases of the group may be given.
    """

    group: str
    options: tuple[str, ...]
    default: str | None = None
    many: bool = False


@dataclass(frozen=True)
class Result:
    """A named figure of a solved part."""

    name: str
    quantity: str
    text: str


@dataclass(frozen=True)
class Caution:
    """What a solved part says against its own figures; ``slug`` names it as a finding."""

    slug: str
    message: str
    remedy: str = ""


@dataclass(frozen=True)
class Starts:
    """Two starts of a part that may have two operating points in one circuit.

    ``at`` is the port whose pressure [Pa] is led, "" for the speed of the part's own shaft
    [rad/s]; ``natural`` is where it starts by itself, ``second`` the other start, both of
    shape (variants,). Each is held at first and then let go, slowly beside all the rest of
    the circuit; where it comes to rest is the operating point. ``doubt``: where the solved
    point may not be that of the natural start, which is then followed. ``worth``: where the
    second start is followed as well. ``words`` name the starts: ("from its idle speed",
    "from a standstill").
    """

    at: str
    natural: Figures
    second: Figures
    doubt: Bools
    worth: Bools
    words: tuple[str, str]


Joints = tuple[tuple[str, ...], ...]
"""Groups of ports that a valve position joins; a port in no group is blocked."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A value as it came to a part: SI number, its text, its place, where it is from.

    Of a file ``text`` is the name and ``content`` what stands in it; it has no number.
    """

    value: float
    text: str
    quantity: str
    place: Place = NOWHERE
    origin: str = "given"  # given | every | assumed
    content: str = ""


@dataclass(frozen=True)
class Partnership:
    """What two parts of one kind do together: ``power sum with P2``, said of one or both.

    ``phrase`` is one of a choice group of the kind. ``port`` of each is joined to the port
    ``to`` of the other. ``alike``: figures that one gives for both; ``seen``: figures that
    each has of the other, as {own name: name there}. ``mistakes(part, other)``: why the two
    cannot, as (message, remedy).
    """

    phrase: str
    port: str
    to: str
    alike: tuple[str, ...]
    seen: Mapping[str, str]
    mistakes: Callable[[Part, Part], list[tuple[str, str]]]


@dataclass
class Part:
    """One part of a circuit: what the text says about it, filled up with defaults.

    ``purpose`` is what it does in the machine, in the writer's words.
    """

    name: str
    kind: Kind
    figures: dict[str, Figure] = field(default_factory=dict)
    choices: dict[str, str] = field(default_factory=dict)
    many: dict[str, tuple[str, ...]] = field(default_factory=dict)
    driven_by: str | None = None
    partner: str | None = None
    ways: tuple[int, int] | None = None
    spool: dict[str, Joints] = field(default_factory=dict)
    plugged: frozenset[str] = frozenset()
    purpose: str = ""
    place: Place = NOWHERE
    port_places: dict[str, Place] = field(default_factory=dict)

    @property
    def ports(self) -> tuple[Port, ...]:
        return self.kind.ports(self)

    @property
    def positions(self) -> Mapping[str, Joints]:
        """Positions of the spool, rest position among them; empty for other kinds."""
        return self.kind.positions(self) if self.kind.positions else {}

    @property
    def rest(self) -> str:
        """Position in which a valve stands when nothing acts on it."""
        return self.kind.rest(self) if self.kind.rest else ""

    def given(self, name: str) -> bool:
        """Whether the text (or an ``every``) gives this figure; defaults do not count."""
        return name in self.figures and self.figures[name].origin != "assumed"

    def figure(self, name: str) -> float | None:
        """SI value of a figure, or None where neither text nor default gives one."""
        found = self.figures.get(name)
        return None if found is None else found.value

    def says(self, phrase: str) -> bool:
        """Whether a phrase of any of the choice groups holds for the part."""
        return phrase in self.choices.values() or any(phrase in p for p in self.many.values())


def _no_results(part: Part, view: View) -> dict[str, Figures]:
    return {}


def _no_state(part: Part, view: View) -> list[str]:
    return [""] * view.variants


def _no_equations(part: Part, net: Net) -> None:
    """For parts that carry no oil or only show a pressure."""


@dataclass(frozen=True)
class Kind:
    """A kind of component; see the head of this module.

    ``law_text`` gives the equations for the reference, one formula or sentence each.
    """

    word: str
    text: str
    ports: Callable[[Part], tuple[Port, ...]]
    parameters: tuple[Parameter, ...] = ()
    choices: tuple[Choice, ...] = ()
    orders: tuple[Parameter, ...] = ()
    poses: tuple[str, ...] = ()
    other_words: tuple[str, ...] = ()
    has_ways: bool = False
    partnership: Partnership | None = None
    driven: bool = False
    drives: bool = False
    through: tuple[str, str] | None = None
    positions: Callable[[Part], Mapping[str, Joints]] | None = None
    rest: Callable[[Part], str] | None = None
    assumes: Callable[[Part], dict[str, tuple[float, str]]] | None = None
    mistakes: Callable[[Part], list[tuple[str, str, str]]] | None = None
    equations: Callable[[Part, Net], None] = _no_equations
    results: Callable[[Part, View], dict[str, Figures]] = _no_results
    state: Callable[[Part, View], list[str]] = _no_state
    latch: Callable[[Part, View], tuple[Bools, Bools]] | None = None
    cautions: Callable[[Part, View], list[tuple[Caution, ...]]] | None = None
    starts: Callable[[Part, View], tuple[Starts, ...]] | None = None
    warms: Callable[[Part, View], Figures] | None = None
    measures: tuple[Result, ...] = ()
    law_text: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    def parameter(self, name: str) -> Parameter | None:
        """Find a parameter by name, second figures after "at" included."""
        for parameter in self.parameters:
            if parameter.name == name:
                return parameter
            if parameter.at is not None and parameter.at.name == name:
                return parameter.at
        return None


def fixed_ports(*ports: Port) -> Callable[[Part], tuple[Port, ...]]:
    """For kinds whose ports do not depend on what the text says."""
    return lambda part: ports
