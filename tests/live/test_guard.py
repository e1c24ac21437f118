"""The server answers this machine's own page only, and gives nothing but the folder's circuits."""

from __future__ import annotations

import ast
import json
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from circuitcheck.live import server
from circuitcheck.live.app import Desk, make_app
from circuitcheck.live.guard import MOST_BODY, App
from circuitcheck.live.shelf import MOST_BYTES, Shelf
from tests.live.conftest import run

PORT, TOKEN = 7141, "a-token-of-this-run"
TEXT = "parts\n  T1  tank, 60 L\n"
ROOM = Path(server.__file__).parent


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a circuit, inside one with secrets."""
    (tmp_path / "secret.hyc").write_text("# secret\n" + TEXT)
    inside = tmp_path / "circuits"
    inside.mkdir()
    (inside / "one.hyc").write_text(TEXT)
    (inside / "notes.txt").write_text("secret")
    (inside / "away.hyc").symlink_to(tmp_path / "secret.hyc")
    return inside


@pytest.fixture
def made(folder: Path) -> Iterator[tuple[App, Desk]]:
    app, desk = make_app(Shelf(folder / "one.hyc"), PORT, TOKEN)
    yield app, desk
    desk.end()


def ask(made: tuple[App, Desk], path: str, method: str = "POST", **about: Any) -> httpx.Response:
    """Ask as the page does, but for what is said otherwise; None takes a header away."""
    headers = {
        "host": f"127.0.0.1:{PORT}", "origin": f"http://127.0.0.1:{PORT}",
        "sec-fetch-site": "same-origin", "content-type": "application/json",
        "x-circuitcheck-token": TOKEN, **about.pop("headers", {}),
    }  # fmt: skip
    kept = {name: value for name, value in headers.items() if value is not None}
    body = about.pop("body", None)
    content = about.pop("content", json.dumps(body if body is not None else {}))

    async def asked() -> httpx.Response:
        transport = httpx.ASGITransport(app=made[0])  # type: ignore[arg-type]
        async with httpx.AsyncClient(transport=transport) as client:
            url = f"http://127.0.0.1:{PORT}{path}"
            return await client.request(method, url, headers=kept, content=content)

    return run(asked())


def test_the_page_itself_is_answered(made: tuple[App, Desk]) -> None:
    assert ask(made, "/ask/open").json()["text"] == TEXT


def test_it_listens_on_loopback_only() -> None:
    held = server._bound(0)
    with held:
        held.listen()
        assert held.getsockname()[0] == "127.0.0.1"
        for address in {row[4][0] for row in socket.getaddrinfo(socket.gethostname(), None)}:
            if str(address).startswith("127.") or ":" in str(address):
                continue
            with socket.socket() as other:
                other.settimeout(2.0)
                assert other.connect_ex((str(address), held.getsockname()[1])) != 0


@pytest.mark.parametrize("host", ["evil.example", f"evil.example:{PORT}", "127.0.0.1:1", "",
                                  "127.0.0.1", f"127.0.0.1.evil.example:{PORT}"])  # fmt: skip
@pytest.mark.parametrize(("path", "method"), [("/", "GET"), ("/ask/open", "POST")])
def test_another_host_is_refused(made: tuple[App, Desk], host: str, path: str, method: str) -> None:
    answer = ask(made, path, method, headers={"host": host})
    assert answer.status_code == 403
    assert "loopback" in answer.text


@pytest.mark.parametrize("origin", ["http://evil.example", "null", f"https://127.0.0.1:{PORT}",
                                    f"http://127.0.0.1:{PORT + 1}", "file://"])  # fmt: skip
def test_another_origin_is_refused(made: tuple[App, Desk], origin: str) -> None:
    answer = ask(made, "/ask/open", headers={"origin": origin})
    assert answer.status_code == 403
    assert "another page" in answer.text


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_a_browser_calls_cross_site_is_refused(made: tuple[App, Desk], site: str) -> None:
    assert ask(made, "/ask/open", headers={"sec-fetch-site": site}).status_code == 403


@pytest.mark.parametrize("token", [None, "", "a-token-of-another-run", TOKEN + "x", TOKEN[:-1]])
@pytest.mark.parametrize("what", ["open", "save", "look", "state", "nothing"])
def test_without_the_token_nothing_is_answered(
    made: tuple[App, Desk], token: str | None, what: str
) -> None:
    answer = ask(made, f"/ask/{what}", headers={"x-circuitcheck-token": token})
    assert answer.status_code == 401
    assert "tank" not in answer.text


def test_a_form_of_another_page_is_refused(made: tuple[App, Desk]) -> None:
    """A form can send such a request without asking first; JSON it cannot."""
    answer = ask(made, "/ask/open", headers={"content-type": "text/plain"})
    assert answer.status_code == 415


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(made: tuple[App, Desk], method: str) -> None:
    assert ask(made, "/ask/open", method).status_code == 405


def test_each_run_has_a_token_that_cannot_be_guessed() -> None:
    source = (ROOM / "server.py").read_text()
    assert "secrets.token_urlsafe(32)" in source  # 256 bits


def test_the_page_may_load_nothing_from_elsewhere(made: tuple[App, Desk]) -> None:
    first, second = ask(made, "/", "GET"), ask(made, "/", "GET")
    policy = first.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert first.headers["referrer-policy"] == "no-referrer"
    assert policy != second.headers["content-security-policy"]  # a nonce serves once
    assert TOKEN not in first.text
    for file in (ROOM / "page").glob("*.*"):
        assert "http://" not in file.read_text().replace("http://www.w3.org/2000/svg", ""), file
        assert "https://" not in file.read_text(), file


NAMES = ["../secret.hyc", "/etc/passwd", "circuits/../../secret.hyc", "away.hyc", "notes.txt",
         "..", ".", ".hyc", "one.hyc/../../secret.hyc", "..\\secret.hyc", "one.hyc\0.txt",
         "%2e%2e/secret.hyc"]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("what", ["open", "save", "state", "look"])
def test_no_path_leads_out_of_the_folder(
    made: tuple[App, Desk], folder: Path, name: str, what: str
) -> None:
    before = (folder.parent / "secret.hyc").read_text()
    answer = ask(made, f"/ask/{what}", body={"name": name, "text": "mine", "over": "", "tab": "1"})
    assert answer.status_code == 404
    assert "secret" not in answer.text.replace(name, "").replace("..\\\\secret.hyc", "")
    assert (folder.parent / "secret.hyc").read_text() == before


PATHS = ["/page/../app.py", "/page/%2e%2e/app.py", "/page//etc/passwd",
         "/page/bundle/package.json", "/page/vendor/../../app.py"]  # fmt: skip


@pytest.mark.parametrize("path", PATHS)
def test_only_files_of_the_page_are_served(made: tuple[App, Desk], path: str) -> None:
    assert ask(made, path, "GET").status_code == 404
    assert ask(made, "/page/main.js", "GET").status_code == 200


def test_a_text_uses_no_file_outside_the_folder(made: tuple[App, Desk]) -> None:
    text = 'use "../secret.hyc"\n' + TEXT
    answer = ask(made, "/ask/look", body={"name": "one.hyc", "text": text, "tab": "1"})
    assert answer.status_code == 200
    assert not answer.json()["understood"]
    assert "# secret" not in answer.text


def test_requests_have_a_size(made: tuple[App, Desk]) -> None:
    whole = json.dumps({"name": "one.hyc", "text": "x" * MOST_BODY})
    assert ask(made, "/ask/look", content=whole).status_code == 413

    async def pieces() -> Any:  # says no length
        for _ in range(5):
            yield b" " * (MOST_BODY // 4)

    assert ask(made, "/ask/look", content=pieces()).status_code == 413
    large = {"name": "one.hyc", "text": "x" * (MOST_BYTES + 1), "tab": "1"}
    assert ask(made, "/ask/look", body=large).status_code == 400
    assert ask(made, "/ask/look", body={"name": "x" * 400, "text": ""}).status_code == 400
    assert ask(made, "/page/" + "x" * 400, "GET").status_code == 414


@pytest.mark.parametrize("content", [b"[]", b"{", b"\xff", b"[" * 100_000, b'{"text": 1}', b"null"])
def test_what_the_page_would_not_send_is_refused_in_words(
    made: tuple[App, Desk], content: bytes
) -> None:
    answer = ask(made, "/ask/look", content=content)
    assert answer.status_code in (400, 404)
    assert answer.json()["said"]


def test_nothing_runs_a_shell_or_another_program() -> None:
    barred = {"subprocess", "os.system", "os.popen", "os.exec", "eval", "exec", "pty", "pickle"}
    for file in ROOM.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text())):
            names: list[str] = []
            if isinstance(node, ast.Import):
                names = [alias.name for alias in node.names]
            elif isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            elif isinstance(node, ast.Call):
                names = [ast.unparse(node.func)]
            assert not barred & set(names), (file.name, names)


def test_names_are_never_run(made: tuple[App, Desk], folder: Path) -> None:
    name = "$(touch gone).hyc"
    (folder / name).write_text(TEXT)
    assert ask(made, "/ask/look", body={"name": name, "text": TEXT, "tab": "1"}).status_code == 200
    assert sorted(path.name for path in folder.iterdir()) == sorted(
        [name, "away.hyc", "notes.txt", "one.hyc"]
    )
