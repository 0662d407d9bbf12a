"""Machines of a fleet taken in from a table: looked at first, every fault at its cell, kept when somebody says so."""

from typing import Any, cast

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.functional import Promise
from django.utils.translation import get_language, gettext, gettext_lazy

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.bench.fields import fault_words
from snath.shop.bench.fleet.kept import take_in
from snath.shop.bench.fleet.replaced import Taking, mark_of_replaced, takings
from snath.shop.bench.pasted import TableForm, chosen_or, columns_shown
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.words import reading
from snath.shop.fleet.columns import COLUMNS, name_of
from snath.shop.fleet.faults import Fleet
from snath.shop.fleet.rows import columns_of, read_fleet
from snath.shop.fleet.sheets import cells_in
from snath.shop.site.access import known_person
from snath.shop.tables.cells import Cells, mark_of, text_of
from snath.shop.tables.workbook import MOST_PACKED
from snath.words.render import Locale, say

FAULTS_SHOWN, REPLACED_SHOWN, TABLE_MOST = 40, 100, 1_800_000


class FleetForm(TableForm):
    """A table of machines, pasted or as a file, and how its numbers are written."""

    field_order = ("file", "table")
    file = forms.FileField(
        label=gettext_lazy("A spreadsheet (.xlsx) or CSV"),
        required=False,
        widget=forms.FileInput(attrs={"accept": ".xlsx,.xlsm,.csv,.tsv,.txt"}),
    )
    table = forms.CharField(
        label=gettext_lazy("or its rows, pasted with their headings"),
        max_length=TABLE_MOST,
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false", "wrap": "off"}),
    )
    # Which sheet of a spreadsheet the rows are of, so that faults name it after the rows became text.
    sheet = forms.CharField(max_length=60, required=False, widget=forms.HiddenInput)

    def clean_file(self) -> bytes:
        sent = self.cleaned_data["file"]
        if sent is None:
            return b""
        if sent.size > MOST_PACKED:
            raise forms.ValidationError(gettext("This file is too large: send it in parts."))
        return bytes(sent.read())


def take(request: HttpRequest) -> HttpResponse:
    """First what was understood and what would be replaced; kept only when somebody who saw that says so."""
    preferences = preferences_of(request)
    unit = "in" if preferences.units == "inch" else "mm"
    form = FleetForm(request.POST or None, request.FILES or None, initial={"unit": unit})
    context: dict[str, Any] = {"form": form, "known": _choices(())}
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            cells = _cells(
                given["file"], given["table"], given["sheet"], given["mark"] or preferences.decimal_mark
            )
            mark = cast(DecimalMark, given["mark"] or mark_of(cells.rows, preferences.decimal_mark))
            guesses = columns_of(cells)
            columns = chosen_or(guesses, request, {*COLUMNS, *guesses}, kind="fleet")
            fleet = read_fleet(
                cells, columns, name=gettext("the table"), decimal_mark=mark, length=given["unit"]
            )
            found, twice = takings(fleet.machines)
            text, seen = text_of(cells), mark_of_replaced(found)
            if len(text) > TABLE_MOST:
                form.add_error("file", gettext("This table is too long: send it in parts."))
            elif request.POST.get("do") == "keep" and found and request.POST.get("seen", "") == seen:
                taken = take_in(found, known_person(request))
                told = gettext(
                    "%(new)d machines are new, %(changed)d have something new, %(same)d are as before."
                )
                messages.success(
                    request, told % {"new": taken.new, "changed": taken.changed, "same": taken.same}
                )
                return redirect("bench:fleet")
            else:
                form = FleetForm(initial=given | {"table": text, "sheet": cells.sheet})
                context |= columns_shown(cells, columns, _choices(guesses), kind="fleet") | {"form": form}
                context |= _faults(fleet, twice, reading(preferences)) | _replaced(found) | {"seen": seen}
        except InputError as fault:
            form.add_error("file" if given["file"] else "table", fault_words(fault, preferences.decimal_mark))
    return render(request, "bench/fleet/in.html", context, status=422 if form.errors else 200)


def _cells(content: bytes, text: str, sheet: str, mark: DecimalMark) -> Cells:
    found = cells_in(content or text.encode("utf-8", "replace"), decimal_mark=mark)
    return found if content else Cells(found.head, found.rows, found.lines, sheet)


def _choices(guesses: tuple[str, ...] | list[str]) -> list[tuple[str, str | Promise]]:
    """What a column may hold: any of ours, and the places of the sheet that its own headings name."""
    places = [one for one in guesses if one and one not in COLUMNS]
    named = [(column, name_of(column, get_language() or "en")) for column in (*COLUMNS, *places)]
    return [("", gettext_lazy("not read")), *named]


def _faults(fleet: Fleet, twice: list[Message], reader: Locale) -> dict[str, Any]:
    told = [*(one.message(reader) for one in fleet.faults), *twice]
    return {
        "faults": [say(one, reader) for one in told[:FAULTS_SHOWN]],
        "left_out": len({one.line for one in fleet.faults}) + len(twice),
        "more": max(len(told) - FAULTS_SHOWN, 0),
    }


def _replaced(found: list[Taking]) -> dict[str, Any]:
    """How many machines are new, and what of the others goes."""
    language = get_language() or "en"
    replacing = [one for one in found if one.replaces]
    shown = [
        {
            "name": f"{one.entry.number} {one.record}".strip(),
            "changes": [
                {"column": name_of(change.column, language), "was": change.was, "now": change.now}
                for change in one.changes
            ],
            "stands": one.stands,
        }
        for one in (*replacing, *(one for one in found if one.stands and not one.replaces))
    ]
    return {
        "good": len(found),
        "new": sum(one.record is None for one in found),
        "changed": sum(bool(one.changes) for one in found),
        "same": sum(one.record is not None and not one.changes for one in found),
        "replacing": len(replacing),
        "replaced": shown[:REPLACED_SHOWN],
        "unshown": max(len(shown) - REPLACED_SHOWN, 0),
    }
