"""A line on which nobody takes any of an answer is given up by the system, so that it holds no place."""

import asyncio
import socket

import pytest

from snath.shop.site.unread import UNREAD, give_up_who_reads_nothing


@pytest.mark.skipif(not hasattr(socket, "TCP_USER_TIMEOUT"), reason="no such limit on this system")
def test_a_line_taken_where_this_process_listens_has_a_limit_for_what_nobody_reads():
    assert UNREAD <= 60_000
    loop = asyncio.new_event_loop()
    with socket.create_server(("127.0.0.1", 0)) as server:
        give_up_who_reads_nothing(loop)
        with socket.create_connection(server.getsockname()):
            taken, _ = server.accept()
            with taken:
                # What a socket listens with is what those taken there begin with (tcp(7)).
                assert taken.getsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT) == UNREAD
        assert server.fileno() >= 0  # looked at under another number and left open
    loop.close()


def test_a_process_that_does_not_listen_yet_is_looked_at_again(monkeypatch):
    monkeypatch.setattr("snath.shop.site.unread.listening", lambda: iter(()))
    loop, later = asyncio.new_event_loop(), []
    loop.call_later = lambda *told: later.append(told)  # type: ignore[method-assign]
    give_up_who_reads_nothing(loop, tries=1)
    assert len(later) == 1
    _, again, *told = later[0]
    again(*told)
    assert len(later) == 1  # and not for ever
    loop.close()
