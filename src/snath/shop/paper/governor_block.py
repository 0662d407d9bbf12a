"""The governor of a stage as rows of text, for a sheet and for a page: droop, steadiness, response, class figures."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from snath.decisions.behaviour.asked import GovernorInput
from snath.decisions.behaviour.complaint import Complaint
from snath.decisions.behaviour.figures import FigureMet
from snath.decisions.behaviour.governor import HUNTS, GovernorResult
from snath.decisions.behaviour.steadiness import Changed, Steadiness
from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.window.window import Window
from snath.quantities.measured import Measured
from snath.shop.pictures.figures import digits, rpm, seconds, short, spread_rpm
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.track import Lines, track_picture
from snath.shop.pictures.voice import Voice

TRACK_WIDTH, TRACK_HEIGHT = 760, 220


@dataclass(frozen=True, slots=True)
class GovernorBlock:
    """What a stage's governor did, ready to be placed.

    Attributes
    ----------
    key, stage : str
        "found" or "left", and its word.
    hunts : str
        The loud line; empty where it does not hunt.
    facts : list of (label, value)
    steady, changes, figures : lists of rows
        Their heads stand in the words under `governor.`.
    notes, settle : list of str
    picture : Picture or None
        The track, where there is one.
    """

    key: str
    stage: str
    hunts: str
    facts: list[list[str]]
    steady: list[list[str]]
    changes: list[list[str]]
    figures: list[list[str]]
    notes: list[str]
    settle: list[str]
    picture: Picture | None


def governor_blocks(
    job: Job, result: Result, voice: Voice, *, width: float = TRACK_WIDTH
) -> list[GovernorBlock]:
    """As found and as left, each where it was looked at."""
    asked, found = job.behaviour, result.behaviour
    rows = (
        ("found", asked.governor_found, found.governor_found, result.as_found.window),
        ("left", asked.governor_left, found.governor_left, result.window),
    )
    return [
        governor_block(
            key,
            given,
            answer,
            window,
            voice,
            width=width,
            wish=found.wanted if answer is (found.governor_left or found.governor_found) else None,
        )
        for key, given, answer, window in rows
        if given is not None and answer is not None
    ]


def governor_block(
    key: str,
    given: GovernorInput,
    found: GovernorResult,
    window: Window,
    voice: Voice,
    *,
    width: float,
    wish: Complaint | None = None,
) -> GovernorBlock:
    """One stage."""
    return GovernorBlock(
        key=key,
        stage=voice.say(f"job.as-{key}"),
        hunts=_hunts(found, voice),
        facts=[[voice.say(f"governor.{name}"), value] for name, value in _facts(given, found, voice)],
        steady=[_steady(one, voice) for one in found.steady],
        changes=[_change(one, voice) for one in found.changes],
        figures=[_figure(one, voice) for one in found.figures],
        notes=[
            *wish_words(wish, voice, "governor"),
            *(voice.said(note) for note in found.notes if note != HUNTS),
        ],
        settle=[voice.said(step) for step in found.next_steps],
        picture=_picture(given, window, voice, width),
    )


def wish_words(wish: Complaint | None, voice: Voice, group: str) -> Iterator[str]:
    """What a wished-for loaded speed takes, and whether the ceiling lets it; for a sheet or for the customer."""
    if wish is None:
        return
    loaded, top = rpm(voice, wish.loaded.value), rpm(voice, wish.no_load.value, "up")
    yield voice.say(f"{group}.wish", loaded=loaded, top=top)
    if wish.allowed is True:
        yield voice.say(f"{group}.wish-allowed")
    elif wish.allowed is False and wish.most_loaded is not None:
        yield voice.say(f"{group}.wish-past", most=rpm(voice, wish.most_loaded.value, "down"))


def _hunts(found: GovernorResult, voice: Voice) -> str:
    return voice.say("governor.hunts", spread=rpm(voice, found.half_swing, "up")) if found.hunts else ""


def _facts(given: GovernorInput, found: GovernorResult, voice: Voice) -> Iterator[tuple[str, str]]:
    if found.no_load is not None:
        yield "no-load", speed(voice, found.no_load)
    if found.loaded is not None:
        yield "loaded", speed(voice, found.loaded)
    if found.droop_on_loaded is not None:
        yield "droop-on-loaded", _share(voice, found.droop_on_loaded)
    if found.droop_on_no_load is not None:
        yield "droop-on-no-load", _share(voice, found.droop_on_no_load)
    if found.frequency is not None:
        top, under = (digits(voice, hertz, 2) for hertz in found.frequency)
        yield "frequency", voice.say("governor.frequency-value", top=top, under=under)
    load = voice.say("governor.not-stated")
    if given.load_w is not None:
        load = voice.say("governor.kilowatt", value=short(voice, given.load_w / 1000, 2))
    yield "load", load
    if given.rated_w is not None:
        yield "rated", voice.say("governor.kilowatt", value=short(voice, given.rated_w / 1000, 2))
    key = "unknown" if found.hunts is None else "seen" if found.hunts else "none"
    yield "hunting", voice.say(f"governor.hunting-{key}")


def speed(voice: Voice, measured: Measured) -> str:
    """A speed with twice its standard uncertainty."""
    return voice.say(
        "governor.plus-minus", speed=rpm(voice, measured.value), spread=spread_rpm(voice, 2 * measured.u)
    )


def _share(voice: Voice, measured: Measured) -> str:
    return voice.say(
        "governor.share",
        percent=digits(voice, 100 * measured.value, 2),
        spread=digits(voice, 200 * measured.u, 2, "up"),
    )


def _steady(one: Steadiness, voice: Voice) -> list[str]:
    hunting, band = one.hunting, one.band
    word = voice.say("governor.hunting-seen" if hunting.found else "governor.hunting-none")
    return [
        voice.term("load", one.load),
        rpm(voice, band.mean),
        voice.say(
            "governor.band", low=rpm(voice, band.least_width, "down"), high=rpm(voice, band.width, "up")
        ),
        word,
        voice.say(
            "governor.swing",
            rate=digits(voice, hunting.rate, 2),
            percent=digits(voice, 100 * hunting.depth, 2),
            both=digits(voice, 200 * hunting.depth, 2),
        ),
    ]


def _change(one: Changed, voice: Voice) -> list[str]:
    return [
        voice.term("event", one.kind),
        voice.say("governor.percent", value=digits(voice, 100 * one.deviation, 1)),
        voice.say("governor.percent", value=digits(voice, 100 * one.overshoot, 1)),
        seconds(voice, one.response.recovery),
        rpm(voice, one.base),
    ]


def _figure(met: FigureMet, voice: Voice) -> list[str]:
    """A figure of a class by itself: never that a set is of that class."""
    return [
        f"{met.marked_class}: {voice.said(met.limits)}",
        voice.term("met", met.word),
        voice.said(met.why),
        voice.term("standing", met.standing),
    ]


def _picture(given: GovernorInput, window: Window, voice: Voice, width: float) -> Picture | None:
    if given.track is None:
        return None
    own = given.track.shaft == CRANKSHAFT
    lines = Lines(ceiling=window.ceiling, target=window.target) if own else Lines()
    return track_picture(given.track, voice, lines=lines, width=width, height=TRACK_HEIGHT)


def placed(block: GovernorBlock) -> dict[str, Any]:
    """The block as data for a sheet; the picture goes apart, by name."""
    return {
        "stage": block.stage,
        "hunts": block.hunts,
        "facts": block.facts,
        "steady": block.steady,
        "changes": block.changes,
        "figures": block.figures,
        "notes": block.notes,
        "settle": block.settle,
        "picture": f"governor-{block.key}" if block.picture else "",
        "picture_text": block.picture.text if block.picture else "",
    }
