"""The duty cycle: what each step says of parts; where spools stand that it does not name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from circuitcheck.basics.findings import Note
from circuitcheck.basics.places import Place
from circuitcheck.circuit.desk import Desk, any_of, article, beginnings, spread
from circuitcheck.circuit.figures import FigureReader, Wanted, item_text, written
from circuitcheck.circuit.inside import by_block
from circuitcheck.circuit.model import Orders, Step
from circuitcheck.circuit.names import Names
from circuitcheck.circuit.oil import COLDEST, HOTTEST
from circuitcheck.circuit.opening import Opened
from circuitcheck.components._parts import Figure, Parameter, Part
from circuitcheck.language.text import Amount, Clause, Formula, Item, Sentence, Text, Word

SHORTEST = 1e-3
"""No step is shorter [s]: no valve is, and a store would be filled by nothing; own choice."""

_DURATION = Parameter("duration", "time", "s", "how long the step lasts", least=SHORTEST)
OPENING = Parameter("opening", "share", "%", "share of the spool's opening", least=0.0, most=1.0)
OIL = Parameter(
    "oil temperature", "temperature", "degC", "temperature of the oil", least=COLDEST, most=HOTTEST
)


MOST_STEPS = 2_000
"""Of a cycle, more than the tables of an answer are read for; own choice."""


class StepReader:
    """Reads the sentences of ``cycle``."""

    def __init__(
        self, desk: Desk, names: Names, parts: Mapping[str, Part], figures: FigureReader,
        blocks: Mapping[str, Opened],
    ) -> None:  # fmt: skip
        self._desk = desk
        self._names = names
        self._parts = parts
        self._figures = figures
        self._blocks = blocks
        self._spools = [part for part in parts.values() if part.positions]
        self._inside_of = by_block(parts)
        self._keeps = {part.name: _kept_positions(part) for part in self._spools}
        self.silent: set[str] = set()
        """Steps that could not be read: nothing more is said of their names."""

    def read(self, text: Text) -> tuple[list[Step], bool]:
        """Give the steps, and whether the cycle repeats."""
        repeats = False
        for chapter in text.named("cycle"):
            for clause in chapter.about:
                if clause.text == "repeats":
                    repeats = True
                else:
                    self._desk.error(
                        "heading",
                        clause.place,
                        f"'{clause.text}' does not belong behind the heading cycle",
                        "only 'repeats' does:  cycle, repeats",
                    )
        steps: dict[str, Step] = {}
        standing = {part.name: part.rest for part in self._spools}
        own, inside = _by_depth(text)
        if len(own) > MOST_STEPS:
            self._desk.error(
                "too-many-steps",
                own[MOST_STEPS].place,
                f"this cycle has {len(own)} steps; more than {MOST_STEPS} are not read",
                "vary one step instead, by a chapter 'variations' or  circuitcheck sweep",
            )
            self.silent.update(name.text for sentence in own for name in sentence.names)
            return [], repeats
        for sentence in own:
            step = self._step(sentence)
            before = steps.get(step.name)
            if before is not None:
                self._desk.error(
                    "name-twice",
                    sentence.names[0].place,
                    f"there is already a step {step.name} (line {before.place.line})",
                    "give this one another name",
                    notes=(Note("given here", before.place),),
                )
                continue
            steps[step.name] = step
        self._add_inside(steps, inside)
        for step in steps.values():
            self._stand(step, standing)
        return list(steps.values()), repeats

    def _add_inside(self, steps: Mapping[str, Step], sentences: list[Sentence]) -> None:
        """Add what blocks say of their own parts; the circuit and outer blocks come first."""
        said: set[tuple[str, str]] = set()
        for sentence in sentences:
            step, use = self._step(sentence), sentence.place.use
            assert use is not None
            if (use.name, step.name) in said:
                self._desk.error(
                    "name-twice",
                    sentence.names[0].place,
                    f"there is already a step {step.name} in this block",
                    "give this one another name",
                )
            said.add((use.name, step.name))
            known = steps.get(step.name)
            if known is None:
                if step.name not in self.silent | self._desk.silent and not self._desk.errors:
                    self._desk.warn(
                        "step-not-there",
                        sentence.names[0].place,
                        f"the circuit has no step '{step.name}': this says nothing",
                        self._desk.ask(step.name, steps)
                        or "give the step the name that it has in the circuit's cycle",
                        use.name,
                    )
                continue
            for name, orders in step.orders.items():
                known.orders.setdefault(name, orders)

    def _stand(self, step: Step, standing: dict[str, str]) -> None:
        """Give every spool a position in a step, and note where spools are left."""
        for part in self._spools:
            said = step.orders.get(part.name)
            if said is None or not said.position:
                kept = standing[part.name] in self._keeps[part.name]
                position = standing[part.name] if kept else part.rest
                step.orders[part.name] = replace(said or Orders(), position=position)
            standing[part.name] = step.orders[part.name].position

    # ---- one step --------------------------------------------------------------------

    def _step(self, sentence: Sentence) -> Step:
        orders: dict[str, Orders] = {}
        duration: float | None = None
        oil_degC: float | None = None
        before = len(self._desk.findings)
        use = sentence.place.use
        for clause in sentence.clauses:
            first = clause.items[0]
            words = clause.words()
            if use is not None and self._of_all(first, f"{use.name}/oil"):
                self._desk.error(
                    "block-step",
                    clause.place,
                    "a block says in a step only what its parts do",
                    "how long a step lasts and its oil stand in the circuit's own cycle",
                )
            elif isinstance(first, (Amount, Formula)):
                found = self._time(clause, first)
                if found is not None and duration is not None:
                    self._desk.error(
                        "said-twice", clause.place, "the step already lasts another time"
                    )
                duration = found if found is not None else duration
            elif words[:1] == ["oil"] and "oil" not in self._parts:
                oil_degC = self._oil(clause)
            elif words:
                self._order(clause, words, orders)
            else:
                self._not_said(clause)
        name = sentence.names[0].text
        if len(self._desk.findings) > before:
            self.silent.add(name)
        return Step(name, orders, duration, oil_degC, sentence.place)

    def _of_all(self, first: Item, oil: str) -> bool:
        """Whether a clause speaks of the whole circuit; ``oil`` is that word in a block."""
        if isinstance(first, Word):
            return first.text == oil and oil not in self._parts
        return isinstance(first, (Amount, Formula))

    def _time(self, clause: Clause, first: Amount | Formula) -> float | None:
        if isinstance(first, Amount) and first.unit and first.unit.quantity != "time":
            remedy = "write the part and what it does:  C1 load 150 kN"
            self._desk.error("figure-unnamed", first.place, f"{written(first)} of what?", remedy)
            return None
        figure = self._figures.figure(first, clause.items[1:], Wanted(_DURATION, "a step"))
        if figure is not None and len(clause.items) > 1:
            self._comma(clause.items[1])
        return None if figure is None else figure.value

    def _oil(self, clause: Clause) -> float | None:
        items = clause.items
        if len(items) != 3 or clause.words() != ["oil", "at"]:
            self._desk.error(
                "oil-form", clause.place, "this says nothing of the oil", "write:  oil at 20 degC"
            )
            return None
        figure = self._figures.figure(items[2], (), Wanted(OIL, "a step"))
        return None if figure is None else figure.value

    def _order(self, clause: Clause, words: list[str], orders: dict[str, Orders]) -> None:
        part = self._parts.get(words[0])
        if part is None and words[0] in self._blocks:
            part = self._inside(clause, words)
            if part is None:
                return
        if part is None:
            self._no_part(clause, words[0])
            return
        known = orders.get(part.name, Orders(place=clause.place))
        if len(words) == 1:
            self._desk.error(
                "order-missing", clause.place, f"what does {part.name} do?", _can_be_said(part)
            )
            return
        found = self._said_of(part, clause, words[1:], known)
        if found is not None:
            orders[part.name] = found

    def _inside(self, clause: Clause, words: list[str]) -> Part | None:
        """Give the one part inside a block that can do what a step says of the block."""
        name = words[0]
        prefix, said = f"{name}/", " ".join(words[1:2])
        inside = [self._parts[key] for key in self._inside_of.get(name, ())]
        able = [part for part in inside if _can(part, words[1:])]
        if len(able) == 1:
            return able[0]
        if name in self._desk.silent or any(p.startswith(prefix) for p in self._desk.silent):
            return None
        if able:
            names = [f"{part.name} {said}" for part in able]
            message, remedy = f"which part of {name} is meant?", f"write {any_of(names)} ..."
        else:
            message = f"nothing in {name} can be told '{said or name}' in a step"
            told = [part for part in inside if part.positions or part.kind.orders]
            remedy = _can_be_said(told[0]) if told else "a step says nothing of this block"
        self._desk.error("unknown-order", clause.place, message, remedy, component=name)
        return None

    def _no_part(self, clause: Clause, name: str) -> None:
        if not self._names.forgiven(name):
            self._desk.error(
                "unknown-part",
                clause.items[0].place,
                f"there is no part {name}",
                self._desk.ask(name, self._parts, "")
                or "a step says what parts do:  V1 at a, C1 load 5 kN",
            )

    def _said_of(
        self, part: Part, clause: Clause, words: list[str], known: Orders
    ) -> Orders | None:
        if " ".join(words) in part.kind.poses and len(words) == len(clause.items) - 1:
            return replace(known, words=known.words | {" ".join(words)})
        if words[0] == "at" and part.positions:
            return self._position(part, clause, known)
        for end, name in beginnings(words):
            order = next((order for order in part.kind.orders if order.name == name), None)
            if order is not None:
                return self._figure(part, clause, order, end + 1, known)
        self._cannot(part, clause, words)
        return None

    def _cannot(self, part: Part, clause: Clause, words: list[str]) -> None:
        sayable = [*(order.name for order in part.kind.orders), *part.kind.poses]
        text = " ".join(words)
        self._desk.error(
            "unknown-order",
            spread(clause, 1, len(words)),
            f"a step cannot say '{text}' of {article(part.kind.word)}",
            self._desk.ask(text, sayable) or _can_be_said(part),
            component=part.name,
        )

    def _position(self, part: Part, clause: Clause, known: Orders) -> Orders | None:
        items = clause.items
        if len(items) < 3:
            self._desk.error(
                "position-missing", clause.place, f"{part.name} at what?", _can_be_said(part)
            )
            return None
        name = items[2].text if isinstance(items[2], Word) else ""
        if name == "rest" and name not in part.positions:
            name = part.rest
        if name not in part.positions:
            shown = name or (written(items[2]) if isinstance(items[2], Amount) else clause.text)
            self._desk.error(
                "unknown-position",
                items[2].place,
                f"{part.name} has no position '{shown}'",
                f"it has {', '.join(part.positions)}",
                component=part.name,
            )
            return None
        if known.position:
            self._twice(items[2].place, f"the position of {part.name}")
        opening = 1.0
        if len(items) > 3:
            if not isinstance(items[3], (Amount, Formula)):
                self._comma(items[3])
                return None
            figure = self._figures.figure(items[3], items[4:], Wanted(OPENING, "a spool"))
            if figure is None:
                return None
            opening = figure.value
            if len(items) > 4:
                self._comma(items[4])
        return replace(known, position=name, opening=opening)

    def _figure(
        self, part: Part, clause: Clause, order: Parameter, at: int, known: Orders
    ) -> Orders | None:
        wanted = Wanted(order, article(part.kind.word))
        if at >= len(clause.items):
            self._figures.missing(clause.place, wanted)
            return None
        item, rest = clause.items[at], clause.items[at + 1 :]
        figure: Figure | None = self._figures.figure(item, rest, wanted)
        if figure is None:
            return None
        if order.name in known.figures:
            self._twice(clause.place, f"'{order.name}' of {part.name}")
        words = known.words
        phrase = " ".join(word.text for word in rest if isinstance(word, Word))
        if rest and phrase in part.kind.poses:
            words = words | {phrase}
        elif rest:
            self._comma(rest[0])
        return replace(known, figures={**known.figures, order.name: figure}, words=words)

    # ---- messages --------------------------------------------------------------------

    def _twice(self, place: Place, what: str) -> None:
        self._desk.error("said-twice", place, f"{what} is given twice in this step")

    def _comma(self, item: Item) -> None:
        message = f"a comma is missing before '{item_text(item)}'"
        self._desk.error("comma-missing", item.place, message)

    def _not_said(self, clause: Clause) -> None:
        self._desk.error(
            "order-form",
            clause.place,
            "a step says what parts do, or how long it lasts",
            "for example:  V1 at a, C1 load 150 kN, 6 s",
        )


def _by_depth(text: Text) -> tuple[list[Sentence], list[Sentence]]:
    """Give the circuit's own steps, and those of blocks, the outer ones first."""
    rows = list(text.sentences("cycle"))
    inside = [row for row in rows if row.place.use is not None]
    inside.sort(key=lambda row: len(list(row.place.uses())))
    return [row for row in rows if row.place.use is None], inside


