"""The language server through its own protocol, over the pipes of a process of its own."""

from __future__ import annotations

import shutil
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from circuitcheck.lsp.documents import Encoding, letters, units
from tests.lsp.editor import PUBLISH, Editor, Text
from tests.press_text import PRESS

pytestmark = pytest.mark.xdist_group("lsp")

EXAMPLES = Path(__file__).resolve().parent.parent.parent / "examples"
TABS = {"tabSize": 8, "insertSpaces": False}
ALL = {"start": {"line": 0, "character": 0}, "end": {"line": 10_000, "character": 0}}
LETTERS = PRESS.replace("  V1  valve", "  # 10 µm at 45 °C, 😀 𝄞\n  V1  valve").replace(
    "stroke 400 mm", 'stroke 400 mm, "der Ø 80 😀 Kolben"'
)
"""Comments and texts with letters of one and of two units of UTF-16."""


@pytest.fixture(scope="module")
def editor(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Editor]:
    """One server for all tests; each opens a file of its own."""
    folder = tmp_path_factory.mktemp("project")
    shutil.copytree(EXAMPLES, folder / "examples")
    with Editor(folder) as editor:
        yield editor


@pytest.fixture
def press(editor: Editor, tmp_path: Path) -> Text:
    return editor.open(tmp_path / "press.hyc", PRESS)


def codes(found: list[dict[str, Any]]) -> set[str]:
    return {one["code"] for one in found}


# ---- findings -----------------------------------------------------------------------------------


def test_findings_come_as_the_text_is_opened_and_changed(press: Text) -> None:
    found = press.found()
    assert codes(found) & {"rating-missing", "surplus-flow", "heat-share-high"}
    assert all(one["source"] == "circuitcheck" for one in found)
    press.write(PRESS.replace("bore 80 mm", "boar 80 mm"))
    (wrong,) = press.found(solved=False)
    assert (wrong["code"], wrong["severity"]) == ("unknown-property", 1)
    assert press.said(wrong["range"]) == "boar"
    assert wrong["message"].endswith("did you mean 'bore'?")
    press.write(PRESS)
    assert codes(press.found()) == codes(found)


def test_a_text_may_be_broken_in_any_way(press: Text) -> None:
    for text in ("", "\n\n", PRESS[:100], PRESS + "x" * 2000, "\x00\ufffd😀", '"', "parts\n" * 40,
                 PRESS.replace("\n", ",\n")):  # fmt: skip
        press.write(text)
        assert press.found(solved=False) or not text.strip('"')
        press.ask("hover", {"line": 3, "character": 5})
        press.ask("completion", {"line": 3, "character": 5})
        press.ask("documentSymbol")
        press.ask("formatting", options=TABS)
        press.ask("inlayHint", range=ALL)
    press.write(PRESS)
    assert "unknown-property" not in codes(press.found())


def test_what_has_become_old_is_not_told(press: Text) -> None:
    """Of a burst of changes only the last is checked, and nothing is said of the others."""
    press.found()
    before, first = len(press.editor.log), press.version
    for number in range(40):
        press.write(PRESS.replace("set 180 bar", f"set {150 + number} bar"))
    press.found()
    told = [
        said["params"]["version"]
        for said in press.editor.log[before:]
        if said.get("method") == PUBLISH and said["params"]["uri"] == press.uri
    ]
    assert told[-1] == press.version == first + 40
    assert len(told) <= 3
    hints = press.ask("inlayHint", range=ALL)
    assert hints


def test_it_answers_while_a_large_circuit_is_checked(editor: Editor, tmp_path: Path) -> None:
    parts = "\n".join(
        f"  V{n}  valve 4/3, closed centre\n  C{n}  cylinder, bore 80 mm, rod 50 mm, stroke 400 mm"
        for n in range(2, 60)
    )
    lines = "\n".join(
        f"  from P1 P to V{n} P\n  from V{n} A to C{n} cap\n  from V{n} B to C{n} rod\n"
        f"  from V{n} T to T1"
        for n in range(2, 60)
    )
    large = PRESS.replace("lines\n", f"{parts}\nlines\n{lines}\n", 1)
    text = editor.open(tmp_path / "large.hyc", large)
    start = time.monotonic()
    answers = 0
    while not any(
        said.get("method") == PUBLISH and said["params"]["uri"] == text.uri for said in editor.log
    ):
        assert "set" in {o["label"] for o in text.ask(
            "completion", text.at("relief, |set 180"))["items"]}  # fmt: skip
        answers += 1
        assert time.monotonic() - start < 60.0
    text.write(large.replace("set 180 bar", "set 170 bar"))
    assert text.ask("hover", text.at("relief, s|et"))["contents"]["value"].startswith("**set**")
    text.found()


