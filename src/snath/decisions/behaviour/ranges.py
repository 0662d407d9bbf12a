"""Refuse what can't be right about a machine's behaviour, in the unit a mechanic types it in."""

from snath.formulas.signals.candidates import Track
from snath.quantities.errors import InputError, between, within
from snath.quantities.message import Amount, Message
from snath.quantities.units import in_unit, show

TOP_RPM = 30_000.0


def shown_within(
    field: str, value: float, low: float, high: float, unit: str, *, open_low: bool = False
) -> None:
    """Refuse a value, in SI, outside a range in that unit.

    Raises
    ------
    InputError
        With value and range in that unit.
    """
    within(field, value * in_unit(1.0, unit), low, high, unit, open_low=open_low)


def turning(field: str, rotation: float) -> None:
    """Refuse a shaft speed that is none, or that nobody's shaft turns at. [rev/s]"""
    shown_within(field, rotation, 0, TOP_RPM, "rpm", open_low=True)


def typed_rpm(rotation: float) -> str:
    """A shaft speed as it was typed, to a tenth. [rev/s]"""
    return show(rotation, "rpm", digits=1).replace(".0 ", " ")


def checked_track(track: Track, *, fewest: int) -> None:
    """Refuse a track too short to be one, whose times do not rise, or with a speed that cannot be.

    Raises
    ------
    InputError
        Naming the first fault and its moment.
    """
    count = len(track.t_s)
    if count < fewest:
        raise InputError(
            "track", Message("track.points", points=count), Message("track.too-short-points", points=fewest)
        )
    for before, after in zip(track.t_s, track.t_s[1:], strict=False):
        if not after > before:
            raise InputError(
                "track", Message("track.after", after=after, before=before), Message("track.rise")
            )
    for t, speed in zip(track.t_s, track.rev_s, strict=True):
        if not 0 <= speed * 60 <= TOP_RPM:
            given = Message("track.speed-at", speed=Amount(speed, "rotation"), t=t)
            raise InputError("track", given, between(0, TOP_RPM, "rpm"))
