"""A body is put aside whole before a page is asked: by whom, how large, and how slowly it may come."""

import asyncio
from collections.abc import AsyncIterator
from dataclasses import replace
from pathlib import Path
from socket import create_connection, socket

import pytest
from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore

from snath.shop.records.attachments import LARGEST_RECORDING
from snath.shop.site.access import is_known
from snath.shop.site.bodies import ALL_STRANGERS, KNOWN, STRANGER, Bodies, RefusedBodyError, spooled
from tests.loops import ran
from tests.shop.site.test_serve import Serving, free_port, status

QUICK = replace(STRANGER, most=1000, grace=0.05, deadline=0.2)


async def arriving(*pieces: bytes, pause: float = 0.0) -> AsyncIterator[bytes]:
    for piece in pieces:
        await asyncio.sleep(pause)
        yield piece


def taken(pieces: AsyncIterator[bytes], *, stated: int = 1000) -> bytes:
    async def work() -> bytes:
        with await spooled(pieces, QUICK, stated=stated) as file:
            return file.read()

    return ran(work())


def refused(pieces: AsyncIterator[bytes], **how: int) -> int:
    with pytest.raises(RefusedBodyError) as refusal:
        taken(pieces, **how)
    assert "othing was changed" in refusal.value.said
    return refusal.value.status


def test_a_body_comes_back_whole_and_at_its_beginning():
    assert taken(arriving(b"ab", b"", b"c" * 998)) == b"ab" + b"c" * 998


def test_a_body_over_the_size_is_refused_by_what_it_states_and_by_what_comes():
    assert refused(arriving(b"x"), stated=1001) == 413
    assert refused(arriving(b"x" * 600, b"x" * 401), stated=1000) == 400
    assert taken(arriving(b"x" * 1000), stated=1000) == b"x" * 1000


def test_half_a_body_is_never_taken_for_a_whole_one():
    assert refused(arriving(b"x" * 999), stated=1000) == 400
    assert refused(arriving(), stated=1) == 400


def test_a_body_that_comes_by_the_byte_is_given_up():
    # 2,000 bytes/s after 0.05 s are asked for, one byte in 0.04 s is 25.
    assert refused(arriving(*[b"x"] * 500, pause=0.04)) == 408


def test_a_full_disk_is_told(monkeypatch):
    class Full:
        def __init__(self, **_: object) -> None: ...
        def write(self, _: bytes) -> None:
            raise OSError(28, "No space left on device")

        def close(self) -> None: ...

    monkeypatch.setattr("snath.shop.site.bodies.tempfile.SpooledTemporaryFile", Full)
    assert refused(arriving(b"x"), stated=1) == 507


def test_one_address_and_all_strangers_together_have_only_so_many_places():
    bodies = Bodies()
    with bodies.place("a", STRANGER):
        held = [bodies.place("a", STRANGER) for _ in range(STRANGER.at_once - 1)]
        for one in held:
            one.__enter__()
        with pytest.raises(RefusedBodyError) as full, bodies.place("a", STRANGER):
            pass
        assert full.value.status == 503
        with bodies.place("a", KNOWN), bodies.place("b", STRANGER):
            pass  # somebody logged in, and another machine, are not kept out
        for one in held:
            one.__exit__(None, None, None)
    many = [bodies.place(str(n), STRANGER) for n in range(ALL_STRANGERS)]
    for one in many:
        one.__enter__()
    with pytest.raises(RefusedBodyError), bodies.place("new", STRANGER):
        pass
    with bodies.place("new", KNOWN):
        pass


def test_the_largest_recording_fits_into_the_largest_body():
    assert LARGEST_RECORDING < KNOWN.most < 1.1 * LARGEST_RECORDING
    assert STRANGER.most <= 1_000_000


@pytest.mark.django_db
def test_a_session_must_be_there_and_its_person_let_in_for_a_large_body(mechanic, settings):
    def known(cookie: str) -> bool:
        return is_known({"REQUEST_METHOD": "POST", "REMOTE_ADDR": "192.168.1.7", "HTTP_COOKIE": cookie})

    settings.LAN = True
    cookie = f"{settings.SESSION_COOKIE_NAME}={mechanic.cookies[settings.SESSION_COOKIE_NAME].value}"
    assert known(cookie)
    assert not known("")
    assert not known(f"{settings.SESSION_COOKIE_NAME}=madeup" + "x" * 20)
    empty = SessionStore()
    empty.create()  # a session nobody logged in to
    assert not known(f"{settings.SESSION_COOKIE_NAME}={empty.session_key}")
    person = mechanic.person if hasattr(mechanic, "person") else None
    stored = SessionStore(mechanic.cookies[settings.SESSION_COOKIE_NAME].value)
    from snath.shop.records.models import Person

    who = person or Person.objects.get(pk=stored[SESSION_KEY])
    who.is_active = False
    who.save()
    assert not known(cookie)
    settings.LAN = False
    assert not known(cookie)  # without --lan only this machine is somebody


def half_a_body(port: int) -> socket:
    line = create_connection(("127.0.0.1", port), timeout=60)
    head = f"POST /login/ HTTP/1.1\r\nHost: localhost:{port}\r\nContent-Length: 900\r\n\r\nx"
    line.sendall(head.encode())
    return line


@pytest.mark.slow
def test_bodies_that_do_not_end_keep_no_page_from_being_answered(tmp_path: Path):
    port = free_port()
    with Serving("--port", port, "--data", tmp_path / "shop") as served:
        served.wait_until_it_listens(port)
        lines = [half_a_body(port) for _ in range(12)]  # three times the threads that pages have
        assert status(port, "/today/") == 200
        assert status(port, "/nowhere/") == 404
        lines.append(half_a_body(port))
        lines[-1].sendall(b"x" * 899)  # one that ends after all is answered: it has no token
        assert b"403" in lines[-1].recv(100)
        for line in lines:
            line.close()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("head", "wanted"),
    [
        ("Content-Length: 420000001\r\n", b"413"),
        ("Content-Length: 1e9\r\n", b"400"),
        ("Transfer-Encoding: chunked\r\n", b"411"),  # RFC 9110 section 15.5.12
    ],
)
def test_a_length_that_will_not_do_is_refused_before_a_byte_of_the_body_came(tmp_path: Path, head, wanted):
    port = free_port()
    with Serving("--port", port, "--data", tmp_path / "shop") as served:
        served.wait_until_it_listens(port)
        with create_connection(("127.0.0.1", port), timeout=60) as line:
            line.sendall(f"POST /login/ HTTP/1.1\r\nHost: localhost:{port}\r\n{head}\r\n".encode())
            assert wanted in line.recv(100)
