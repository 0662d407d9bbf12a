"""Head an answer: what it says in one to three lines, and the caution that belongs to it."""

from collections.abc import Iterator

from snath.decisions.machine.condition_words import bladed
from snath.decisions.machine.parts import Machine
from snath.decisions.window.window import Window
from snath.quantities.message import Amount, Message, term

BENCH_CAUTION = Message("terminal.bench-caution")
RUNNING_CAUTION = Message("terminal.running-caution")
RECORDING_CAUTION = Message("terminal.recording-caution")


def bench_caution(machine: Machine) -> Message:
    """What comes before a hand goes near this machine."""
    if machine.engine.electric:
        return Message("terminal.bench-caution-electric")
    return BENCH_CAUTION if bladed(machine) else Message("terminal.bench-caution-load")


def running_caution(machine: Machine) -> Message:
    """What comes before this machine is set while it runs."""
    if machine.engine.electric:
        return Message("terminal.running-caution-electric")
    return RUNNING_CAUTION if bladed(machine) else Message("terminal.running-caution-load")


def turning(speed: float | None) -> Amount | Message:
    """A shaft speed for a sentence, or that it is not known. [rev/s]"""
    return Message("terminal.not-known") if speed is None else Amount(speed, "rotation")


def limit_head(window: Window) -> Message:
    """The ceiling of one blade."""
    return Message("terminal.blade-never-above", speed=turning(window.ceiling))


def window_head(window: Window) -> Iterator[Message]:
    """Between which speeds, and where to set it; or that no speed will do."""
    if window.shut:
        yield Message("terminal.shut")
        yield Message("terminal.needed", speed=turning(window.floor))
        yield Message("terminal.allowed", speed=turning(window.ceiling))
        return
    yield Message("terminal.never-above", speed=turning(window.ceiling))
    if window.uncovered:
        yield Message("terminal.never-above-but", names=", ".join(window.uncovered))
    if window.floor is not None:
        yield Message("terminal.never-below", speed=turning(window.floor))
    if window.target is None:
        yield Message("terminal.not-set", why=term("terminal-setting", window.unset))
    else:
        low, high = turning(window.set_low), turning(window.set_high)
        yield Message("terminal.set-to", speed=turning(window.target), low=low, high=high)


def never_certain(share: float, *, least: float) -> Amount | Message:
    """A share of belief or a chance, for a sentence: never as none or all of it."""
    if share < least:
        return Message("terminal.under-share", share=Amount(least, "share"))
    if share > 1 - least:
        return Message("terminal.over-share", share=Amount(1 - least, "share"))
    return Amount(share, "share")
