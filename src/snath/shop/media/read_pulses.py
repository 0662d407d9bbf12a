"""From a list of pulses to one reading."""

from dataclasses import replace

import numpy as np

from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.reading.from_sound import orders_from_machine
from snath.decisions.reading.pulse_reading import likely_per_turn, reading_from_pulses, sparks_per_turn
from snath.decisions.reading.steady_states import split_steady_states
from snath.formulas.signals.pulses.read import speed_from_pulses
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.media.decoder import Source
from snath.shop.media.pulse_log import pulse_log
from snath.shop.media.request import ReadRequest, ReadResult
from snath.shop.media.stretch import between

LOWEST, HIGHEST = 0.5, 500.0  # rev/s looked for where no sheet narrows it


def read_pulses(source: Source, asked: ReadRequest, evidence: str) -> ReadResult:
    """What a pulse list says, of the shaft it was taken at."""
    log = pulse_log(source, clock=asked.clock)
    since = log.t_s - log.t_s[0]
    t_s = since[between(since, asked.begin_s, asked.end_s)]
    per_turn = asked.per_turn
    if per_turn == "spark":
        if asked.machine is None:
            raise InputError("per turn", "spark", Message("pulses.needs-sheet"))
        per_turn = sparks_per_turn(asked.machine.engine)
    orders = orders_from_machine(asked.machine)
    known = asked.machine is not None and asked.shaft == CRANKSHAFT
    result = speed_from_pulses(
        t_s,
        per_turn=per_turn,
        likely=likely_per_turn(asked.machine),
        rev_s_low=orders.rev_s_low if known else LOWEST,
        rev_s_high=orders.rev_s_high if known else HIGHEST,
    )
    reading = reading_from_pulses(result, shaft=asked.shaft, condition=asked.condition, evidence=evidence)
    begin, seconds = (float(t_s[0]), float(np.ptp(t_s))) if len(t_s) else (asked.from_s, 0.0)
    track = None if result.track is None else replace(result.track, shaft=asked.shaft).later(begin)
    reading = reading if track is None else split_steady_states(reading, track)
    return ReadResult(reading, "pulses", seconds, result, track, result.notes, begin)
