"""Head a reading: the speed that was read or every speed it could be, and what else has to be known."""

from collections.abc import Iterable, Iterator

from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Candidate
from snath.quantities.message import Amount, Message
from snath.shop.answers.heads import never_certain


def reading_head(reading: Reading) -> Iterator[Message]:
    """The speed that was read and its doubt, or every speed it could be; of a film with what its shutter did then."""
    if reading.value is not None:
        speed = Amount(reading.value.value, "rotation")
        u = Amount(float(f"{reading.value.u:.2g}"), "rotation")
        yield Message("terminal.read-speed", speed=speed, shaft=reading.shaft, u=u)
    else:
        yield Message("terminal.read-undecided")
        yield from (could_be(one, why=reading.method == "light") for one in reading.candidates)


def reading_told(reading: Reading, notes: Iterable[Message | str]) -> Iterator[Message | str]:
    """Why it is decided or not, whether it is an indication only, and what else has to be known."""
    if reading.why:
        yield reading.why
    if not reading.confirmed and reading.decided:
        yield Message("terminal.read-indication")
    yield from (note for note in notes if note and note != reading.why)


def could_be(one: Candidate, *, why: bool) -> Message:
    """A speed that fits, with the share of belief it has."""
    speed, share = Amount(one.rev_s, "rotation"), never_certain(one.weight, least=0.01)
    if why and one.why:
        return Message("terminal.could-be-why", speed=speed, share=share, order=one.order, why=one.why)
    return Message("terminal.could-be", speed=speed, share=share, order=one.order)
