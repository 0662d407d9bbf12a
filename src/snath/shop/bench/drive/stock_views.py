"""The page on which pulleys and belts get their sizes."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext, ngettext

from snath.shop.bench.drafts import draft_of, fill
from snath.shop.bench.drive.stock_form import StockTablesForm
from snath.shop.bench.drive.stock_rows import put_on_shelf
from snath.shop.bench.jobs.saving import saved
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.words import said

FAULTS_SHOWN = 50


def stock_tables(request: HttpRequest) -> HttpResponse:
    """Good rows are kept at once; rows that cannot be read are named and stay in the box."""
    draft = draft_of(request, "stock:tables")
    form = StockTablesForm(request.POST or None, request.FILES or None, preferences=preferences_of(request))
    if request.method != "POST":
        fill(form, draft)
    elif (stock := form.stock()) is not None:
        count = put_on_shelf(stock)
        told = ngettext("%(n)d row is on the shelf.", "%(n)d rows are on the shelf.", count) % {"n": count}
        messages.success(request, told)
        for remark in stock.remarks:
            messages.warning(request, said(remark))
        if not stock.faults:
            return redirect(saved(reverse("bench:stock-tables"), draft))
        for fault in stock.faults[:FAULTS_SHOWN]:
            form.name_fault(fault)
        if len(stock.faults) > FAULTS_SHOWN:
            form.add_error(None, gettext("More rows could not be read; mend these first."))
    kept = request.GET.get("kept", "")[:120]
    context = {"form": form, "draft_key": draft.key, "draft_at": draft.at, "kept": kept}
    return render(request, "bench/drive/stock_tables.html", context, status=422 if form.errors else 200)
