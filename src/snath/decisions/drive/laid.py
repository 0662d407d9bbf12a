"""What can be told of a belt drive as it stands: length, wraps, where the idler sits, what is left to tighten."""

import math
from dataclasses import dataclass

from snath.decisions.drive.frame import Frame, pulleys, take_up
from snath.decisions.drive.frame_grip import slack_pull
from snath.formulas.belts.grooves import belt_width
from snath.formulas.belts.guides import guiding, least_twisted_span
from snath.formulas.belts.loop import Route
from snath.formulas.belts.route import lay
from snath.formulas.belts.space import SpaceRoute, thread
from snath.formulas.belts.take_up import Seat, released_slack, seat_for
from snath.quantities.errors import InputError
from snath.quantities.units import show

TWISTED = math.radians(5)  # less is not worth a word


@dataclass(frozen=True, slots=True)
class Laid:
    """A drive laid out.

    Attributes
    ----------
    frame : Frame
    route : Route or None
        In a plane, with the movable pulley where the belt seats it.
    space : SpaceRoute or None
        Out of a plane.
    length : float
        Of the way the belt takes, on its length's line. [m]
    seat : Seat or None
        Of the movable pulley.
    share_left : float or None
        Of the take-up once the belt has stretched; None where that is beyond its end.
    slack_released : float or None
        Belt left over with the idler let go. [m]
    pull : float or None
        In the belt at a sprung idler, at rest. [N]
    notes : tuple of str
    """

    frame: Frame
    route: Route | None
    space: SpaceRoute | None
    length: float
    seat: Seat | None
    share_left: float | None
    slack_released: float | None
    pull: float | None
    notes: tuple[str, ...]


def laid(frame: Frame) -> Laid:
    """Lay a frame's belt.

    Raises
    ------
    InputError
        If it cannot be laid, or the take-up cannot reach its length.
    """
    if frame.space:
        return _in_space(frame)
    if frame.way is None:
        route = lay(pulleys(frame), clockwise=frame.clockwise)
        return Laid(
            frame, route, None, route.length, None, None, None, None, tuple(_fixed_notes(frame, route.length))
        )
    belt, moving = frame.belt, take_up(frame)
    seat = seat_for(moving, length=belt.length)
    notes = []
    share_left = None
    try:
        share_left = (
            1 - seat_for(moving, length=(belt.length + belt.tolerance) * (1 + frame.fit.stretch)).share
        )
    except InputError as why:
        notes.append(f"A belt from the long end of its tolerance, stretched, is too long: {why.allowed}.")
    try:
        seat_for(moving, length=belt.length - belt.tolerance)
    except InputError as why:
        notes.append(f"A belt from the short end of its tolerance will not go on: {why.allowed}.")
    return Laid(
        frame=frame,
        route=seat.route,
        space=None,
        length=seat.route.length,
        seat=seat,
        share_left=share_left,
        slack_released=_released(frame),
        pull=slack_pull(frame) if frame.spring else None,
        notes=(*notes, *_groove_notes(frame), *_idler_notes(frame), *_released_notes(frame)),
    )


def _released(frame: Frame) -> float | None:
    if frame.released is None or frame.way is None:
        return None
    return released_slack(take_up(frame), length=frame.belt.length, share=frame.released)


def _groove_notes(frame: Frame) -> list[str]:
    notes = [
        f"{p.name}: the bottom of its groove shines, so the belt rests on it and no longer wedges. Fit a new sheave."
        for p in frame.places
        if p.bottomed
    ]
    return notes + [
        f"{p.name} wobbles: mend bearing or sheave before anything is chosen."
        for p in frame.places
        if p.wobbles
    ]


def _idler_notes(frame: Frame) -> list[str]:
    if not frame.idler_on_tight_run:
        return []
    return [
        f"{frame.moving} sits in a run that pulls: a tightening idler belongs in the slack run, where the belt leaves "
        "the engine's pulley. Check which way the engine turns, or the order of the pulleys."
    ]


def _released_notes(frame: Frame) -> list[str]:
    slack = _released(frame)
    if slack is None:
        return []
    if slack <= 0:
        return [f"Let go, {frame.moving} still holds the belt tight: the blades would not stop."]
    return [
        f"Let go, {frame.moving} leaves {show(slack, 'mm', digits=0)} of belt: keepers must hold it off the engine's "
        "pulley."
    ]


def _fixed_notes(frame: Frame, way: float) -> list[str]:
    off = frame.belt.length - way
    if abs(off) <= frame.belt.tolerance:
        return []
    word = "longer" if off > 0 else "shorter"
    return [f"The belt is {show(abs(off), 'mm', digits=0)} {word} than its way, and no pulley can be moved."]


def _in_space(frame: Frame) -> Laid:
    entering, leaving = guiding("entering fleet angle"), guiding("leaving fleet angle")
    route = thread(frame.space, entering=entering.value, leaving=leaving.value)
    notes = [
        f"Fleet angles are held to {entering.printed} entering and {leaving.printed} leaving ({entering.standing}: "
        f"{entering.source})."
    ]
    for i, span in enumerate(route.spans):
        a, b = route.wheels[i], route.wheels[(i + 1) % len(route.wheels)]
        if span.twist < TWISTED:
            continue
        width = belt_width(frame.belt.section).value
        rule = least_twisted_span(diameter=2 * max(a.radius, b.radius), width=width, twist=span.twist)
        if span.length < rule.value:
            notes.append(
                f"Between {a.name} and {b.name} the belt turns {math.degrees(span.twist):.0f} deg about itself in "
                f"{show(span.length, 'mm', digits=0)}; the rule asks for {show(rule.value, 'mm', digits=0)} "
                f"({rule.standing})."
            )
    return Laid(
        frame, None, route, route.length, None, None, None, None, (*notes, *_fixed_notes(frame, route.length))
    )
