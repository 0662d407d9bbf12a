"""Say of each reading of a job which setting it belongs to; a withdrawn one is struck through and kept."""

from collections.abc import Iterator, Sequence
from typing import Any

import click

from snath.decisions.job.history import Told
from snath.decisions.machine.condition_words import bladed, condition_term, condition_word
from snath.decisions.machine.parts import Machine
from snath.quantities.message import Amount, Message
from snath.shop.cli.answer import said
from snath.shop.cli.common import tenth_rpm


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


def history_data(told: Sequence[Told], machine: Machine) -> list[dict[str, Any]]:
    """The same as JSON: where and how each was read, its setting, and why it does not count."""
    return [_data(one, machine) for one in told]


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


def _data(one: Told, machine: Machine) -> dict[str, Any]:
    reading, gone = one.reading, one.reading.withdrawn
    return {
        "rpm": None if reading.value is None else tenth_rpm(reading.value.value),
        "shaft": reading.shaft,
        "condition": condition_word(reading.condition, blades=bladed(machine)),
        "instrument": reading.instrument or None,
        "at": reading.at or None,
        "setting": one.setting or None,
        "stands": one.stands,
        "turned": reading.turned or None,
        "withdrawn": None if gone is None else {"reason": gone.reason, "by": gone.by, "at": gone.at or None},
        "verdict": one.verdict.word,
    }
