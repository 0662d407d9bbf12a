"""Write out the arithmetic behind a bound, and what a change is, as a person would at the bench."""

from snath.decisions.machine.parts import BY_TEETH, Ratio
from snath.decisions.window.limits import ENGINE, Limit
from snath.quantities.message import Amount, Message


def working(
    limit: Limit, ratio: Ratio, share: float, speed: float, to: str, *, metric: bool, blades: bool
) -> tuple[Message, ...]:
    """Line by line from the limit to the speed of the shaft asked about."""
    lines = [_first_line(limit, metric=metric)]
    at = limit.shaft_speed.value
    if ratio.name or ratio.value.value != 1:
        at /= ratio.value.value
        lines.append(_by_ratio(ratio, _turning(at), to))
    if share != 1:
        lines.append(_by_slip(share, _turning(speed), to))
    if limit.side == "ceiling" and blades:
        lines.append(Message("window.at-most", to=to, speed=_turning(speed)))
    elif limit.side == "ceiling":
        lines.append(Message("window.at-most-no-load", to=to, speed=_turning(speed)))
    elif limit.member == ENGINE:
        lines.append(Message("window.at-least", to=to, speed=_turning(speed)))
    else:
        lines.append(Message("window.at-least-loaded", to=to, speed=_turning(speed)))
    return tuple(lines)


def _first_line(limit: Limit, *, metric: bool) -> Message:
    speed = _turning(limit.shaft_speed.value)
    if limit.kind == "surface speed" and limit.size is not None:
        diameter = Amount(limit.size.diameter.value, "length")
        surface = Amount(limit.value, "speed")
        if metric:
            return Message(
                "window.surface-metric", surface=surface, diameter=diameter, speed=speed, shaft=limit.shaft
            )
        return Message("window.surface", surface=surface, diameter=diameter, speed=speed, shaft=limit.shaft)
    if limit.kind == "frequency" and limit.poles is not None:
        frequency = Amount(limit.value, "frequency")
        return Message("window.poles", frequency=frequency, poles=limit.poles, speed=speed, shaft=limit.shaft)
    return Message("window.marked", member=limit.member, speed=speed, shaft=limit.shaft)


def _by_ratio(ratio: Ratio, speed: Amount, to: str) -> Message:
    """The step over a drive, by the two circles it was worked from where it is one drive, else by its ratio."""
    if ratio.circles and ratio.name == BY_TEETH:
        driver, driven = ratio.circles
        return Message("window.by-teeth", driver=driver, driven=driven, speed=speed, to=to)
    if ratio.circles:
        first, second = (Amount(circle, "length") for circle in ratio.circles)
        return Message("window.by-circles", driver=first, driven=second, seen=ratio.name, speed=speed, to=to)
    if ratio.name:
        return Message("window.by-ratio-seen", ratio=ratio.value.value, seen=ratio.name, speed=speed, to=to)
    return Message("window.by-ratio", ratio=ratio.value.value, speed=speed, to=to)


def _by_slip(share: float, speed: Amount, to: str) -> Message:
    if share > 1:
        return Message("window.less-slip", slip=Amount(1 - 1 / share, "share"), speed=speed, to=to)
    return Message("window.with-slip", slip=Amount(1 - share, "share"), speed=speed, to=to)


def remedy_words(kind: str, shaft: str, value: float, direction: int, exactly: float | None) -> Message:
    """One change: which part, the size from which it opens the window, and the exact figure beside."""
    less = direction < 0
    if kind == "engine speed":
        speed = _turning(value)
        return Message("remedy.engine-most", speed=speed) if less else Message("remedy.engine", speed=speed)
    if kind == "blade":
        return Message("remedy.blade", shaft=shaft, size=Amount(value, "length"))
    if "sheave" in kind:
        size, exact = Amount(value, "length"), Amount(value if exactly is None else exactly, "length")
        if less:
            return Message("remedy.sheave-most", part=kind, shaft=shaft, size=size, exactly=exact)
        return Message("remedy.sheave", part=kind, shaft=shaft, size=size, exactly=exact)
    if kind == "ratio":
        if less:
            return Message("remedy.ratio-most", shaft=shaft, ratio=value)
        return Message("remedy.ratio", shaft=shaft, ratio=value)
    if less:
        return Message("remedy.teeth-most", part=kind, shaft=shaft, teeth=value)
    return Message("remedy.teeth", part=kind, shaft=shaft, teeth=value)


def _turning(rev_s: float) -> Amount:
    return Amount(rev_s, "rotation")
