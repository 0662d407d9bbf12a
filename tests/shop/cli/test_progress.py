"""How far long work is: on a terminal's standard error, and nowhere else."""

import io
import sys

import pytest

from snath.shop.cli.progress import telling


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("stream", "shown"), [(Terminal(), True), (io.StringIO(), False)])
def test_only_a_terminal_is_told_and_its_line_is_taken_away(monkeypatch, stream, shown):
    monkeypatch.setattr(sys, "stderr", stream)
    with telling("recordings") as tell:
        tell(1, 2)
        tell(2, 2)
    said = stream.getvalue()
    assert ("2 / 2 recordings" in said) == shown
    assert said.endswith("\r\x1b[K") == shown
    assert "\n" not in said


def test_where_nobody_knows_how_much_there_is_only_what_is_done_is_told(monkeypatch):
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with telling("s") as tell:
        tell(3, 0)
    assert "\r3 s" in stream.getvalue()
