"""Find the machine that the square on a photographed tag speaks of."""

import re
from collections.abc import Iterable, Iterator
from urllib.parse import urlsplit
from uuid import UUID

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import Resolver404, resolve
from django.utils.translation import gettext_lazy

from snath.quantities.errors import InputError
from snath.shop.bench.fields import fault_words
from snath.shop.bench.preferences import preferences_of
from snath.shop.paper.voices import paper_voice
from snath.shop.records.models import JobRecord, MachineRecord
from snath.shop.records.photos import squares_on
from snath.words.tables import LANGUAGES

HELP = gettext_lazy("Hold the phone square to it, close, without glare. The photo is read and not kept.")


class TagPhotoForm(forms.Form):
    """One photo."""

    photo = forms.FileField(
        label=gettext_lazy("Photo of the square on its tag"),
        help_text=HELP,
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp", "capture": "environment"}),
    )


def by_tag(request: HttpRequest) -> HttpResponse:
    """Take a photo of a tag; the machine it hangs on is asked for again."""
    form = TagPhotoForm(request.POST, request.FILES) if request.method == "POST" else TagPhotoForm()
    if form.is_valid():
        try:
            texts = squares_on(form.cleaned_data["photo"].read())
        except InputError as fault:
            form.add_error("photo", fault_words(fault, preferences_of(request).decimal_mark))
        else:
            machine = machine_of(texts)
            if machine is not None:
                return redirect("bench:again", machine.pk)
            form.add_error("photo", _why_not(texts))
    return render(request, "bench/jobs/by_tag.html", {"form": form}, status=422 if form.errors else 200)


def machine_of(texts: Iterable[str]) -> MachineRecord | None:
    """The machine of the first square that speaks of one on this shelf."""
    for text in texts:
        for record in _jobs(text):
            if record.machine is not None:
                return record.machine
    return None


def _jobs(text: str) -> Iterator[JobRecord]:
    """Jobs a square may mean: by the address of its record, else by number where the machine has that name, too."""
    kept = JobRecord.objects.select_related("machine")
    if record := _opened(text):
        yield from kept.filter(pk=record)
    lines = text.split("\n")
    for number in _numbers(lines[1:]):
        yield from kept.filter(number=number, machine__name=lines[0])


def _opened(text: str) -> UUID | None:
    """The record whose address a square holds, whatever the bench was called when the tag was printed."""
    try:
        found = resolve(urlsplit(text).path)
    except (ValueError, Resolver404):  # no address, or none of a page here
        return None
    record: UUID | None = found.kwargs.get("record") if found.view_name == "bench:tag" else None
    return record


def _numbers(lines: list[str]) -> Iterator[int]:
    for language in LANGUAGES:
        said = re.escape(paper_voice(language).say("job.number", number="#")).replace("\\#", "([0-9]{1,9})")
        yield from (int(found[1]) for line in lines if (found := re.fullmatch(said, line)))


def _why_not(texts: tuple[str, ...]) -> str:
    return str(
        gettext_lazy(
            "Its square was read, but speaks of no machine on this shelf: find it by name or serial number."
        )
        if texts
        else gettext_lazy("No square could be read on it: go closer, hold still, keep glare and folds off.")
    )
