"""A page that needs a recording read: the recording stands in line, the page is asked again once it was read.

`found_in` gives what was found, or sends whoever asked to the line by an exception that `waits_in_line` turns into
a page of its own. There they see their place; once the recording has been read, the same form is sent again as it
was, and this time finds its answer.
"""

import json
from collections.abc import Callable
from functools import wraps
from typing import Any

from django.conf import settings
from django.forms import Form
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, QueryDict
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext

from snath.quantities.errors import InputError
from snath.shop.media.decoder import SHORT
from snath.shop.media.request import ReadRequest
from snath.shop.media.told import Told, asked_to_json, key_of, renamed, told_from_json
from snath.shop.records.line import ask, newest_answer, place
from snath.shop.records.recordings import Progress, RecordingAsk
from snath.shop.site.access import known_person
from snath.shop.site.line_keeper import read_here

NOT_SENT_AGAIN = ("csrfmiddlewaretoken",)
LONGEST = 150_000  # characters of a form that waits


class InLine(Exception):
    """A recording that was asked for has still to be read."""

    def __init__(self, row: RecordingAsk) -> None:
        super().__init__(row.pk)
        self.row = row


def waits_in_line(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Mark a view that asks for recordings: whoever must wait is sent to the line."""

    @wraps(view)
    def waiting(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            return view(request, *args, **kwargs)
        except InLine as wait:
            return HttpResponseRedirect(reverse("bench:in-line", args=[wait.row.pk]))

    return waiting


def found_in(
    request: HttpRequest, form: Form, *, source: str, name: str, asked: ReadRequest, **put: str
) -> Told:
    """What was found in a recording.

    Parameters
    ----------
    request : HttpRequest
        The form that asks, sent to the address it is to be sent to again.
    form : Form
        Its boxes, as sent.
    source, name : str
        SHA-256 of the recording, which is kept or held, and what it is called.
    asked : Asked
        What was said of it.
    **put : str
        Boxes to change where the form is sent again, so that the recording need not be given again.

    Raises
    ------
    InputError
        Where it cannot be read; under the name it was given.
    InLine
        Where it has still to be read.
    """
    words = asked_to_json(asked)
    key = key_of(source, words)
    row = newest_answer(key)
    if row is None:
        assert isinstance(form.data, QueryDict)
        boxes = {box: values for box, values in form.data.lists() if box not in NOT_SENT_AGAIN}
        boxes |= {box: [value] for box, value in put.items()}
        text = json.dumps(boxes, ensure_ascii=False)
        if len(text) > LONGEST:
            raise InputError("clip", name, gettext("came with more text than a form holds"))
        who = known_person(request)
        row = ask(who, key=key, source=source, asked=words, path=request.path, entries=text)
        if settings.READERS:
            raise InLine(row)
        read_here()
        row.refresh_from_db()
    try:
        return told_from_json(row.answer)
    except InputError as fault:
        raise InputError(fault.field, renamed(fault.given, source[:SHORT], name), fault.allowed) from None


def in_line(request: HttpRequest, number: int) -> HttpResponse:
    """Where a recording stands in the line; once it was read, the form that waits for it, to be sent again."""
    row = get_object_or_404(RecordingAsk, pk=number, person=known_person(request))
    entries = [(name, value) for name, values in json.loads(row.entries).items() for value in values]
    context = {
        "row": row,
        "before": place(row),
        "read": row.progress == Progress.DONE,
        "reading": row.progress == Progress.READING,
        "entries": entries,
    }
    return render(request, "bench/measure/in_line.html", context)