def test_findings_in_a_used_file_stand_at_the_sentence_that_leads_there(
    editor: Editor, tmp_path: Path
) -> None:
    shutil.copytree(EXAMPLES / "parts", tmp_path / "parts")
    shutil.copytree(EXAMPLES / "blocks", tmp_path / "blocks")
    block = tmp_path / "blocks" / "clamp_station.hyc"
    good = block.read_text(encoding="utf-8")
    block.write_text(good.replace("rod 28 mm", "rodd 28 mm"), encoding="utf-8")
    file = tmp_path / "main.hyc"
    file.write_text((EXAMPLES / "clamp_stations.hyc").read_text(encoding="utf-8"))
    text = editor.open(file)
    found = [one for one in text.found(solved=False) if one["code"] == "unknown-property"]
    assert found
    related = found[0]["relatedInformation"]
    assert related[0]["location"]["uri"] == block.as_uri()
    inner = editor.open(block)
    assert "no-parts" not in codes(inner.found(solved=False))  # blocks for others
    after = len(editor.log)
    block.write_text(good, encoding="utf-8")
    inner.write(good)
    editor.tell("textDocument/didSave", {"textDocument": {"uri": inner.uri}})
    told = editor.wait(
        PUBLISH,
        lambda p: p["uri"] == text.uri and "unknown-property" not in codes(p["diagnostics"]),
        after,
    )
    assert told["version"] == 1


def test_a_closed_text_has_no_findings(press: Text) -> None:
    press.write(PRESS.replace("bore", "boar"))
    assert press.found(solved=False)
    after = len(press.editor.log)
    press.editor.tell("textDocument/didClose", {"textDocument": {"uri": press.uri}})
    # findings of a stage that was under way may come before, none after
    press.editor.wait(PUBLISH, lambda p: p["uri"] == press.uri and not p["diagnostics"], after)
    said = press.editor.answer(
        "textDocument/hover",
        {"textDocument": {"uri": press.uri}, "position": {"line": 0, "character": 0}},
    )
    assert "is not open" in said["error"]["message"]


# ---- writing ------------------------------------------------------------------------------------


def test_completion_replaces_what_was_begun(press: Text) -> None:
    press.write(PRESS.replace("  R1  relief", "  E2  electric mo\n  R1  relief"))
    items = press.ask("completion", press.at("electric mo\n", behind=False) | {"character": 17})
    (item,) = items["items"]
    assert item["label"] == "electric motor"
    assert press.said(item["textEdit"]["range"]) == "electric mo"
    assert "  E2  electric motor\n" in press.with_edits([item["textEdit"]])


def test_what_was_meant_is_written(press: Text) -> None:
    press.write(LETTERS.replace("rod 50 mm", "rood 50 mm"))
    (found,) = press.found(solved=False)
    (action,) = press.ask("codeAction", range=found["range"], context={"diagnostics": [found]})
    assert (action["title"], action["kind"]) == ("write rod", "quickfix")
    assert press.with_edits(action["edit"]["changes"][press.uri]) == LETTERS
    assert (
        press.ask("codeAction", range=ALL | {"end": ALL["start"]}, context={"diagnostics": []})
        == []
    )


def test_formatting_keeps_what_is_said_and_refuses_what_is_not_understood(press: Text) -> None:
    edits = press.ask("formatting", options=TABS)
    text = press.with_edits(edits)
    assert "\nparts\n  T1  tank, 100 L\n" in text
    press.write(text)
    assert press.ask("formatting", options=TABS) == []
    press.write(PRESS.replace("bore", "boar"))
    assert press.ask("formatting", options=TABS) is None


# ---- names --------------------------------------------------------------------------------------


