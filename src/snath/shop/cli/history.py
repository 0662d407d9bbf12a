"""Say of each reading of a job which setting it belongs to; a withdrawn one is struck through and kept."""

from collections.abc import Iterator, Sequence

import click

from snath.decisions.job.history import Told
from snath.decisions.machine.condition_words import condition_term
from snath.decisions.machine.parts import Machine
from snath.quantities.message import Amount, Message
from snath.shop.cli.answer import said


def history_lines(told: Sequence[Told], machine: Machine) -> Iterator[str]:
    """A line a reading, in the order in which they were taken."""
    for one in told:
        line = said(_line(one, machine))
        if one.reading.turned:
            line += f" {said(Message('terminal.turned', what=one.reading.turned))}"
        gone = one.reading.withdrawn
        if gone is None:
            yield line
        else:  # the stroke is for a screen; where there is none the words say it
            struck = click.style(line, strikethrough=True)
            yield f"{struck} {said(Message('terminal.withdrawn', reason=gone.reason, by=gone.by))}"


def _line(one: Told, machine: Machine) -> Message:
    reading, which = one.reading, _which(one)
    condition = condition_term(machine, reading.condition)
    if reading.value is None:
        return Message("terminal.reading-open", which=which, condition=condition, shaft=reading.shaft)
    speed = Amount(reading.value.value, "rotation")
    return Message("terminal.reading", which=which, speed=speed, condition=condition, shaft=reading.shaft)


def _which(one: Told) -> Message:
    if not one.setting:
        return Message("terminal.setting-none")
    if one.stands:
        return Message("terminal.setting-stands", number=one.setting)
    return Message("terminal.setting-earlier", number=one.setting)