def _can(part: Part, words: list[str]) -> bool:
    """Whether a step can say something that begins with ``words`` of a part."""
    if words[:1] == ["at"] and len(words) > 1 and " ".join(words) not in part.kind.poses:
        return words[1] in (*part.positions, "rest") and bool(part.positions)
    said = [phrase for _, phrase in beginnings(words)]
    return any(order.name in said for order in part.kind.orders) or any(
        pose in said for pose in part.kind.poses
    )


def _can_be_said(part: Part) -> str:
    """Say what a step can say of a part."""
    can = [f"at {position}" for position in part.positions]
    can += [f"{order.name} ... {order.unit}".rstrip() for order in part.kind.orders]
    can += part.kind.poses
    if not can:
        return f"a step says nothing of {article(part.kind.word)}"
    return f"a step can say: {', '.join(f'{part.name} {what}' for what in can)}"


def _kept_positions(part: Part) -> frozenset[str]:
    """Positions in which a spool stays when a later step does not name it.

    A detent holds the spool; a lever without a spring leaves it where the hand left it.
    """
    phrases = [*part.choices.values(), *(p for group in part.many.values() for p in group)]
    everywhere = frozenset(part.positions)
    sprung = any(phrase.startswith("spring") for phrase in phrases)
    if "detent" in phrases or ("lever" in phrases and not sprung):
        return everywhere
    held = {phrase.removeprefix("detent ") for phrase in phrases if phrase.startswith("detent ")}
    return everywhere & held