def test_definition_references_and_highlights(press: Text) -> None:
    press.write(LETTERS)
    where = press.at("step out, V1 at a, C|1 load")
    target = press.ask("definition", where)
    assert target["uri"] == press.uri
    assert press.said(target["range"]) == "C1"
    assert target["range"]["start"] == press.at("C1  cylinder")
    spots = press.ask("references", where, context={"includeDeclaration": True})
    assert [press.said(spot["range"]) for spot in spots] == ["C1"] * 5
    assert len(press.ask("references", where, context={"includeDeclaration": False})) == 4
    assert len(press.ask("documentHighlight", where)) == 5
    assert press.ask("definition", press.at("at| 45 degC")) is None


def test_renaming_finds_every_mention(press: Text) -> None:
    text = LETTERS + (
        'claims\n  C1 speed 1 m/s, in out\naccepted\n  heat-share-high on C1, because "C1 😀"\n'
        "drawing\n  C1 above V1\n"
    )
    press.write(text)
    where = press.at("V1 A to C|1 cap")
    prepared = press.ask("prepareRename", where)
    assert (prepared["placeholder"], press.said(prepared["range"])) == ("C1", "C1")
    edit = press.ask("rename", where, newName="ram")
    changed = press.with_edits(edit["changes"][press.uri])
    assert changed == text.replace("C1", "ram").replace('"ram 😀"', '"C1 😀"')
    step = press.ask("rename", press.at("step ou|t"), newName="press_on")
    assert "in press_on" in press.with_edits(step["changes"][press.uri])


@pytest.mark.parametrize(
    ("spot", "name", "why"),
    [("C|1  cyl", "V1", "already a part V1"), ("C|1  cyl", "from", "word of the language"),
     ("C|1  cyl", "C 1", "not one word"), ("bo|re", "x", "no name here")],
)  # fmt: skip
def test_a_name_that_cannot_be_is_refused(press: Text, spot: str, name: str, why: str) -> None:
    press.write(PRESS)
    said = press.editor.answer(
        "textDocument/rename",
        {"textDocument": {"uri": press.uri}, "position": press.at(spot), "newName": name},
    )
    assert why in said["error"]["message"]


def test_blocks_are_followed_into_their_files(editor: Editor, tmp_path: Path) -> None:
    shutil.copytree(EXAMPLES / "parts", tmp_path / "parts")
    shutil.copytree(EXAMPLES / "blocks", tmp_path / "blocks")
    block = tmp_path / "blocks" / "clamp_station.hyc"
    shutil.copy(EXAMPLES / "clamp_stations.hyc", tmp_path)
    text = editor.open(tmp_path / "clamp_stations.hyc")
    use = text.ask("definition", text.at('use "blocks/cl|amp'))
    assert use["uri"] == block.as_uri()
    inside = text.ask("definition", text.at("S1/C|1 load 0.5"))
    assert (inside["uri"], inside["range"]["start"]["line"]) == (block.as_uri(), 9)
    entry = text.ask("definition", text.at("P1  pump|_6"))
    assert entry["uri"].endswith(".toml")
    edit = text.ask("rename", text.at("S1/C|1 load 0.5"), newName="ram")["changes"]
    assert set(edit) == {text.uri, block.as_uri()}
    assert "S3/ram load 0.3 kN" in text.with_edits(edit[text.uri])
    inner = editor.open(block)
    assert "    ram  cylinder" in inner.with_edits(edit[block.as_uri()])
    # the circuits of the project that use it are found from the block's own file
    own = editor.root / "examples" / "blocks" / "clamp_station.hyc"
    there = editor.open(own)
    edit = there.ask("rename", there.at("    C|1  cyl"), newName="ram")["changes"]
    user = editor.open(editor.root / "examples" / "clamp_stations.hyc")
    assert set(edit) == {there.uri, user.uri}
    assert "S3/ram load 0.3 kN" in user.with_edits(edit[user.uri])
    spots = there.ask("references", there.at("    C|1  cyl"), context={"includeDeclaration": True})
    assert {spot["uri"] for spot in spots} == {there.uri, user.uri}
    # a file with changes that are not saved is not touched
    inner.write(inner.text.replace("rod 28 mm", "rod 30 mm"))
    said = editor.answer(
        "textDocument/rename",
        {
            "textDocument": {"uri": text.uri},
            "position": text.at("S1/C|1 load 0.5"),
            "newName": "x1",
        },
    )
    assert "not saved" in said["error"]["message"]


