"""The window picture in full sentences, for a reader who cannot see it."""

from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.window import Window
from snath.shop.pictures.figures import rpm, spread_rpm
from snath.shop.pictures.members import MemberRow
from snath.shop.pictures.voice import Voice


def window_text(
    window: Window,
    rows: list[MemberRow],
    voice: Voice,
    *,
    reading: Reading | None = None,
    verdict: Verdict | None = None,
) -> str:
    """Window, what limits it, where to set, each member, the reading, the verdict."""
    said = [_edges(window, voice)]
    if window.binding:
        rule = voice.term("rule", window.binding_rule)
        said.append(voice.say("window.text-binds", member=voice.term("member", window.binding), rule=rule))
    said += _setting(window, voice)
    said += [_member(row, voice) for row in rows]
    if reading is not None:
        said += _reading(reading, voice)
    if verdict is not None:
        said.append(voice.say("window.text-verdict", word=voice.term("verdict", verdict.word)))
    return " ".join(said)


def _edges(window: Window, voice: Voice) -> str:
    low = rpm(voice, window.floor, "up") if window.floor is not None else ""
    high = rpm(voice, window.ceiling, "down") if window.ceiling is not None else ""
    if not window.feasible and low and high:
        return voice.say("window.text-shut", low=low, high=high)
    key = {(True, True): "open", (False, True): "ceiling", (True, False): "floor"}.get(
        (bool(low), bool(high)), "none"
    )
    return voice.say(f"window.text-{key}", low=low, high=high)


def _setting(window: Window, voice: Voice) -> list[str]:
    said = []
    if window.target is not None and window.set_low is not None and window.set_high is not None:
        said.append(
            voice.say(
                "window.text-target",
                target=rpm(voice, window.target),
                low=rpm(voice, window.set_low, "up"),
                high=rpm(voice, window.set_high, "down"),
            )
        )
    elif window.target is not None:
        said.append(voice.say("window.text-target-bare", target=rpm(voice, window.target)))
    if window.unset in ("not known", "not settled", "stop", "no room", "blocked"):
        said.append(voice.say(f"window.text-setting-{window.unset.replace(' ', '-')}"))
    return said


def _member(row: MemberRow, voice: Voice) -> str:
    named = {"member": voice.term("member", row.member), "shaft": voice.term("shaft", row.shaft)}
    said = []
    worst, best = row.ceiling, row.kindest
    if worst is not None:
        speed = rpm(voice, worst.engine.value, "down")
        if best is None:
            said.append(voice.say("window.text-member-ceiling", **named, speed=speed))
        else:
            ways = {"worst": voice.said(worst.alternative), "kind": voice.said(best.alternative)}
            kindest = rpm(voice, best.engine.value, "down")
            said.append(voice.say("window.text-member-range", **named, speed=speed, best=kindest, **ways))
    if row.floor is not None:
        speed = rpm(voice, row.floor.engine.value, "up")
        if row.floor_is_loaded:
            speed = voice.say("window.loaded", speed=speed)
        said.append(voice.say("window.text-member-floor", **named, speed=speed))
    return " ".join(said)


def _reading(reading: Reading, voice: Voice) -> list[str]:
    if reading.value is None:
        return [voice.say("window.text-reading-open", why=voice.said(reading.why))]
    key = "window.text-reading-spread" if reading.doubt else "window.text-reading"
    said = [
        voice.say(
            key,
            shaft=voice.term("shaft", reading.shaft),
            speed=rpm(voice, reading.value.value),
            spread=voice.say("unit.rpm", value=spread_rpm(voice, reading.doubt or 0.0)),
            condition=voice.condition(reading.condition),
        )
    ]
    if reading.hunting:
        spread = voice.say("unit.rpm", value=spread_rpm(voice, reading.hunting))
        said.append(voice.say("window.text-swing", spread=spread))
    return said
