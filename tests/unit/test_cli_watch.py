"""`platemaker watch`: what the server on the loopback address answers and refuses, and what a saved change does."""

from __future__ import annotations

import http.client
import json
import socket
import struct
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

from platemaker.cli import _builder as builder
from platemaker.cli._board import Board, BoardState
from platemaker.cli._builder import Answer
from platemaker.cli._serve import ADDRESS, WatchServer, serving
from platemaker.cli._watching import build_once, keep_building, stamps_of
from platemaker.export import Store
from tests.cli_runner import run
from tests.unit.test_cli_build import GOOD

PATIENCE = 60.0
"""Seconds after which something that should come has not come; the machine may be busy."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An export folder with a secret beside it, and a link to it inside."""
    exports = tmp_path / "exports" / "cover"
    exports.mkdir(parents=True)
    (tmp_path / "exports" / "secret.txt").write_text("secret", encoding="utf-8")
    (exports / "report.html").write_text("<!DOCTYPE html><title>r</title>", encoding="utf-8")
    (exports / "lid.step").write_text("ISO-10303-21;", encoding="utf-8")
    (exports / "below").mkdir()
    (exports / "below" / "deep.txt").write_text("secret", encoding="utf-8")
    (exports / "link.txt").symlink_to(tmp_path / "exports" / "secret.txt")
    return exports


@pytest.fixture
def server(folder: Path) -> Iterator[WatchServer]:
    board = Board("cover")
    board.built(folder)
    with serving(board, 0) as running:
        yield running


def ask(
    server: WatchServer, path: str, method: str = "GET", host: str | None = None
) -> tuple[int, dict[str, str], bytes]:
    connection = http.client.HTTPConnection(ADDRESS, server.server_port, timeout=PATIENCE)
    connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
    connection.putheader("Host", host or f"{ADDRESS}:{server.server_port}")
    connection.endheaders()
    answer = connection.getresponse()
    content = answer.read()
    connection.close()
    return answer.status, {name.lower(): value for name, value in answer.getheaders()}, content


def raw(server: WatchServer, request: str) -> str:
    with socket.create_connection((ADDRESS, server.server_port), timeout=PATIENCE) as line:
        line.sendall(request.encode("latin-1"))
        return line.makefile("rb").read().decode("latin-1")


def test_it_listens_on_the_loopback_address_alone(server: WatchServer) -> None:
    assert server.server_address[0] == "127.0.0.1"


def test_files_of_the_folder_are_served(server: WatchServer) -> None:
    status, headers, content = ask(server, "/files/report.html?7")
    assert (status, content) == (200, b"<!DOCTYPE html><title>r</title>")
    assert headers["content-type"] == "text/html; charset=utf-8"
    assert headers["content-security-policy"] == "frame-ancestors 'self'"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cache-control"] == "no-store"
    status, headers, content = ask(server, "/files/lid.step", "HEAD")
    assert (status, headers["content-length"], content) == (200, "13", b"")
    assert headers["content-type"] == "application/octet-stream"


@pytest.mark.parametrize(
    "path",
    [
        "/files/../secret.txt",
        "/files/..%2fsecret.txt",
        "/files/%2e%2e/secret.txt",
        "/files/%252e%252e%252fsecret.txt",
        "/files/..\\secret.txt",
        "/files//etc/passwd",
        "/files/%2fetc%2fpasswd",
        "/../exports/secret.txt",
        "/files/below/deep.txt",
        "/files/below%2fdeep.txt",
        "/files/below",
        "/files/link.txt",
        "/files/.",
        "/files/",
        "/files",
        "/files/lid.step%00.html",
        "/files/LID.STEP",
        "/lid.step",
        "/preview.html",
        "http://127.0.0.1/files/..%2fsecret.txt",
    ],
)
def test_nothing_else_is_served(server: WatchServer, path: str) -> None:
    status, _, content = ask(server, path)
    assert (status, content) == (404, b"no such file in the export folder\n")


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "localhost", "127.0.0.1.evil.example", "[::1]", "0.0.0.0", " "]
)
@pytest.mark.parametrize("path", ["/", "/events", "/files/report.html"])
def test_a_foreign_host_is_refused(server: WatchServer, host: str, path: str) -> None:
    status, headers, content = ask(server, path, host=host)
    assert (status, content) == (403, b"this server answers to its loopback address alone\n")
    assert headers["content-security-policy"] == "default-src 'none'"


def test_a_host_with_a_foreign_port_or_told_twice_or_not_at_all_is_refused(server: WatchServer) -> None:
    good = f"Host: {ADDRESS}:{server.server_port}\r\n"
    assert " 200 " in raw(server, f"GET /files/lid.step HTTP/1.0\r\n{good}\r\n").splitlines()[0]
    for hosts in ("", good * 2, good + "Host: evil.example\r\n", f"Host: evil.example:{server.server_port}\r\n"):
        assert " 403 " in raw(server, f"GET /files/lid.step HTTP/1.0\r\n{hosts}\r\n").splitlines()[0]


