"""Next setting, balance and check list as rows of text, for a sheet and for a page."""

from typing import Any, get_args

from snath.decisions.behaviour.asked import ChecklistInput
from snath.decisions.behaviour.balance import BalanceResult
from snath.decisions.behaviour.checklist import Checked, ChecklistResult, When, checks
from snath.decisions.behaviour.setting import NextSetting
from snath.shop.paper.governor_block import speed
from snath.shop.paper.voices import or_none
from snath.shop.pictures.figures import digits, rpm, short
from snath.shop.pictures.voice import Voice

STATES = ("open", "done", "fault", "does not apply")


def setting_rows(found: NextSetting, kind: str, voice: Voice) -> dict[str, Any]:
    """The advice with where to, what to expect, and how to do it."""
    facts = []
    if found.position is not None:
        place = f"{voice.term('setting-kind', kind)} {short(voice, found.position, 2)}"
        facts.append([voice.say("setting.position"), place])
    if found.predicted is not None:
        facts.append([voice.say("setting.expected"), speed(voice, found.predicted)])
    if found.upper is not None:
        facts.append([voice.say("setting.upper"), rpm(voice, found.upper, "up")])
    waiting = [voice.said(check.text) for check in checks() if check.text in found.still_open]
    return {
        "advice": voice.term("advice", found.advice),
        "key": found.advice,
        "why": voice.say("checks.may-not") if waiting else voice.said(found.why),
        "waiting": waiting,
        "facts": facts,
        "steps": [voice.said(step) for step in found.steps],
    }


def balance_rows(found: BalanceResult, voice: Voice) -> dict[str, Any]:
    """Unbalance and what it pulls with, what a grade would permit, and how much to grind off."""

    def gram_mm(value: float) -> str:
        return voice.say("balance.gram-mm", value=digits(voice, value * 1e6))

    def grams(value: float) -> str:
        return voice.say("balance.gram", value=digits(voice, value * 1e3, 1))

    rows = [
        ("unbalance", gram_mm(found.unbalance)),
        ("force", voice.say("balance.newton", value=digits(voice, found.force))),
        ("beside-blade", voice.say("balance.times", value=digits(voice, found.beside_blade))),
        ("grind", grams(found.grind)),
        ("permitted", voice.say("balance.by-grade", grade=found.grade, value=gram_mm(found.permitted))),
        ("at-tip", grams(found.permitted_at_tip)),
    ]
    if found.beside_machine is not None:
        rows.insert(
            3,
            ("beside-machine", voice.say("balance.percent", value=digits(voice, 100 * found.beside_machine))),
        )
    if found.balancer_floor is not None:
        rows.append(("balancer", gram_mm(found.balancer_floor)))
    if found.play_unbalance:
        rows.append(("play", gram_mm(found.play_unbalance)))
    return {
        "facts": [[voice.say(f"balance.{key}"), value] for key, value in rows],
        "notes": [voice.said(note) for note in (found.grade_standing, *found.notes)],
    }


def check_rows(
    given: ChecklistInput, found: ChecklistResult, voice: Voice, *, left_set: bool = False
) -> dict[str, Any]:
    """What stands against the machine and whether anything may be set, then each list with what was put down."""
    key = (
        "blocked"
        if found.blocking
        else "may-not-adjust"
        if found.outcome
        else "may-set"
        if found.may_set
        else "may-not"
    )
    about_setting = "" if left_set and key == "may-not" else voice.say(f"checks.{key}")  # it was set since
    return {
        "groups": [group for when in get_args(When) if (group := _group(when, found, voice))],
        "outcome": " ".join(
            part for part in (about_setting, found.outcome and voice.said(found.outcome)) if part
        ),
        "checked": _checked(found, voice),
        "seals": [[voice.say("checks.seals"), or_none(voice, given.seals)]],
        "notes": [voice.said(note) for note in found.notes],
    }


def _checked(found: ChecklistResult, voice: Voice) -> str:
    if not found.answered:
        return voice.say("checks.not-checked")
    stages = ", ".join(voice.term("stage", stage) for stage in found.answered)
    return voice.say("checks.checked", stages=stages)


def _group(when: str, found: ChecklistResult, voice: Voice) -> list[Any]:
    """A list's title, what is in order and what is open by name, and a row for all that was put down by itself."""
    items = [item for item in found.items if item.check.when == when]
    alone = [item for item in items if item.note or item.state in ("fault", "does not apply")]
    said = []
    for state, key in (("done", "in-order"), ("open", "open-ones")):
        names = [voice.said(i.check.name) for i in items if i.state == state and i not in alone]
        if names and (state == "done" or when != "before a hand goes near"):
            said.append(voice.say(f"checks.{key}", names=", ".join(names)))
    rows = [
        [_state(item, voice), voice.said(item.check.text), _note(item, voice), voice.said(item.check.caution)]
        for item in alone
    ]
    return [voice.term("check-when", when), said, rows] if said or rows else []


def _state(item: Checked, voice: Voice) -> str:
    if item.state == "fault" and not item.blocks:
        return voice.say("checks.put-right-state")
    return voice.term("check-state", item.state)


def _note(item: Checked, voice: Voice) -> str:
    if not item.put_right:
        return item.note
    return voice.say("checks.put-right", note=item.note, what=item.put_right, who=item.by)
