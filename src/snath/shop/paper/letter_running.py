"""What the letter says of running, stopping and stones, in plain words: no distance, no zone, no class."""

from collections.abc import Iterator

from snath.decisions.behaviour.behaviour import BehaviourResult
from snath.decisions.behaviour.governor import GovernorResult
from snath.decisions.behaviour.throw import ThrowResult
from snath.decisions.job.result import Result
from snath.shop.paper.governor_block import wish_words
from snath.shop.pictures.figures import digits, rpm
from snath.shop.pictures.throw import LIMIT
from snath.shop.pictures.voice import Voice


def running_words(result: Result, voice: Voice) -> Iterator[str]:
    """How it ran and stopped, as far as it was looked at."""
    found = result.behaviour
    yield from _governor(found, voice)
    yield from wish_words(found.wanted, voice, "customer")
    if found.stop is not None:
        yield voice.say(f"customer.stop-{found.stop.word}")
    if found.balance is not None and not found.balance.within_grade:
        yield voice.say(
            "customer.balance",
            grams=voice.say("balance.gram", value=digits(voice, found.balance.grind * 1e3, 1)),
            force=voice.say("balance.newton", value=digits(voice, found.balance.force)),
            times=digits(voice, found.balance.beside_blade),
        )
    if righted := _put_right(found, voice):
        yield voice.say("customer.checks-righted", checks="; ".join(righted))


def _put_right(found: BehaviourResult, voice: Voice) -> list[str]:
    items = () if found.checklist is None else found.checklist.items
    return [
        f"{voice.said(item.check.name)}: {item.note or voice.said(item.check.name)}, {item.put_right}"
        for item in items
        if item.state == "fault" and not item.blocks
    ]


def _governor(found: BehaviourResult, voice: Voice) -> Iterator[str]:
    before, after = found.governor_found, found.governor_left
    last = after or before
    if before is not None and before.hunts and after is not None:
        yield voice.say("customer.hunted", spread=rpm(voice, before.half_swing, "up"))
    if last is not None and last.hunts:
        yield voice.say("customer.hunts", spread=rpm(voice, last.half_swing, "up"))
    elif last is not None and last.hunts is False and before is not None and before.hunts:
        yield voice.say("customer.steady")
    if last is not None and not last.hunts:
        yield from _droop(last, voice)


def _droop(found: GovernorResult, voice: Voice) -> Iterator[str]:
    top, under = found.no_load, found.loaded
    if (
        top is not None
        and under is not None
        and found.droop_on_loaded is not None
        and under.value < top.value
    ):
        yield voice.say("customer.droop", top=rpm(voice, top.value), under=rpm(voice, under.value))


def thrown_words(found: ThrowResult, voice: Voice) -> Iterator[str]:
    """What a stone carries as found, as left and at the limit, and whom to keep away."""
    yield voice.say("customer.thrown-why")
    thing = found.carried[0].thing
    joules = {one.stage: digits(voice, one.energy_low) for one in found.carried if one.thing == thing}
    before, after, limit = (joules.get(stage) for stage in ("as found", "as left", LIMIT))
    if limit is not None and before is not None and after is not None:
        yield voice.say("customer.thrown-less", thing=thing, before=before, after=after, limit=limit)
    elif limit is not None and after is not None:
        yield voice.say("customer.thrown-left", thing=thing, after=after, limit=limit)
    elif limit is not None and before is not None:
        yield voice.say("customer.thrown-found", thing=thing, before=before, limit=limit)
    yield voice.say("customer.thrown-away")
