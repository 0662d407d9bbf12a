"""The arithmetic behind a bound, as a person would write it at the bench; whoever prints it turns its points."""

from snath.decisions.machine.parts import Ratio
from snath.decisions.window.limits import ENGINE, Limit
from snath.quantities.measured import Measured
from snath.quantities.units import Rounding, show, show_inches


def working(
    limit: Limit,
    ratio: Ratio,
    share: float,
    speed: float,
    to: str,
    *,
    metric: bool,
    blades: bool,
) -> tuple[str, ...]:
    """Line by line from the limit to the speed of the shaft asked about."""

    def rpm(value: float) -> str:
        return show(value, "rpm", digits=1)

    lines = [_first_line(limit, rpm(limit.shaft_speed.value), metric=metric)]
    at = limit.shaft_speed.value
    if ratio.name or ratio.value.value != 1:
        at /= ratio.value.value
        seen = f" ({ratio.name})" if ratio.name else ""
        lines.append(f"÷ {_figure(ratio.value)}{seen} = {rpm(at)}, {to}")
    if share != 1:
        sign, part = ("÷", 1 / share) if share > 1 else ("×", share)
        percent = _number((1 - part) * 100, 2)
        lines.append(f"{sign} (1 − {percent} % slip) = {rpm(speed)}, {to}")
    if limit.side == "ceiling":
        whole = show(speed, "rpm", digits=0, round="down")
        lines.append(f"{to} ≤ {whole}, nothing being cut" if blades else f"{to} ≤ {whole}, no load")
    else:
        whole = show(speed, "rpm", digits=0, round="up")
        lines.append(f"{to} ≥ {whole}, no load" if limit.member == ENGINE else f"{to} ≥ {whole}, loaded")
    return tuple(lines)


def remedy_words(kind: str, shaft: str, value: float, direction: int, exactly: float | None) -> str:
    """One change, in words: which part, the size from which it opens the window, and the exact figure beside."""
    bound = "at most" if direction < 0 else "at least"
    side: Rounding = "down" if direction < 0 else "up"
    if kind == "engine speed":
        speed = show(value, "rpm", digits=0, round=side)
        return f"engine governed to {bound} {speed}"
    if kind == "blade":
        inches, metric = show_inches(value, denominator=16), show(value, "mm", digits=0)
        return f"{shaft}: the maker's listed blade up to {inches} ({metric}) tip to tip"
    if "sheave" in kind:
        size = f"{show(value, 'in')} ({show(value, 'mm', digits=1)})"
        mildest = show(value if exactly is None else exactly, "mm", digits=1)
        return f"{kind} of {shaft}: {bound} {size} outside, the next that is sold; exactly {mildest}"
    if kind == "ratio":
        return f"ratio to {shaft}: {bound} {_number(value, 3)}"
    return f"{kind} of {shaft}: {bound} {value:.0f} teeth"


def _first_line(limit: Limit, shaft_speed: str, *, metric: bool) -> str:
    if limit.kind == "surface speed" and limit.size is not None:
        inches = not metric
        diameter = show(limit.size.diameter.value, "in" if inches else "mm")
        surface = show(limit.value, "ft/min" if inches else "m/s")
        return f"{surface} ÷ (π × {diameter}) = {shaft_speed}, {limit.shaft}"
    if limit.kind == "frequency" and limit.poles is not None:
        frequency = show(limit.value, "Hz")
        return f"120 × {frequency} ÷ {limit.poles} poles = {shaft_speed}, {limit.shaft}"
    return f"{limit.member}: {shaft_speed}, {limit.shaft}"


def _figure(value: Measured) -> str:
    return _number(value.value, 5)


def _number(value: float, digits: int) -> str:
    return f"{value:.{digits}f}".rstrip("0").rstrip(".")
