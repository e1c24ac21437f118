"""Seeded faults: the sound examples with one part removed, reversed, mis-set or mis-sized.

Each fault names the rule that must find it. The tests run a bounded sample; all of them:
``python -m tests.rules.mutants`` (a name of a fault or of an example narrows it down).
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from circuitcheck.basics.findings import Finding
from circuitcheck.pipeline import parse
from circuitcheck.rules import catalogue
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._rule import Needs
from tests.rules.edits import (
    parts,
    said_of,
    sentence,
    swapped,
    with_part,
    within,
)

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SOUND = sorted(path.stem for path in EXAMPLES.glob("*.hyc") if path.stem != "wrong")


@dataclass(frozen=True)
class Mutant:
    """An example with one fault in it: what was done, its text, the rule that must find it."""

    example: str
    fault: str
    slug: str
    text: str

    @property
    def name(self) -> str:
        return f"{self.example}: {self.fault} ({self.slug})"


@cache
def example(name: str) -> str:
    """Text of an example."""
    text = (EXAMPLES / f"{name}.hyc").read_text(encoding="utf-8")
    # a fault is seeded in the circuit that is checked, not in a variant beside it
    return re.sub(r"^variant .*?^end variant\n", "", text, flags=re.MULTILINE | re.DOTALL)


# ---- faults ------------------------------------------------------------------------------

Fault = Callable[[str], Iterator[tuple[str, str]]]
"""Gives (what was done, text) for every place of a text in which the fault can be seeded."""

FAULTS: list[tuple[str, Fault]] = []


def finds(slug: str) -> Callable[[Fault], Fault]:
    """Register a fault with the rule that must find it."""

    def register(fault: Fault) -> Fault:
        FAULTS.append((slug, fault))
        return fault

    return register


def on_each(kind: str, slug: str, done: str, edit: Callable[[str, str], str]) -> None:
    """Register a fault that can be seeded in every part of a kind."""

    def fault(text: str) -> Iterator[tuple[str, str]]:
        for part in parts(text, kind):
            yield f"{done} {part}", edit(text, part)

    FAULTS.append((slug, fault))


def saying(clause: str) -> Callable[[str, str], str]:
    """An edit that says one clause more of a part."""
    return lambda text, part: said_of(text, part, clause)


def changing(pattern: str, new: str) -> Callable[[str, str], str]:
    """An edit of the sentence of a part."""
    return lambda text, part: within(text, part, pattern, new)


# data and fit of parts
on_each("cylinder", "seal-fluid-mismatch", "EPDM seals in", saying("seals EPDM"))
on_each("motor", "seal-fluid-mismatch", "EPDM seals in", saying("seals EPDM"))
on_each("telescopic cylinder", "seal-fluid-mismatch", "EPDM seals in", saying("seals EPDM"))
on_each(
    "valve",
    "rest-state-missing",
    "no spring on",
    changing(r"^(?![\s\S]*(?:servo|proportional))([\s\S]*), spring (?:centred|return)", r"\1"),
)
on_each("electric motor", "drive-data-missing", "no power of", changing(r", [\d.]+ kW", ""))
on_each("engine", "drive-data-missing", "no power of",
        changing(r"^([^\n]*engine), [\d.]+ (kW|hp)(?![\s\S]*torque)", r"\1"))  # fmt: skip
on_each("tank", "tank-or-oil-data-missing", "no volume of", changing(r", \d+ (L|gal)\b", ""))
on_each("accumulator", "accumulator-data-missing", "no precharge of",
        changing(r", precharge [\d.]+ bar", ""))  # fmt: skip
on_each("electric motor", "coupling-weak", "toy coupling on", saying("coupling 2 Nm"))
on_each("engine", "coupling-weak", "toy coupling on", saying("coupling 2 Nm"))
on_each("pump", "shaft-torque-over", "thin shaft of", saying("shaft limit 3 Nm"))
on_each("relief", "setting-outside-range", "weak spring of", saying("adjusts to 5 bar"))
on_each("relief", "relief-adjustable-over-rating", "strong spring of", saying("adjusts to 900 bar"))
on_each("valve", "valve-plate-mismatch", "other plate under", saying("size 06, plate 10"))
on_each("filter", "filter-data-missing", "no fineness of", changing(r", \d+ um", ""))

# sizes and settings
on_each("electric motor", "drive-overloaded", "weak", changing(r", [\d.]+ kW", ", 0.1 kW"))
on_each("engine", "drive-overloaded", "weak",
        changing(r"^([^\n]*engine), [\d.]+ (kW|hp)(?![\s\S]*droop)", r"\1, 0.1 kW"))  # fmt: skip
on_each("tank", "tank-small", "small", changing(r", \d+ (L|gal), least \d+ (L|gal)", ", 0.5 L"))
on_each("gauge", "pressure-over-rating", "small scale of", changing(r"0 to \d+ ", "0 to 1 "))


def _one(example_text: str, done: str, changed: str) -> Iterator[tuple[str, str]]:
    if changed != example_text:
        yield done, changed


def steered(text: str) -> bool:
    """Whether valves stand between pump and tank: else the pump is always open to it."""
    return any(parts(text, kind) for kind in ("valve", "section", "bank section"))


@finds("counterbalance-set-low")
def _low_counterbalance(text: str) -> Iterator[tuple[str, str]]:
    for part in parts(text, "counterbalance"):
        holds = re.search(rf"from {part} C to (C\d)", text)
        hangs = holds is None or "suspended" in sentence(text, holds[1])[0]
        if hangs:
            yield from _one(
                text, f"{part} at 8 bar", within(text, part, r"set \d+ bar", "set 8 bar")
            )


@finds("rotation-mismatch")
def _wrong_rotation(text: str) -> Iterator[tuple[str, str]]:
    for pump in parts(text, "pump"):
        if "both ways" in sentence(text, pump)[0]:
            continue
        turned = re.sub(r", (anti)?clockwise", "", sentence(text, pump)[0])
        alike = swapped(text, sentence(text, pump)[0], turned)
        alike = said_of(said_of(alike, pump, "clockwise"), "E1", "clockwise")
        yield f"{pump} of the drive's own rotation", alike


@finds("flange-mismatch")
def _wrong_flange(text: str) -> Iterator[tuple[str, str]]:
    for pump in parts(text, "pump"):
        yield f"flange of {pump}", said_of(said_of(text, pump, "flange 82-2"), "E1", "flange 101-2")


@finds("shaft-mismatch")
def _wrong_shaft(text: str) -> Iterator[tuple[str, str]]:
    for pump in parts(text, "pump"):
        yield f"shaft of {pump}", said_of(said_of(text, pump, "shaft 22-4"), "E1", "shaft 25-4")


@finds("port-thread-mismatch")
def _wrong_thread(text: str) -> Iterator[tuple[str, str]]:
    for valve in parts(text, "valve"):
        for line in re.findall(rf"^  \w+ +from {valve} [AB] to \w+ \w+,[^\n]*", text, re.M):
            if line.rstrip().endswith(",") or "#" in line:
                continue
            threaded = said_of(text, valve, "ports M22x1.5")
            yield f"G 1/2 in {valve}", swapped(threaded, line, f'{line}, ends "G 1/2"')


@finds("unprotected-pump")
def _no_relief(text: str) -> Iterator[tuple[str, str]]:
    if len(parts(text, "relief")) != 1 or not parts(text, "pump") or not steered(text):
        return
    text = text.split("\nclaims")[0]  # they, and the drawing, may speak of R1
    bare = text.replace(sentence(text, "R1")[0] + "\n", "", 1)
    bare = re.sub(r"^  (\w+ +)?from [^\n]*\bR1 [PT]\b[^\n]*\n", "", bare, flags=re.M)
    yield "R1 left out", bare


@finds("relief-can-be-shut-off")
def _relief_behind_a_shut_off(text: str) -> Iterator[tuple[str, str]]:
    line = "  from P1 P to R1 P"
    if len(parts(text, "relief")) != 1 or line not in text or not steered(text):
        return
    cut = swapped(text, line, "  from P1 P to SV9 in\n  from SV9 out to R1 P")
    yield "shut-off before R1", with_part(cut, "SV9 shut-off")


@finds("relief-over-lowest-rating")
def _relief_wound_up(text: str) -> Iterator[tuple[str, str]]:
    if parts(text, "pump") and steered(text) and len(parts(text, "relief")) == 1:
        yield from _one(
            text, "R1 at 600 bar", within(text, "R1", r"set [\d.]+ (bar|psi)", "set 600 bar")
        )


@finds("shut-off-in-suction")
def _shut_off_in_suction(text: str) -> Iterator[tuple[str, str]]:
    changed = re.sub(r"(  suction +from T1) to (P1 S[, ])", r"\1 through SV9 to \2", text)
    yield from _one(text, "shut-off in the suction", with_part(changed, "SV9 shut-off")
                    if changed != text else text)  # fmt: skip


@finds("suction-not-from-tank")
def _check_against_the_suction(text: str) -> Iterator[tuple[str, str]]:
    changed = re.sub(
        r"  suction +from T1 to P1 S,", "  from T1 to CV9 out\n  suction from CV9 in to P1 S,", text
    )
    yield from _one(text, "reversed check in the suction", with_part(changed, "CV9 check")
                    if changed != text else text)  # fmt: skip


@finds("check-backwards")
def _check_against_the_pump(text: str) -> Iterator[tuple[str, str]]:
    changed = swapped(
        text, "  pressure  from P1 P to ", "  from P1 P to CV9 out\n  pressure  from CV9 in to "
    )
    alone = not re.search(r"from P1 P to V", text.replace("pressure  from P1 P", ""))
    if changed != text and parts(text, "pump") and alone:
        yield "reversed check behind P1", with_part(changed, "CV9 check")


@finds("force-short")
def _heavy_load(text: str) -> Iterator[tuple[str, str]]:
    for order in dict.fromkeys(re.findall(r"\bC\d load [2-9]\d+ kN", text)):
        cylinder, load = order.split()[0], float(order.split()[2])
        yield (
            f"20 times the load on {cylinder}",
            text.replace(order, f"{cylinder} load {20 * load:g} kN"),
        )


@finds("fine-filter-in-suction")
def _fine_suction_filter(text: str) -> Iterator[tuple[str, str]]:
    changed = re.sub(r"(  suction +from T1) to (P1 S[, ])", r"\1 through F9 to \2", text)
    part = "F9 filter, 10 um, 100 L/min at 0.05 bar, bypass 0.2 bar"
    yield from _one(text, "fine filter in the suction", with_part(changed, part)
                    if changed != text else text)  # fmt: skip


@finds("suction-line-fast")
def _thin_suction(text: str) -> Iterator[tuple[str, str]]:
    changed = re.sub(r"(  suction [^\n]*hose )[\d./-]+ (mm|in)", r"\g<1>8 mm", text, count=1)
    if parts(text, "pump"):
        yield from _one(text, "suction of 8 mm", changed)


@finds("viscosity-outside")
def _thin_oil(text: str) -> Iterator[tuple[str, str]]:
    changed = re.sub(r"^(oil +ISO VG) \d+, at \d+ deg[CF]", r"\1 10, at 80 degC", text, flags=re.M)
    if parts(text, "pump"):
        yield from _one(text, "VG 10 at 80 degC", changed)


@finds("hot-surface-warning")
def _hot_oil(text: str) -> Iterator[tuple[str, str]]:
    changed = re.sub(r"^(oil +ISO VG \d+), at \d+ deg[CF]", r"\1, at 75 degC", text, flags=re.M)
    yield from _one(text, "oil at 75 degC", changed)


@finds("return-filter-flow-underrated")
def _small_return_filter(text: str) -> Iterator[tuple[str, str]]:
    if "F1 to T1" in text:
        yield from _one(
            text, "F1 for 3 L/min", within(text, "F1", r"\d+ (L/min|gpm) at", "3 L/min at")
        )


@finds("shut-off-in-case-drain")
def _shut_off_in_the_drain(text: str) -> Iterator[tuple[str, str]]:
    changed = re.sub(r"(from P1 L) to T1", r"\1 through SV9 to T1", text)
    yield from _one(text, "shut-off in the case drain", with_part(changed, "SV9 shut-off")
                    if changed != text else text)  # fmt: skip


@finds("closed-centre-on-fixed-pump")
def _closed_centre(text: str) -> Iterator[tuple[str, str]]:
    if "pump, fixed" in text and len(parts(text, "pump")) == 1:
        yield from _one(text, "closed centre", text.replace("tandem centre", "closed centre"))


@finds("open-centre-on-compensated-pump")
def _tandem_centre(text: str) -> Iterator[tuple[str, str]]:
    if "pressure compensated, axial" in text:
        yield from _one(
            text, "tandem centre", text.replace("4/3, closed centre", "4/3, tandem centre")
        )


@finds("relief-below-compensator")
def _relief_below(text: str) -> Iterator[tuple[str, str]]:
    if "compensator " in text and parts(text, "pump") and "load sensing" not in text:
        yield from _one(text, "R1 at 60 bar", within(text, "R1", r"set [\d.]+ bar", "set 60 bar"))


@finds("rod-buckling")
def _long_rod(text: str) -> Iterator[tuple[str, str]]:
    for cylinder in parts(text, "cylinder"):
        slim = within(text, cylinder, r"length [\d.]+ (mm|in)", "length 9 m")
        yield from _one(text, f"{cylinder} of 9 m", slim)


@finds("pressure-over-rating")
def _weak_cylinder(text: str) -> Iterator[tuple[str, str]]:
    for kind in ("cylinder", "motor", "telescopic cylinder"):
        for part in parts(text, kind):
            weak = within(text, part, r"rated \d+ (bar|psi)", "rated 4 bar")
            yield from _one(text, f"{part} rated 4 bar", weak)


@finds("precharge-outside")
def _hard_precharge(text: str) -> Iterator[tuple[str, str]]:
    for part in parts(text, "accumulator"):
        yield (
            f"{part} filled to 250 bar",
            within(text, part, r"precharge \d+ bar", "precharge 250 bar"),
        )


@finds("accumulator-no-bleed")
def _no_bleed(text: str) -> Iterator[tuple[str, str]]:
    for part in parts(text, "accumulator"):
        changed = within(text, part, r", bleed valve", "")
        changed = re.sub(r"^  from A1 P to SV1 in\n", "", changed, flags=re.M)
        changed = changed.replace("R2 T and SV1 out to", "R2 T to")
        changed = changed.replace(sentence(changed, "SV1")[0] + "\n", "", 1)
        yield f"no bleed at {part}", changed


@finds("claim-off")
def _false_claims(text: str) -> Iterator[tuple[str, str]]:
    chapter = text[text.index("\nclaims") :]
    for line in re.findall(r"^  \w+ (?:flow|speed|cap pressure) [^\n]*", chapter, re.M):
        number = re.search(r" (\d+(?:\.\d+)?) ", line)
        if number is None or "at most" in line or "at least" in line:
            continue
        wrong = line.replace(number[1], f"{1.4 * float(number[1]):.4g}", 1)
        yield f"false claim {line.strip()[:24]}", swapped(text, line, wrong)


@finds("units-mixed")
def _psi(text: str) -> Iterator[tuple[str, str]]:
    if " psi" not in text:
        yield from _one(text, "R1 in psi", within(text, "R1", r"set [\d.]+ bar", "set 2900 psi"))


@finds("hose-fluid-or-heat")
def _cold_hose(text: str) -> Iterator[tuple[str, str]]:
    changed = re.sub(r"^(  pressure +[^\n#]*hose [^\n#]*[^\n# ,])", r"\1, hottest 8 degC", text,
                     count=1, flags=re.M)  # fmt: skip
    yield from _one(text, "hose for cold oil", changed)


@finds("return-above-oil-level")
def _falling_oil(text: str) -> Iterator[tuple[str, str]]:
    changed = re.sub(r"^(  return +[^\n#]*hose [^\n#]*[^\n# ,])", r"\1, ends above the oil", text,
                     count=1, flags=re.M)  # fmt: skip
    yield from _one(text, "return that ends above the oil", changed)


@finds("do-not-test-with-bucket")
def _bucket(text: str) -> Iterator[tuple[str, str]]:
    if parts(text, "pump") and not parts(text, "flowmeter"):
        yield "pump flow read without a meter", f"{text}\nreadings\n  P1 flow 60 L/min\n"


@finds("priority-missing")
def _critical(text: str) -> Iterator[tuple[str, str]]:
    shared = [*parts(text, "cylinder"), *parts(text, "motor")]
    if len(shared) > 1 and not re.search("divider|priority|closed loop", text):
        for part in shared:
            yield f"{part} critical on a shared pump", said_of(text, part, "critical")


def mutants() -> Iterator[Mutant]:
    """Every fault in every example that has a place for it."""
    for name in SOUND:
        text = example(name)
        for slug, fault in FAULTS:
            for done, changed in fault(text):
                if changed != text:
                    yield Mutant(name, done, slug, changed)


# ---- finding them ------------------------------------------------------------------------


def found(text: str, name: str, slug: str) -> list[Finding] | None:
    """What one rule finds in a text; None where the text is refused or not solved."""
    rule = catalogue()[slug]
    project = parse(text, f"{name}.hyc", EXAMPLES)
    if not project.understood:
        return None
    solved = rule.needs is Needs.NUMBERS or slug in SOLVED
    solution = project.solve() if solved else None
    case = Case(Facts(project.circuit, solution), rule)
    return [outcome for outcome in rule.check(case) if isinstance(outcome, Finding)]


SOLVED = ("closed-centre-on-fixed-pump", "relief-over-lowest-rating")
"""Rules that look at operating points where there are any."""


@cache
def in_the_sound_one(name: str, slug: str) -> frozenset[tuple[str, str]]:
    """What a rule finds in the example without the fault: part and message."""
    return frozenset((f.component, f.message) for f in found(example(name), name, slug) or ())


def missed(mutant: Mutant) -> str:
    """Why a fault was not found; empty where it was."""
    try:
        here = found(mutant.text, mutant.example, mutant.slug)
    except Exception as error:  # noqa: BLE001 - a campaign goes on and names what broke
        return f"{type(error).__name__}: {error}"
    if here is None:
        return "refused"
    before = in_the_sound_one(mutant.example, mutant.slug)
    if any((f.component, f.message) not in before for f in here):
        return ""
    return "not found"


def main(words: list[str]) -> int:
    """Run all faults, or those whose name holds one of the words; print what was missed."""
    chosen = [m for m in mutants() if not words or any(word in m.name for word in words)]
    lost = 0
    for mutant in chosen:
        why = missed(mutant)
        if why:
            lost += 1
            print(f"{mutant.name}: {why}", flush=True)
    print(f"{len(chosen)} faults seeded, {len(chosen) - lost} found by the expected rule")
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