def test_localhost_is_this_machine_too(server: WatchServer) -> None:
    assert ask(server, "/", host=f"localhost:{server.server_port}")[0] == 200


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"])
def test_methods_that_change_something_are_refused(server: WatchServer, method: str) -> None:
    status, headers, content = ask(server, "/files/report.html", method)
    assert (status, headers["allow"], content) == (405, "GET, HEAD", b"only GET and HEAD are answered\n")


def test_an_unknown_method_is_refused(server: WatchServer) -> None:
    assert ask(server, "/files/report.html", "BREW")[0] == 501


def test_the_frame_page_loads_nothing_from_elsewhere(server: WatchServer) -> None:
    status, headers, content = ask(server, "/")
    assert status == 200
    policy = headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; script-src 'self'; ")
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    text = content.decode()
    assert "<script>" not in text
    assert "style=" not in text
    for path in ("/watch.css", "/watch.js"):
        assert path in text
        assert ask(server, path)[0] == 200
    assert "innerHTML" not in ask(server, "/watch.js")[2].decode(), "what a spec says stays text"


class Listener:
    """Reads the events of a server, as a page does."""

    def __init__(self, server: WatchServer) -> None:
        self.connection = http.client.HTTPConnection(ADDRESS, server.server_port, timeout=PATIENCE)
        self.connection.request("GET", "/events")
        self.answer = self.connection.getresponse()
        assert self.answer.headers["Content-Type"] == "text/event-stream; charset=utf-8"

    def next(self) -> dict[str, Any]:
        end = time.monotonic() + PATIENCE
        while line := self.answer.readline():
            if line.startswith(b"data: "):
                return dict(json.loads(line.removeprefix(b"data: ")))
            assert time.monotonic() < end, "nothing new came"
        pytest.fail("the server has ended")

    def until(self, wanted: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if wanted(shown := self.next()):
                return shown
        pytest.fail("what was awaited did not come")


def test_a_listener_hears_the_state_and_every_change(server: WatchServer) -> None:
    listener = Listener(server)
    first = listener.next()
    assert (first["name"], first["busy"], first["faults"]) == ("cover", False, [])
    server.board.building()
    assert listener.next()["busy"] is True
    server.board.wrong(("project.yaml:3: <b>no</b>",))
    stated = listener.next()
    assert stated["faults"] == ["project.yaml:3: <b>no</b>"]
    assert stated["page"] == first["page"], "the last good page stays"
    server.board.preview("<!DOCTYPE html>early")
    stated = listener.next()
    assert stated["faults"] == []
    assert ask(server, str(stated["page"]))[2] == b"<!DOCTYPE html>early"


def test_a_server_that_ends_lets_its_listeners_go(folder: Path) -> None:
    board = Board("cover")
    with serving(board, 0) as running:
        listener = Listener(running)
        listener.next()
    assert listener.answer.read().strip() == b""


def test_a_port_that_is_taken_is_told(server: WatchServer, tmp_path: Path) -> None:
    answer = run("watch", tmp_path, "--port", server.server_port)
    assert answer.code == 2
    assert answer.err == (
        f"port {server.server_port} of 127.0.0.1 cannot be opened: Address already in use; "
        "allowed: another --port, or 0 for any that is free\n"
    )


def test_stamps_see_what_is_saved_added_and_taken_away(tmp_path: Path) -> None:
    assert stamps_of(tmp_path / "missing") == {}
    spec, other = tmp_path / "project.yaml", tmp_path / "notes.txt"
    spec.write_text("a", encoding="utf-8")
    before = stamps_of(tmp_path)
    other.write_text("not a spec", encoding="utf-8")
    assert stamps_of(tmp_path) == before
    spec.write_text("ab", encoding="utf-8")
    after = stamps_of(tmp_path)
    assert after != before
    (tmp_path / "more.yaml").write_text("", encoding="utf-8")
    assert stamps_of(tmp_path) != after


@pytest.mark.kernel
def test_a_saved_change_is_shown_and_a_fault_is_told(tmp_path: Path) -> None:
    """A good spec, then a misspelled key, then a good one again: the page in between stays the last good one."""
    spec = tmp_path / "cover" / "project.yaml"
    spec.parent.mkdir()
    spec.write_text(GOOD, encoding="utf-8")
    board, ended, said = Board("cover"), threading.Event(), list[str]()
    store = Store(tmp_path / "store")
    arguments = (spec.parent, tmp_path / "exports", board, store, said.append, ended.is_set)
    builder = threading.Thread(target=keep_building, args=arguments)
    with serving(board, 0) as running:
        builder.start()
        try:
            listener = Listener(running)
            early = listener.until(lambda shown: str(shown["page"]).startswith("/preview.html"))
            assert b"check report" in ask(running, str(early["page"]))[2]
            good = listener.until(lambda shown: str(shown["page"]).startswith("/files/report.html"))
            assert ask(running, str(good["page"]))[2] == (tmp_path / "exports/cover/report.html").read_bytes()
            spec.write_text(GOOD.replace("thickness: 12", "thicknes: 12"), encoding="utf-8")
            wrong = listener.until(lambda shown: bool(shown["faults"]))
            assert wrong["page"] == good["page"]
            assert str(wrong["faults"][0]).startswith("project.yaml:9: parts.lid.thicknes: unknown key; allowed: ")
            assert said[-1].startswith("project.yaml:9: ")
            spec.write_text(GOOD.replace("thickness: 12", "thickness: 14"), encoding="utf-8")
            fixed = listener.until(lambda shown: shown["page"] != good["page"] and not shown["busy"])
            assert fixed["faults"] == []
            assert b"14.000 mm" in ask(running, str(fixed["page"]))[2]
        finally:
            ended.set()
            builder.join(PATIENCE)
    assert not builder.is_alive()


def shown_of(answers: Iterable[Answer]) -> tuple[BoardState, list[str]]:
    """What the board shows after a build with these answers, and what was said."""
    board, said = Board("cover"), list[str]()
    build_once(answers, board, said.append)
    shown = board.after(-1, 0.0)
    assert shown is not None
    return shown, said


def test_a_fault_of_the_programs_own_is_told_and_ends_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(folder: Path) -> None:
        raise RuntimeError(f"no {folder.name}")

    monkeypatch.setattr(builder, "load", broken)
    shown, said = shown_of(builder.answers_of(tmp_path / "cover", tmp_path / "exports", Store(tmp_path / "store")))
    assert not shown.busy
    assert list(shown.faults) == said
    assert "RuntimeError: no cover" in said[0]


def test_a_crash_of_the_process_that_builds_is_told_and_the_next_build_has_a_new_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "cover").mkdir()
    with builder.Builder(tmp_path / "exports", Store(tmp_path / "store")) as process:
        monkeypatch.setattr(process, "_command", [sys.executable, "-c", "import os; input(); os.kill(os.getpid(), 11)"])
        shown, [said] = shown_of(process.answers(tmp_path / "cover"))
        assert said == "the process that builds ended (SIGSEGV); the solid kernel may have crashed on this geometry"
        assert (shown.busy, shown.faults) == (False, (said,))
        good = json.dumps(["wrong", ["no spec"]])
        monkeypatch.setattr(process, "_command", [sys.executable, "-c", f"input(); print({good!r}); input()"])
        assert shown_of(process.answers(tmp_path / "cover"))[1] == ["no spec"]


