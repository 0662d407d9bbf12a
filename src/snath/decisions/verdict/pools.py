"""Put the readings of one setting into pools: one sample for each shaft, condition and instrument."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from snath.decisions.machine.drivetrain import speed_ratios
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.assumed import Assumed, assumed
from snath.decisions.reading.budget import is_of
from snath.decisions.reading.idle import counts, idle_shown
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.sample import brings_its_own, sample
from snath.decisions.reading.usual import fastest
from snath.quantities.measured import Measured
from snath.quantities.message import Amount, Message


@dataclass(frozen=True, slots=True)
class Tools:
    """What readings were taken with, and by which day and how strictly it is believed.

    Attributes
    ----------
    instruments : tuple of Instrument
    judged_on : str
        ISO date; empty where no check can be overdue.
    strict : bool
        Whether only checked instruments may pass a machine.
    """

    instruments: tuple[Instrument, ...] = ()
    judged_on: str = ""
    strict: bool = False

    def by_id(self, wanted: str) -> Instrument | None:
        """The instrument of that id, None where there is none."""
        return next((one for one in self.instruments if one.id == wanted), None)


@dataclass(frozen=True, slots=True)
class Pool:
    """One sample, and what it may say.

    Attributes
    ----------
    shaft, condition, instrument : str
        Where, while what, with which instrument; a recording goes by its method.
    readings : tuple of Reading
    value, plain : Measured
        As in `Sample`. [rev/s]
    off : float
        Half width of what is only bounded, taken whole to either side. [rev/s]
    swing : float
        What the speed goes above the reading: half the swing of a hunting engine, or of a lively one. [rev/s]
    steady : bool
        False where the speed moved within the recordings: then it neither clears nor condemns.
    blocks, assumed : tuple of Message
        Why nothing it says is a pass; what was assumed of its instrument.
    met_again : float
        As in `Sample`.
    indication : bool
        Whether nothing stands behind what was read: a sound never compared in this shop.
    """

    shaft: str
    condition: Condition
    instrument: str
    readings: tuple[Reading, ...]
    value: Measured
    plain: Measured
    off: float
    swing: float
    steady: bool
    blocks: tuple[Message, ...]
    assumed: tuple[Message, ...]
    indication: bool
    met_again: float = 1.0


def pools(
    machine: Machine,
    readings: Sequence[Reading],
    tools: Tools,
    *,
    swing: float = 0.0,
    looked: bool = False,
) -> tuple[Pool, ...]:
    """The pools of one setting, in the order of their first readings; what cannot tell is in none.

    `swing` is what a track of the governor shows the speed to go above its mean [rev/s]; `looked` says that others
    were looked at before.
    """
    groups: dict[tuple[object, ...], list[Reading]] = {}
    idles = [one for one in readings if one.condition == "idle"]
    for reading in readings:
        if reading.value is not None and reading.condition != "idle":
            groups.setdefault(_key(reading), []).append(reading)
    found: list[Pool] = []
    for group in groups.values():
        first = not (looked or any(map(_looked, found)))
        found.append(_pool(machine, group, tools, swing, idle_shown(group[0], idles), first=first))
    return tuple(found)


def _looked(pool: Pool) -> bool:
    """Whether somebody could have stopped at it."""
    return not pool.blocks and pool.condition != "cutting"


def _key(reading: Reading) -> tuple[object, ...]:
    by = reading.instrument or reading.method
    return reading.shaft, reading.condition, by, _indication(reading), reading.unsteady


def _pool(
    machine: Machine, group: list[Reading], tools: Tools, swing: float, idle: float | None, *, first: bool
) -> Pool:
    one, found = group[0], sample(group, first=first)
    taken = _assumed(group, tools, found.value.value)
    value, plain, off = found.value, found.plain, found.off
    if taken is not None:
        off = max(off, taken.half_width)
        value, plain = (_without_its_own(part, one.instrument) for part in (value, plain))
    blocks = list(_blocks(machine, group, taken, found.value.value, idle))
    if found.apart:
        blocks.append(Message("verdict.apart", shaft=one.shaft))
    if taken is not None and tools.strict:
        blocks.append(Message("verdict.strict"))
    return Pool(
        shaft=one.shaft,
        condition=one.condition,
        instrument=one.instrument or one.method,
        readings=tuple(group),
        value=value,
        plain=plain,
        off=off,
        swing=max(swing, *(reading.hunting or 0.0 for reading in group)),
        steady=not one.unsteady,
        blocks=tuple(blocks),
        assumed=(taken.why,) if taken else (),
        indication=_indication(one),
        met_again=found.met_again,
    )


def _assumed(group: list[Reading], tools: Tools, speed: float) -> Assumed | None:
    """What is taken for the instrument; nothing where a reader's own doubt, or a recording's, stands for it."""
    instrument = tools.by_id(group[0].instrument)
    if instrument is None and all(map(brings_its_own, group)):
        return None
    found = assumed(instrument, speed=speed, on=tools.judged_on)
    stated = all(map(brings_its_own, group))
    late = instrument is not None and found is not None and found.why.code == "verdict.assumed-late"
    return found if not stated or late else None


def _without_its_own(value: Measured, instrument: str) -> Measured:
    """Without what plate and check say: the bound that was assumed in their place holds both."""
    return replace(value, lines=tuple(one for one in value.lines if not is_of(one, instrument)))


def _blocks(
    machine: Machine, group: list[Reading], taken: Assumed | None, speed: float, idle: float | None
) -> Iterator[Message]:
    """What keeps these readings from being a pass, whatever their figure; `idle` is what was shown of that. [rev/s]"""
    first = group[0]
    if _indication(first):
        yield Message("verdict.indication", why=first.why)
    if first.unsteady:
        assert first.lowest is not None
        assert first.highest is not None
        low, high = Amount(first.lowest, "rotation"), Amount(first.highest, "rotation")
        yield Message("verdict.moved", low=low, high=high)
    counted = counts(machine, idle)
    if counted == "wrong":
        assert idle is not None
        assert machine.engine.idle is not None
        stated = Amount(machine.engine.idle, "rotation")
        yield Message("verdict.found-out", shown=Amount(idle, "rotation"), idle=stated)
        return
    if taken is None or not taken.multiple or (counted == "right" and taken.idle_tells):
        return
    if _may_be_double(machine, first.shaft, speed):
        yield Message("verdict.may-be-double", shown=Amount(speed, "rotation"))
        if taken.idle_tells and machine.engine.idle is not None:
            yield Message("verdict.idle-would-tell")


def _may_be_double(machine: Machine, shaft: str, speed: float) -> bool:
    """Whether the crankshaft could run at twice what was shown without being far past its engine's top."""
    slowest = min(one.value.value for one in speed_ratios(machine, of=CRANKSHAFT, per=shaft))
    return 2 * speed * slowest <= fastest(machine.engine)


def _indication(reading: Reading) -> bool:
    """Whether it is a recording, or a figure, that nothing stands behind: a sound never compared in this shop.

    How few speeds were read off a display, and how well that display is known, is in their doubt instead.
    """
    return not reading.confirmed and not reading.repeats
