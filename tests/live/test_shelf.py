"""Texts are saved on request, whole, and never over what somebody else has written."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from circuitcheck.live import shelf as shelves
from circuitcheck.live.shelf import NewerError, OffShelfError, Shelf

TEXT = "parts\n  T1  tank, 60 L\n"


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    (tmp_path / "one.hyc").write_text(TEXT)
    return Shelf(tmp_path / "one.hyc")


def test_a_text_is_saved_over_the_one_that_was_read(shelf: Shelf) -> None:
    held = shelf.read("one.hyc")
    mark = shelf.save("one.hyc", TEXT + "# more\n", held.mark)
    assert (shelf.folder / "one.hyc").read_text() == TEXT + "# more\n"
    assert shelf.mark("one.hyc") == mark != held.mark


def test_it_is_not_saved_over_a_newer_one(shelf: Shelf) -> None:
    held = shelf.read("one.hyc")
    (shelf.folder / "one.hyc").write_text("# theirs\n")
    with pytest.raises(NewerError) as newer:
        shelf.save("one.hyc", "# mine\n", held.mark)
    assert newer.value.held is not None
    assert newer.value.held.text == "# theirs\n"
    assert (shelf.folder / "one.hyc").read_text() == "# theirs\n"
    # the person decided: mine over theirs
    shelf.save("one.hyc", "# mine\n", newer.value.held.mark)
    assert (shelf.folder / "one.hyc").read_text() == "# mine\n"


def test_a_newer_text_of_the_same_size_and_time_is_seen_all_the_same(shelf: Shelf) -> None:
    file = shelf.folder / "one.hyc"
    held, seen = shelf.read("one.hyc"), file.stat()
    file.write_text(TEXT.replace("60", "90"))
    os.utime(file, ns=(seen.st_atime_ns, seen.st_mtime_ns))
    with pytest.raises(NewerError):
        shelf.save("one.hyc", "# mine\n", held.mark)


def test_a_file_that_was_removed_is_not_made_again_unasked(shelf: Shelf) -> None:
    held = shelf.read("one.hyc")
    (shelf.folder / "one.hyc").unlink()
    with pytest.raises(NewerError) as newer:
        shelf.save("one.hyc", TEXT, held.mark)
    assert newer.value.held is None
    assert shelf.mark("one.hyc") == ""
    shelf.save("one.hyc", TEXT, "")
    assert (shelf.folder / "one.hyc").read_text() == TEXT


def test_line_ends_and_byte_order_stay_as_they_were(shelf: Shelf) -> None:
    file = shelf.folder / "one.hyc"
    file.write_bytes(b"\xef\xbb\xbfparts\r\n  T1  tank, 60 L\r\n")
    held = shelf.read("one.hyc")
    assert held.text == TEXT
    shelf.save("one.hyc", held.text + "# é\n", held.mark)
    assert file.read_bytes() == "\ufeffparts\r\n  T1  tank, 60 L\r\n# é\r\n".encode()


def test_what_fails_half_way_leaves_the_file_as_it_was(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = shelf.read("one.hyc")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OffShelfError, match=r"one\.hyc cannot be saved: no space left on device"):
        shelf.save("one.hyc", "# mine\n", held.mark)
    assert [path.name for path in shelf.folder.iterdir()] == ["one.hyc"]
    assert (shelf.folder / "one.hyc").read_text() == TEXT


def test_a_file_without_a_newer_text_keeps_its_rights(shelf: Shelf) -> None:
    file = shelf.folder / "one.hyc"
    file.chmod(0o640)
    shelf.save("one.hyc", "# mine\n", shelf.read("one.hyc").mark)
    assert file.stat().st_mode & 0o777 == 0o640


def test_what_is_no_text_is_refused_in_words(shelf: Shelf) -> None:
    (shelf.folder / "one.hyc").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(OffShelfError, match="UTF-16"):
        shelf.read("one.hyc")
    (shelf.folder / "one.hyc").write_text("#" * (shelves.MOST_BYTES + 1))
    with pytest.raises(OffShelfError, match="too large"):
        shelf.read("one.hyc")