def test_a_process_that_ended_between_two_builds_is_started_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One that ends by itself, and one that does not read what it is asked: the watcher ended with them, in silence."""
    (tmp_path / "cover").mkdir()
    good = json.dumps(["wrong", ["no spec"]])
    with builder.Builder(tmp_path / "exports", Store(tmp_path / "store")) as process:
        monkeypatch.setattr(process, "_command", [sys.executable, "-c", f"input(); print({good!r})"])
        for _ in range(2):
            assert shown_of(process.answers(tmp_path / "cover"))[1] == ["no spec"]
            assert process._child is not None
            process._child.wait(60)
    with builder.Builder(tmp_path / "exports", Store(tmp_path / "store")) as process:
        deaf = "import os, time; os.close(0); print(flush=True); time.sleep(600)"
        monkeypatch.setattr(process, "_command", [sys.executable, "-c", deaf])
        child = process._child = process._started()
        assert child.stdout is not None
        assert child.stdout.readline() == "\n", "it does not read any more"
        [said] = shown_of(process.answers(tmp_path / "cover"))[1]
        assert said.startswith("the process that builds ended (SIGKILL)")


@pytest.mark.parametrize(
    "line",
    [
        b"",
        b"GET",
        b"GET /",
        b"GET //[ HTTP/1.1",
        b"GET / HTTP/9.9",
        b"\x00\xff\xfe",
        b"GET " + b"a" * 70_000,
        b"GET / HTTP/1",
    ],
)
def test_nonsense_and_clients_that_vanish_leave_no_trace(
    server: WatchServer, line: bytes, capfd: pytest.CaptureFixture[str]
) -> None:
    host = f"Host: {ADDRESS}:{server.server_port}".encode()
    for request in (line, line + b"\r\n", line + b"\r\n" + host + b"\r\n\r\n"):
        with socket.create_connection((ADDRESS, server.server_port), timeout=PATIENCE) as client:
            client.sendall(request)
            client.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))  # reset, not closed
    assert ask(server, "/")[0] == 200
    assert capfd.readouterr().err == ""


def test_connections_are_bounded(server: WatchServer) -> None:
    open_ones = [socket.create_connection((ADDRESS, server.server_port), timeout=PATIENCE) for _ in range(80)]
    turned_away = 0
    for one in open_ones[-8:]:
        one.settimeout(PATIENCE)
        turned_away += one.recv(1) == b""
    assert turned_away == 8
    for one in open_ones:
        one.close()
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        with suppress(OSError, http.client.HTTPException):
            assert ask(server, "/")[0] == 200
            return
        time.sleep(0.05)
    pytest.fail("it answers no more")