# ---- figures ------------------------------------------------------------------------------------


def test_figures_beside_the_text_are_those_of_the_chosen_step(press: Text) -> None:
    press.write(LETTERS)
    press.found()
    shown = press.ask("hover", press.at("  C|1  cylinder"))
    assert "| out | moving out |" in shown["contents"]["value"]
    assert press.said(shown["range"]) == "C1"
    lenses = press.ask("codeLens")
    assert [lens["command"]["arguments"] for lens in lenses] == [
        [press.uri, "idle"], [press.uri, "out"]]  # fmt: skip
    idle = press.ask("inlayHint", range=ALL)
    after = len(press.editor.log)
    press.editor.ask("workspace/executeCommand", lenses[1]["command"])
    press.editor.wait("workspace/inlayHint/refresh", after=after)
    out = press.ask("inlayHint", range=ALL)
    assert idle[0]["position"] == out[0]["position"]
    at_rod = next(one for one in out if "mm/s" in one["label"] and "kN" in one["label"])
    assert at_rod["position"] == press.at('"der Ø 80 😀 Kolben"', behind=True)
    assert press.ask("codeLens")[1]["command"]["title"] == "figures of this step are shown"
    one = next(hint for hint in out if hint["position"]["line"] == 3 + 1)
    row = {"start": {"line": 4, "character": 0}, "end": {"line": 5, "character": 0}}
    assert press.ask("inlayHint", range=row) == [one]


def test_figures_of_an_older_text_are_not_shown(press: Text) -> None:
    press.found()
    press.write(PRESS.replace("set 180 bar", "set 90 bar"))
    assert press.ask("inlayHint", range=ALL) == []
    assert "being computed" in press.ask("hover", press.at("  C|1  cylinder"))["contents"]["value"]


def test_the_outline_has_chapters_with_their_names(press: Text) -> None:
    found = press.ask("documentSymbol")
    assert [one["name"] for one in found][2:] == ["parts", "lines", "cycle"]
    assert [one["name"] for one in found[2]["children"]] == ["T1", "E1", "P1", "R1", "V1", "C1"]
    assert press.said(found[2]["children"][-1]["selectionRange"]) == "C1"


# ---- places and the process ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "name", "wanted"),
    [("µ", "utf-16", 1), ("😀", "utf-16", 2), ("µ😀", "utf-8", 6), ("µ😀", "utf-32", 2)],
)
def test_columns_are_counted_as_the_editor_does(text: str, name: str, wanted: int) -> None:
    encoding = Encoding(name)
    assert units(text, encoding) == wanted
    assert letters(f"{text}x", wanted, encoding) == len(text)
    assert letters(text, 99, encoding) == len(text)


def test_lone_halves_of_letters_and_line_ends_of_any_kind(press: Text) -> None:
    press.write('circuit "a"\r\n# 😀\r\nparts\r\n  T1 tnak\r\n')
    found = next(one for one in press.found(solved=False) if one["code"] == "unknown-kind")
    assert found["range"]["start"] == {"line": 3, "character": 5}
    assert press.ask("hover", {"line": 1, "character": 3}) is None
    press.write('circuit "a"  # 😀 \u2028\nparts\n  T1 tank\n')
    found = next(one for one in press.found(solved=False) if one["code"] == "hidden-mark")
    assert found["range"]["start"] == {"line": 0, "character": 18}


def test_it_ends_when_told_and_when_the_editor_is_gone(tmp_path: Path) -> None:
    with Editor(tmp_path, ["utf-32", "utf-16"]) as editor:
        text = editor.open(tmp_path / "press.hyc", PRESS)
        text.found(solved=False)
    assert editor.process.returncode == 0
    assert editor.process.stderr is not None
    assert editor.process.stderr.read() == b""
    editor = Editor(tmp_path)
    editor.open(tmp_path / "press.hyc", PRESS)
    assert editor.process.stdin is not None
    editor.process.stdin.close()  # the editor died: no shutdown, no exit
    editor.process.wait(30.0)
    assert editor.process.poll() is not None
