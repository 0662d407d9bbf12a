"""A spreadsheet's rows put on the shelf: pasted, its columns looked at and named, and only then kept."""

from typing import Any, cast

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext_lazy, ngettext

from snath.decisions.drive.stock import Stock
from snath.decisions.drive.stock_csv import read_stock
from snath.quantities.errors import InputError
from snath.quantities.numbers import DecimalMark
from snath.shop.bench.deck.wheels import Hand
from snath.shop.bench.drafts import draft_of, fill
from snath.shop.bench.drive.stock_rows import Typed, next_number, put_on_shelf
from snath.shop.bench.fields import fault_words
from snath.shop.bench.jobs.saving import saved
from snath.shop.bench.pasted import TableForm, chosen_or, columns_shown
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.stock.paste import (
    COLUMNS,
    MOST_ROWS,
    NAMES,
    as_csv,
    guessed,
    own_table,
    pasted,
)
from snath.shop.bench.words import said
from snath.shop.tables.cells import Cells, mark_of

FAULTS_SHOWN, TABLE_MOST = 20, 400_000


class PasteForm(TableForm):
    """What is pasted, and how its numbers are written."""

    kind = forms.ChoiceField(
        label=gettext_lazy("These are"),
        choices=(("sheaves", gettext_lazy("pulleys")), ("belts", gettext_lazy("belts"))),
        widget=forms.RadioSelect,
        initial="sheaves",
    )
    table = forms.CharField(
        label=gettext_lazy("Paste the rows here, as they are copied out of the spreadsheet"),
        max_length=TABLE_MOST,
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false", "wrap": "off"}),
        help_text=gettext_lazy("With or without a line of headings; parted by tabs, semicolons or commas."),
        strip=False,
    )
    field_order = ("kind", "table")


def paste(request: HttpRequest) -> HttpResponse:
    """First what was understood of the rows, column by column; kept only when somebody says so."""
    preferences = preferences_of(request)
    draft = draft_of(request, "stock:paste")
    unit = "in" if preferences.units == "inch" else "mm"
    form = PasteForm(request.POST or None, initial={"unit": unit})
    context: dict[str, Any] = {
        "form": form,
        "draft_key": draft.key,
        "draft_at": draft.at,
    }
    if request.method != "POST":
        fill(form, draft)
        return render(request, "bench/stock/paste.html", context)
    if form.is_valid():
        given = form.cleaned_data
        table = pasted(given["table"], given["kind"])
        hand = Hand(
            cast(DecimalMark, given["mark"] or mark_of(table.rows, preferences.decimal_mark)), given["unit"]
        )
        columns = chosen_or(
            guessed(table, given["kind"], hand), request, COLUMNS[given["kind"]], kind=given["kind"]
        )
        rows = own_table(table, columns, hand, int(next_number()))
        stock, faults = _read(rows, given["kind"], hand)
        if len(table.rows) > MOST_ROWS:
            form.add_error("table", gettext_lazy("This table is too long: paste it in parts."))
        elif request.POST.get("do") == "keep" and stock is not None and stock.items:
            typed = Typed({row["number"]: row for row in rows}, hand.mark)
            count = put_on_shelf(stock, typed)
            told = ngettext("%(n)d row is on the shelf.", "%(n)d rows are on the shelf.", count) % {
                "n": count
            }
            messages.success(request, told)
            for remark in stock.remarks:
                messages.warning(request, said(remark))
            for words in faults[:FAULTS_SHOWN]:
                messages.warning(request, words)
            return redirect(saved(reverse("bench:stock"), draft))
        context |= _preview(table, columns, given["kind"], stock, faults)
    return render(request, "bench/stock/paste.html", context, status=422 if form.errors else 200)


def _read(rows: list[dict[str, str]], kind: str, hand: Hand) -> tuple[Stock | None, list[str]]:
    """The rows through the reader every table goes through, and what it says of those that it cannot use."""
    tables = {"sheaves": "", "belts": "", kind: as_csv(rows, kind)}
    try:
        stock = read_stock(**tables, decimal_mark=hand.mark)
    except InputError as fault:
        return None, [fault_words(fault, hand.mark)]
    faults = [
        f"{rows[one.line - 2]['number'] if one.line - 2 < len(rows) else one.line}, "
        f"{NAMES.get(one.fault.field, one.fault.field)}: {fault_words(one.fault, hand.mark)}"
        for one in stock.faults
    ]
    return stock, faults


def _preview(
    table: Cells,
    columns: list[str],
    kind: str,
    stock: Stock | None,
    faults: list[str],
) -> dict[str, Any]:
    choices = [(column, NAMES[column]) for column in ("", *COLUMNS[kind])]
    return columns_shown(table, columns, choices, kind=kind) | {
        "good": len(stock.items) if stock else 0,
        "faults": faults[:FAULTS_SHOWN],
        "left_out": len(faults),
        "more": max(len(faults) - FAULTS_SHOWN, 0),
    }
