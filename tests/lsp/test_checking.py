"""The thread that checks texts: newest first and only, faults told, an end that comes."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable

import pytest

from circuitcheck.lsp import checking
from circuitcheck.lsp.checking import Checked, Checker
from tests.cli.conftest import Answer
from tests.cli.conftest import circuitcheck as circuitcheck
from tests.press_text import PRESS


class Heard:
    """What a checker tells."""

    def __init__(self) -> None:
        self.told: list[Checked] = []
        self.failed: list[tuple[str, str]] = []
        self.news = threading.Event()
        self.checker = Checker(self._tell, self._fail)

    def _tell(self, checked: Checked) -> None:
        self.told.append(checked)
        if checked.result is not None:
            self.news.set()

    def _fail(self, uri: str, problem: Exception) -> None:
        self.failed.append((uri, str(problem)))
        self.news.set()

    def ask(self, uri: str, version: int, text: str = PRESS, pause: float = 0.0) -> None:
        self.checker.ask(uri, version, text, "", None, pause)

    def wait(self) -> None:
        assert self.news.wait(60.0)
        self.news.clear()


@pytest.fixture
def heard() -> Heard:
    return Heard()


def test_mistakes_come_first_then_everything(heard: Heard) -> None:
    heard.ask("a", 1)
    heard.wait()
    assert [one.result is None for one in heard.told] == [True, False]
    assert {one.version for one in heard.told} == {1}
    assert set(heard.told[0].findings) <= set(heard.told[1].findings)
    heard.checker.end()


def test_of_many_versions_the_last_is_checked(heard: Heard) -> None:
    for version in range(20):
        heard.ask("a", version, pause=0.2)
    heard.wait()
    assert {one.version for one in heard.told} == {19}
    heard.checker.end()


def test_a_version_is_given_up_after_its_stage(
    heard: Heard, monkeypatch: pytest.MonkeyPatch
) -> None:
    reading, go_on = threading.Event(), threading.Event()
    parse = checking.parse

    def slow(text: str, *rest: object) -> object:
        if "old" in text:
            reading.set()
            go_on.wait(60.0)
        return parse(text, "", None)

    monkeypatch.setattr(checking, "parse", slow)
    heard.ask("a", 1, PRESS.replace('"press"', '"old"'))
    assert reading.wait(60.0)
    heard.ask("a", 2)
    go_on.set()
    heard.wait()
    assert {one.version for one in heard.told} == {2}
    heard.checker.end()


def test_a_fault_of_the_program_is_told_and_the_next_text_is_checked(
    heard: Heard, monkeypatch: pytest.MonkeyPatch
) -> None:
    parse = checking.parse

    def broken(text: str, *rest: object) -> object:
        if "fault" in text:
            raise ZeroDivisionError("by nothing")
        return parse(text, "", None)

    monkeypatch.setattr(checking, "parse", broken)
    heard.ask("a", 1, "fault")
    heard.wait()
    assert heard.failed == [("a", "by nothing")]
    heard.ask("b", 1)
    heard.wait()
    assert heard.told[-1].uri == "b"
    heard.checker.end()


def test_a_closed_text_is_not_checked(heard: Heard) -> None:
    heard.ask("a", 1, pause=0.3)
    heard.checker.forget("a")
    heard.ask("b", 1, pause=0.0)
    heard.wait()
    assert {one.uri for one in heard.told} == {"b"}
    heard.checker.end()


def test_without_its_library_the_command_says_what_to_install(
    circuitcheck: Callable[..., Answer], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in [name for name in sys.modules if name.startswith("circuitcheck.lsp")]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "pygls.lsp.server", None)
    monkeypatch.setitem(sys.modules, "pygls", None)
    answer = circuitcheck("lsp")
    assert answer.status == 2
    assert "pip install 'circuitcheck[editor]'" in answer.err
