"""Machines of a fleet taken in from a table: looked at first, every fault at its cell, kept when somebody says so."""

from typing import Any, cast

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, gettext_lazy

from snath.quantities.errors import InputError
from snath.quantities.numbers import DecimalMark
from snath.shop.bench.fields import fault_words
from snath.shop.bench.fleet.kept import take_in
from snath.shop.bench.liking import liking_of
from snath.shop.bench.refusals import Refusing
from snath.shop.bench.words import said
from snath.shop.fleet.columns import COLUMNS, column_of
from snath.shop.fleet.rows import Fleet, columns_of, read_fleet
from snath.shop.fleet.sheets import cells_in
from snath.shop.site.access import known_person
from snath.shop.tables.cells import Cells, mark_of, text_of
from snath.shop.tables.workbook import MOST_PACKED

PREVIEWED, FAULTS_SHOWN, TABLE_MOST = 4, 40, 1_800_000


class FleetForm(Refusing, forms.Form):
    """A table of machines, pasted or as a file, and how its numbers are written."""

    use_required_attribute = False
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
    unit = forms.ChoiceField(
        label=gettext_lazy("A bare size is in"),
        choices=(("in", gettext_lazy("inches")), ("mm", gettext_lazy("millimetres"))),
    )
    mark = forms.ChoiceField(
        label=gettext_lazy("Decimals are written"),
        choices=(("", gettext_lazy("as found")), (".", "1.5"), (",", "1,5")),
        required=False,
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
    """First what was understood, column by column, with every fault at its cell; kept only when somebody says so."""
    liking = liking_of(request)
    unit = "in" if liking.units == "inch" else "mm"
    form = FleetForm(request.POST or None, request.FILES or None, initial={"unit": unit})
    context: dict[str, Any] = {"form": form, "columns": COLUMNS}
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            cells = _cells(
                given["file"], given["table"], given["sheet"], given["mark"] or liking.decimal_mark
            )
            mark = cast(DecimalMark, given["mark"] or mark_of(cells.rows, liking.decimal_mark))
            columns = columns_of(cells)
            fleet = read_fleet(
                cells, columns, name=gettext("the table"), decimal_mark=mark, length=given["unit"]
            )
            text = text_of(cells)
            if len(text) > TABLE_MOST:
                form.add_error("file", gettext("This table is too long: send it in parts."))
            elif request.POST.get("do") == "keep" and fleet.machines:
                new, old = take_in(fleet.machines, known_person(request))
                told = gettext("%(new)d machines are new, %(old)d have a new sheet.")
                messages.success(request, told % {"new": new, "old": old})
                return redirect("bench:fleet")
            else:
                form = FleetForm(initial=given | {"table": text, "sheet": cells.sheet})
                context |= _preview(cells, columns, fleet) | {"form": form}
        except InputError as fault:
            form.add_error("file" if given["file"] else "table", fault_words(fault, liking.decimal_mark))
    return render(request, "bench/fleet/in.html", context, status=422 if form.errors else 200)


def _cells(content: bytes, text: str, sheet: str, mark: DecimalMark) -> Cells:
    found = cells_in(content or text.encode("utf-8", "replace"), decimal_mark=mark)
    return found if content else Cells(found.head, found.rows, found.lines, sheet)


def _preview(cells: Cells, columns: list[str], fleet: Fleet) -> dict[str, Any]:
    heads = [
        {
            "head": cells.head[at] if at < len(cells.head) else "",
            "column": column if column_of(column) else "",
            "cells": [row[at] if at < len(row) else "" for row in cells.rows[:PREVIEWED]],
        }
        for at, column in enumerate(columns)
    ]
    return {
        "heads": heads,
        "good": len(fleet.machines),
        "faults": [said(one.message) for one in fleet.faults[:FAULTS_SHOWN]],
        "left_out": len({one.line for one in fleet.faults}),
        "more": max(len(fleet.faults) - FAULTS_SHOWN, 0),
    }
