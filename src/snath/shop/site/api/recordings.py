"""Read a recording another program sent: it stands in the shop's line, and is asked for again by its number."""

import json
from dataclasses import dataclass
from typing import Literal

from django.conf import settings

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.facts import answered_as
from snath.shop.answers.recording import RecordingAnswer, recording_answer
from snath.shop.answers.recording_asked import recording_asked
from snath.shop.bench.measure.phones import comparisons_folder
from snath.shop.files.sheet_text import sheet_in
from snath.shop.media.comparisons import kept_comparisons
from snath.shop.media.decoder import SHORT
from snath.shop.media.told import asked_from_json, asked_to_json, key_of, renamed, told_from_json
from snath.shop.records.held_clips import hold
from snath.shop.records.line import ask, newest_answer, place
from snath.shop.records.recordings import Progress, RecordingAsk
from snath.shop.site.api.asker import Asker, Reply
from snath.shop.site.api.refusals import refusal
from snath.shop.site.api.schemas import ReadAsked, ReadingAsked
from snath.shop.site.line_keeper import read_here
from snath.words.render import ENGLISH

PATH = "/api/1/read"
AGAIN = "1"  # s after which it is worth asking again
UNKNOWN = "must be the number of a recording that was sent less than a day ago"


@dataclass(frozen=True)
class WaitingAnswer:
    """A recording that has still to be read.

    Attributes
    ----------
    reading : int
        Its number: ask /api/1/readings/NUMBER for what it says.
    progress : str
        "waiting" or "reading".
    before : int
        How many are read or wait before it.
    done_s, of_s : float or None
        How much of it has been read. [s]
    """

    reading: int
    progress: Literal["waiting", "reading"]
    before: int
    done_s: float | None
    of_s: float | None


def read(asker: Asker, asked: ReadAsked) -> RecordingAnswer | Reply:
    """What a recording says where that is known already, else where it stands in the line."""
    if asker.file is None:
        raise InputError("recording", "nothing", Message("records.file-of-form"))
    machine = sheet_in(asked.sheet, asked.decimal_mark)[0] if asked.sheet else None
    said = asked.model_dump(exclude={"sheet", "decimal_mark"})
    comparisons = kept_comparisons(comparisons_folder())
    words = asked_to_json(recording_asked(machine, **said, comparisons=comparisons))
    clip = hold(asker.person, asker.file.name or "", asker.file.chunks())
    wish = {"name": clip.name, **asked.model_dump(include={"decimal_mark"}, exclude_unset=True)}
    key = key_of(clip.sha256, words)
    row = newest_answer(key)
    if row is None:
        entries = json.dumps(wish, ensure_ascii=False)
        row = ask(asker.person, key=key, source=clip.sha256, asked=words, path=PATH, entries=entries)
        if not settings.READERS:
            read_here()
            row.refresh_from_db()
    return _answer(row, **wish)


def reading(asker: Asker, asked: ReadingAsked) -> RecordingAnswer | Reply:
    """What a recording said that stood in the line, or where it stands."""
    row = RecordingAsk.objects.filter(pk=asked.number, person=asker.person, path=PATH).first()
    if row is None:
        return Reply(404, refusal("number", UNKNOWN, given=str(asked.number)))
    return _answer(row, **json.loads(row.entries))


def _answer(row: RecordingAsk, name: str, decimal_mark: DecimalMark | None = None) -> RecordingAnswer | Reply:
    if row.progress != Progress.DONE:
        now: Literal["waiting", "reading"] = "waiting" if row.progress == Progress.WAITING else "reading"
        return Reply(
            202, WaitingAnswer(row.pk, now, place(row), row.done_s, row.of_s), {"Retry-After": AGAIN}
        )
    try:
        found = told_from_json(row.answer)
    except InputError as fault:
        raise InputError(fault.field, renamed(fault.given, row.source[:SHORT], name), fault.allowed) from None
    return recording_answer(
        found, asked_from_json(row.asked).machine, answered_as(ENGLISH, asked=decimal_mark)
    )
