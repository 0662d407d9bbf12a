"""What a thrown thing carries, as rows of text fit for a customer's paper: energies, and no distance anywhere."""

from typing import Any

from snath.decisions.behaviour.throw import KEEP_AWAY, Carried, ThrowResult
from snath.shop.pictures.figures import digits, surface_speed
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.throw import LIMIT, throw_picture
from snath.shop.pictures.throw import spoken as spoken_of_throw
from snath.shop.pictures.voice import Voice

PICTURE_WIDTH = 720


def thrown_rows(found: ThrowResult, voice: Voice) -> dict[str, Any]:
    """Energies of every thing at every stage, and each published figure with what it does and does not mean."""
    stage = spoken_of_throw(voice)
    return {
        "carried": [_row(one, found.carried, voice, stage) for one in found.carried],
        "figures": _figures(found.carried, voice),
        "notes": [voice.say("thrown.square"), voice.said(KEEP_AWAY)],
    }


def _row(one: Carried, others: tuple[Carried, ...], voice: Voice, stage: Voice) -> list[str]:
    limit = next((o for o in others if o.thing == one.thing and o.stage == LIMIT), None)
    share = voice.say("job.no-figure")
    if limit is not None:
        percent = digits(voice, 100 * one.energy_low / limit.energy_low, rounding="up")
        share = voice.say("thrown.percent", value=percent)
    return [
        one.thing,
        stage.term("stage", one.stage),
        voice.say("thrown.up-to", speed=surface_speed(voice, one.leaves_high)),
        voice.say("thrown.joules", low=digits(voice, one.energy_low), high=digits(voice, one.energy_high)),
        share,
    ]


def _figures(carried: tuple[Carried, ...], voice: Voice) -> list[list[str]]:
    """The published figures beside the last stage before the limit: as left, else as found."""
    own = [one for one in carried if one.stage != LIMIT] or list(carried)
    last = own[-1]
    return [
        [
            f"{pair.criterion.printed} ({pair.criterion.source})",
            voice.say("thrown.times", value=digits(voice, pair.times, 1)),
            voice.said(pair.criterion.means),
            voice.said(pair.criterion.does_not_mean),
            voice.term("standing", pair.criterion.standing),
        ]
        for pair in last.low
    ]


def thrown_picture(found: ThrowResult, voice: Voice, *, width: float = PICTURE_WIDTH) -> Picture | None:
    """The first thing at every stage, for a customer; None where no limit on a tip is known."""
    first = tuple(one for one in found.carried if one.thing == found.carried[0].thing)
    if not any(one.stage == LIMIT for one in first):
        return None
    return throw_picture(first, voice, width=width)
