"""The track in full sentences, for a reader who cannot see it."""

from snath.formulas.signals.candidates import Track
from snath.shop.pictures.figures import rpm, seconds
from snath.shop.pictures.voice import Voice


def track_text(track: Track, voice: Voice, *, ceiling: float | None = None) -> str:
    """Lowest, highest and last speed, whether it passed the ceiling, gaps and events. [rev/s]"""
    if not track.rev_s:
        return voice.say("track.text-empty")
    said = [
        voice.say(
            "track.text-span",
            shaft=voice.term("shaft", track.shaft),
            seconds=seconds(voice, track.t_s[-1] - track.t_s[0]),
            low=rpm(voice, min(track.rev_s)),
            high=rpm(voice, max(track.rev_s)),
            last=rpm(voice, track.rev_s[-1]),
        )
    ]
    if ceiling is not None:
        key = "text-over" if max(track.rev_s) > ceiling else "text-never-over"
        said.append(voice.say(f"track.{key}", speed=rpm(voice, ceiling, "down")))
    if track.gaps:
        key = "text-gap" if len(track.gaps) == 1 else "text-gaps"
        lost = seconds(voice, sum(end - start for start, end in track.gaps))
        said.append(voice.say(f"track.{key}", count=len(track.gaps), seconds=lost))
    for event in track.events:
        if event.kind == "gap":
            continue
        kind = voice.term("event", event.kind)
        said.append(voice.say("track.text-event", seconds=seconds(voice, event.t_s), kind=kind))
    return " ".join(said)
