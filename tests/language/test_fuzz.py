"""Whatever is done to a text, there is an answer: findings with places, never an exception."""

from __future__ import annotations

from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from circuitcheck.basics.carets import render
from circuitcheck.circuit import build
from circuitcheck.language import read

HERE = Path(__file__).parent
TEXTS = [
    path.read_text(encoding="utf-8")
    for path in [*sorted((HERE / "circuits").glob("*.hyc")), *sorted(HERE.glob("mistakes/*.hyc"))]
]
SECTION, WINCH = (
    (HERE / "circuits" / f"{name}.hyc").read_text(encoding="utf-8")
    for name in ("load_sensing_section", "2_winch")
)
TEXTS += [SECTION + WINCH.replace('use "load_sensing_section.hyc"', "")] * 3
SCRAPS = [
    '"', "(", ")", ",", ";", "=", "#", "\n", "\t", "\0", "x", "-", "/", ":", "?", "±", "1", "e9",
    "at ", "to ", "from ", "and ", "through ", "in ", "end block\n", "block b\n", "parts\n",
    "lines\n", "cycle\n", "claims\n", "every ", "step ", "P1 ", "V1 ", "T1 ", "1/0", "4:0",
    "1e999", " bar", "%", " plugged", ", driven by E1", "within ", "(a*b)", "é", "\u2028", "\r",
    'use "x"\n', "P-A-P ", "valve 9/9", "4/3 ", "values\n a (b)\n b (a)\n", "ISO VG 7", "oil ",
    "Ø 5", "range", " ls_section", "S1/", "S1 P", " ls_section, flow 3 L/min\n", "(flow)",
    "ports P, T\n", "block a, x ? bar\n", "S1 at a", "X9 a, x 3 bar\n", "?", "drawing\n",
]  # fmt: skip

edits = st.lists(
    st.tuples(
        st.integers(0, 4000),
        st.integers(0, 12),
        st.one_of(st.sampled_from(SCRAPS), st.text(max_size=3)),
    ),
    min_size=1,
    max_size=6,
)


@given(st.sampled_from(TEXTS), edits)
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_an_edited_text_gives_findings_not_exceptions(
    source: str, changes: list[tuple[int, int, str]]
) -> None:
    for at, length, scrap in changes:
        at %= len(source) + 1
        source = source[:at] + scrap + source[at + length :]
    text, findings = read(source, "edited.hyc")
    circuit, more = build(text)
    for finding in (*findings, *more):
        assert finding.message
        assert finding.place.line >= 1
        assert finding.place.line <= text.source.count("\n") + 1
        assert render(finding, text.source).startswith("edited.hyc:")
    errors = [f for f in (*findings, *more) if f.severity.value == "error"]
    assert (circuit is None) == bool(errors)


@given(edits)
@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_an_edited_text_that_uses_files_gives_findings_not_exceptions(
    changes: list[tuple[int, int, str]],
) -> None:
    source = WINCH
    for at, length, scrap in changes:
        at %= 400  # near the sentence that uses the other file
        source = source[:at] + scrap + source[at + length :]
    text, findings = read(source, "edited.hyc", HERE / "circuits")
    circuit, more = build(text)
    for finding in (*findings, *more):
        known = text.used.get(finding.place.file, text.source)
        assert 1 <= finding.place.line <= known.count("\n") + 1
        assert render(finding, known).startswith(finding.place.file)
    errors = [f for f in (*findings, *more) if f.severity.value == "error"]
    assert (circuit is None) == bool(errors)
