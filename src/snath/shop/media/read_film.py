"""From a film of a marked part to one reading."""

from dataclasses import replace

from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.reading.from_sound import orders_from_machine
from snath.decisions.reading.light_reading import (
    across_capture_rates,
    across_marks,
    reading_from_light,
)
from snath.decisions.reading.steady_states import split_steady_states
from snath.formulas.signals.film.frame_times import capture_rate_from_clock, capture_times, frame_rate
from snath.formulas.signals.film.read import speed_from_light
from snath.formulas.signals.film.result import LightResult
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.media.decoder import Source, name_of
from snath.shop.media.film import Film, film
from snath.shop.media.request import Progress, ReadRequest, ReadResult
from snath.shop.media.stretch import FILM, between

SLOWEST_PART, FASTEST_PART = 5.0, 250.0  # rev/s of a filmed part that hangs on the crankshaft somehow
USUAL_MARKS = (1, 2)  # a dot, or the two tips of a blade; common practice, no source
PLAYED = 61.0  # frames/s that slow motion is played at, at most; common practice, no source
RESTAMPED = 0.05  # share by which a film's rate must differ from its stamps to count as slow motion
WORTH_FUSING = 0.7  # share of its flicker a film must explain to have a say beside its sound


def whole_film(source: Source, progress: Progress | None = None) -> Film:
    """The pictures of a film, of which there must be three."""
    filmed = film(source, progress)
    if len(filmed.t_s) < 3:
        raise InputError("recording", name_of(source), Message("media.three-pictures"))
    return filmed


def read_film(filmed: Film, asked: ReadRequest, evidence: str) -> ReadResult:
    """What its pictures say, with the marks and at the capture rate that are known or with each that may be."""
    if asked.marks is not None:
        result = _with_marks(filmed, asked, asked.marks)
        seen = result.marks_seen
        if seen is not None and seen != asked.marks:
            both = ((asked.marks, result), (seen, _with_marks(filmed, asked, seen)))
            result = across_marks(both, note=Message("film.miscounted", seen=seen, told=asked.marks))
    else:
        result = across_marks(tuple((count, _with_marks(filmed, asked, count)) for count in USUAL_MARKS))
    reading = reading_from_light(
        result,
        shaft=asked.shaft,
        condition=asked.condition,
        evidence=evidence,
        told_rate=None if _written(filmed, asked.capture_rate) else asked.capture_rate,
    )
    notes = (Message("media.damaged-pictures", count=filmed.faults),) if filmed.faults else ()
    track = None if result.track is None else replace(result.track, shaft=asked.shaft)
    if track is not None and result.explained >= WORTH_FUSING:
        reading = split_steady_states(reading, track)
    return ReadResult(reading, "light", result.duration, result, track, (*result.notes, *notes), asked.from_s)


def _with_marks(filmed: Film, asked: ReadRequest, marks: int) -> LightResult:
    stamped = frame_rate(filmed.t_s)
    results = tuple(
        (rate, _seen_at(filmed, stamped, rate, asked, marks))
        for rate in _capture_rates(filmed, stamped, asked)
    )
    if len(results) > 1:
        return across_capture_rates(results)
    (rate, result), slow = results[0], asked.capture_rate or asked.clock_in_view
    if result.decided or not result.even or slow or filmed.capture_rate or rate > PLAYED:
        return result
    return replace(result, asks=("capture-rate", *result.asks))


def _written(filmed: Film, rate: float | None) -> bool:
    """Whether the phone wrote down that it filmed at that rate."""
    return bool(rate and filmed.capture_rate and abs(filmed.capture_rate / rate - 1) < RESTAMPED)


def _capture_rates(filmed: Film, stamped: float, asked: ReadRequest) -> tuple[float, ...]:
    """Rates at which the film may have been taken: as confirmed, as the phone wrote, or as stamped."""
    if asked.capture_rate is not None:
        return (asked.capture_rate,)
    if asked.clock_in_view is not None:
        by_film, by_clock = asked.clock_in_view
        return (capture_rate_from_clock(stamped_rate=stamped, film_s=by_film, clock_s=by_clock),)
    written = filmed.capture_rate
    if written is not None and abs(written / stamped - 1) > RESTAMPED:
        return (written, stamped)
    return (stamped,)


def _seen_at(filmed: Film, stamped: float, rate: float, asked: ReadRequest, marks: int) -> LightResult:
    orders = orders_from_machine(asked.machine)
    known = asked.machine is None or asked.shaft == CRANKSHAFT
    t_s = capture_times(filmed.t_s, stamped_rate=stamped, capture_rate=rate)
    stretch = between(t_s, asked.begin_s, asked.end_s, ends=FILM)
    seen: LightResult = speed_from_light(
        t_s[stretch],
        filmed.cells[stretch],
        marks=marks,
        rev_s_low=orders.rev_s_low if known else SLOWEST_PART,
        rev_s_high=orders.rev_s_high if known else FASTEST_PART,
        shutter=asked.shutter,
    )
    return seen
