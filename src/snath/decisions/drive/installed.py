"""Tell what can be told of a belt drive as it stands: length, wraps, where the idler sits, what is left to tighten."""

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
from snath.quantities.message import Amount, Message, term

TWISTED = math.radians(5)  # less is not worth a word


@dataclass(frozen=True, slots=True)
class InstalledDrive:
    """A drive with its belt laid.

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
    notes : tuple of Message
    """

    frame: Frame
    route: Route | None
    space: SpaceRoute | None
    length: float
    seat: Seat | None
    share_left: float | None
    slack_released: float | None
    pull: float | None
    notes: tuple[Message, ...]


def installed_drive(frame: Frame) -> InstalledDrive:
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
        return InstalledDrive(
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
        notes.append(Message("drive.long-end", why=why.allowed))
    try:
        seat_for(moving, length=belt.length - belt.tolerance)
    except InputError as why:
        notes.append(Message("drive.short-end", why=why.allowed))
    return InstalledDrive(
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


def _groove_notes(frame: Frame) -> list[Message]:
    notes = [Message("drive.groove-shines", name=p.name) for p in frame.places if p.bottomed]
    return notes + [Message("drive.wobbles", name=p.name) for p in frame.places if p.wobbles]


def _idler_notes(frame: Frame) -> list[Message]:
    if not frame.idler_on_tight_run:
        return []
    return [Message("drive.idler-pulls", name=frame.moving)]


def _released_notes(frame: Frame) -> list[Message]:
    slack = _released(frame)
    if slack is None:
        return []
    if slack <= 0:
        return [Message("drive.still-tight", name=frame.moving)]
    return [Message("drive.leaves-slack", name=frame.moving, slack=Amount(slack, "length"))]


def _fixed_notes(frame: Frame, way: float) -> list[Message]:
    off = frame.belt.length - way
    if abs(off) <= frame.belt.tolerance:
        return []
    by = Amount(abs(off), "length")
    return [Message("drive.belt-longer", by=by) if off > 0 else Message("drive.belt-shorter", by=by)]


def _in_space(frame: Frame) -> InstalledDrive:
    entering, leaving = guiding("entering fleet angle"), guiding("leaving fleet angle")
    route = thread(frame.space, entering=entering.value, leaving=leaving.value)
    notes = [
        Message(
            "drive.fleet-angles",
            entering=entering.printed,
            leaving=leaving.printed,
            standing=term("standing", entering.standing),
            source=entering.source,
        )
    ]
    for i, span in enumerate(route.spans):
        a, b = route.wheels[i], route.wheels[(i + 1) % len(route.wheels)]
        if span.twist < TWISTED:
            continue
        width = belt_width(frame.belt.section).value
        rule = least_twisted_span(diameter=2 * max(a.radius, b.radius), width=width, twist=span.twist)
        if span.length < rule.value:
            notes.append(
                Message(
                    "drive.twists",
                    first=a.name,
                    second=b.name,
                    twist=Amount(span.twist, "angle"),
                    length=Amount(span.length, "length"),
                    least=Amount(rule.value, "length"),
                    standing=term("standing", rule.standing),
                )
            )
    return InstalledDrive(
        frame, None, route, route.length, None, None, None, None, (*notes, *_fixed_notes(frame, route.length))
    )
