"""Make a reading from a stroboscope's successive single images, or say "mark one tip first"."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from statistics import fmean, stdev

from snath.decisions.machine.parts import CRANKSHAFT, Condition
from snath.decisions.reading.budget import taken
from snath.decisions.reading.instruments import Instrument, accuracy_known
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.typed import REPEATS_WANTED
from snath.formulas.signals.candidates import Candidate
from snath.formulas.signals.strobe import error_gain, speed_from_images
from snath.quantities.errors import InputError
from snath.quantities.measured import Line, Measured, scaled
from snath.quantities.message import Message, Value

SPREAD_MOST = 0.05  # runs further apart than this skipped an image somewhere
SINGLE_TRIED = 5  # whole multiples a lone flash rate is taken for


def flashed_reading(
    runs: Sequence[Sequence[float]],
    *,
    instrument: Instrument | None = None,
    alike: int = 1,
    shaft: str = CRANKSHAFT,
    condition: Condition = "blades in air",
    at: str = "",
) -> Reading:
    """A reading from flash rates that each showed one still image.

    Parameters
    ----------
    runs : sequence of sequences of float
        Each run from its highest rate down, no single image left out between. A run of one rate leaves its
        multiples open. [1/s]
    instrument : Instrument or None
        The stroboscope. Its accuracy is taken as independent from rate to rate, so that the error gain of
        the difference applies to it.
    alike : int
        Features of the part that look alike: 1 with one tip marked, 2 for an unmarked two-tip blade.
    shaft, condition, at
        As in `typed_reading`.

    Raises
    ------
    InputError
        If a run is empty, does not fall, or the runs do not give one speed.
    """
    if not runs or not all(runs):
        raise InputError("flash rates", "nothing", Message("reading.type-a-run"))
    blank = Reading(
        shaft=shaft,
        condition=condition,
        method="stroboscope",
        at=at,
        instrument=instrument.id if instrument else "",
    )
    if any(len(run) == 1 for run in runs):
        return _one_rate(blank, runs[0][0])
    speeds = [speed_from_images(first=run[0], last=run[-1], count=len(run)) for run in runs]
    if max(speeds) - min(speeds) > SPREAD_MOST * min(speeds):
        shown = ", ".join(f"{speed * 60:.0f}" for speed in speeds)
        raise InputError("flash rates", f"{shown} rpm", Message("reading.runs-apart"))
    value = _budget(runs, speeds, instrument, taken(shaft, condition, at))
    if alike > 1:
        return _unmarked(blank, value, alike)
    confirmed = len(runs) >= REPEATS_WANTED and accuracy_known(instrument)
    return replace(
        blank,
        value=value,
        decided=True,
        repeats=tuple(speeds),
        confirmed=confirmed,
        why="" if confirmed else Message("reading.few-runs"),
    )


def _budget(
    runs: Sequence[Sequence[float]],
    speeds: list[float],
    instrument: Instrument | None,
    own: Mapping[str, Value],
) -> Measured:
    mean = fmean(speeds)
    lines = []
    if len(speeds) > 1 and (scatter := stdev(speeds) / math.sqrt(len(speeds))) > 0:
        source = Message("budget.runs", count=len(speeds), **own)
        lines.append(Line(source, scatter, len(speeds) - 1))
    if instrument is not None:
        gain = max(error_gain(first=run[0], last=run[-1], count=len(run)) for run in runs)
        rate = runs[0][-1]
        share = instrument.accuracy + (instrument.digits + instrument.resolution / 2) / rate
        if share > 0:
            u = mean * gain * share / math.sqrt(3)
            source = Message("budget.flash-accuracy", instrument=instrument.id, gain=float(gain))
            lines.append(Line(source, u, None, "rectangular"))
    return Measured(mean, tuple(lines))


def _one_rate(blank: Reading, rate: float) -> Reading:
    candidates = tuple(
        Candidate(
            rate * k,
            0.0,
            1 / SINGLE_TRIED,
            Message("reading.turns-a-flash", count=k),
            Message("reading.whole-fractions"),
        )
        for k in range(1, SINGLE_TRIED + 1)
    )
    return replace(
        blank,
        candidates=candidates,
        confirmed=False,
        why=Message("reading.one-rate"),
        next_steps=(Message("reading.next-image"),),
    )


def _unmarked(blank: Reading, value: Measured, alike: int) -> Reading:
    """A part whose features look alike may have shown each of them: the rate can be a multiple of the speed."""
    parts = [k for k in range(1, alike + 1) if alike % k == 0]
    candidates = tuple(
        Candidate(
            scaled(value, 1 / k).value,
            scaled(value, 1 / k).u,
            1 / len(parts),
            Message("reading.features-a-turn", count=k),
            Message("reading.taken-for-one", alike=alike, count=k),
        )
        for k in parts
    )
    return replace(
        blank,
        candidates=candidates,
        confirmed=False,
        why=Message("reading.look-alike", alike=alike),
        next_steps=(Message("reading.mark-one"),),
    )
