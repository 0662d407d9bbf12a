"""Paper that belongs to the shop: the wall chart, labels for instruments, the list of their checks."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext_lazy

from snath.decisions.job.program import PROGRAM
from snath.quantities.errors import InputError
from snath.shop.bench.fields import QuantityField, ShopForm, fault_words
from snath.shop.bench.paper_of import paper_asked, pdf, shop_facts, voice_asked
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.rulebook import shop_book
from snath.shop.bench.shelf.instruments import shop_instruments
from snath.shop.paper.instruments import Check, CheckedInstrument, calibration_list, instrument_labels
from snath.shop.paper.wall_chart import chart_rows, sizes_between, wall_chart
from snath.shop.records.instrument_checks import instrument_of
from snath.shop.records.models import InstrumentCheck, InstrumentRecord
from snath.shop.records.store import shop_settings


class ChartForm(ShopForm):
    """Which blades go on the wall."""

    smallest = QuantityField("length", label=gettext_lazy("From blade length"))
    largest = QuantityField("length", label=gettext_lazy("to blade length"))
    step = QuantityField("length", label=gettext_lazy("in steps of"))
    width = QuantityField(
        "length",
        label=gettext_lazy("Blade width"),
        required=False,
        help_text=gettext_lazy("Only for bars with square ends, measured square across."),
    )


def chart(request: HttpRequest) -> HttpResponse:
    """Ask for the sizes, then print the chart."""
    preferences = preferences_of(request)
    usual = {"smallest": "16 in", "largest": "30 in", "step": "1 in"}
    metric = {"smallest": "400 mm", "largest": "760 mm", "step": "20 mm"}
    initial = usual if preferences.units == "inch" else metric
    form = ChartForm(
        request.GET if "smallest" in request.GET else None, preferences=preferences, initial=initial
    )
    if form.is_bound and form.is_valid():
        try:
            return _chart(request, form.cleaned_data)
        except InputError as fault:
            form.add_error("largest", fault_words(fault, preferences.decimal_mark))
    return render(request, "bench/shelf/chart.html", {"form": form}, status=422 if form.errors else 200)


def _chart(request: HttpRequest, given: dict[str, Any]) -> HttpResponse:
    shop = shop_settings()
    sizes = sizes_between(*(given[name].measured.value for name in ("smallest", "largest", "step")))
    width = given["width"].measured.value if given["width"] else None
    rows = chart_rows(sizes, shop_book(), width=width, market=shop.market)
    content = wall_chart(
        rows,
        width=width,
        facts=shop_facts(shop, timezone.localdate().isoformat()),
        paper=paper_asked(request, shop),
        voice=voice_asked(request),
        program=PROGRAM,
    )
    return pdf(content, "wall-chart")


def labels(request: HttpRequest) -> HttpResponse:
    """A label for every instrument in use."""
    shop, today = shop_settings(), timezone.localdate().isoformat()
    content = instrument_labels(
        shop_instruments(),
        facts=shop_facts(shop, today),
        on=today,
        paper=paper_asked(request, shop),
        voice=voice_asked(request),
    )
    return pdf(content, "instrument-labels")


def checks(request: HttpRequest) -> HttpResponse:
    """Every instrument in use with its checks, for an inspector."""
    shop, today = shop_settings(), timezone.localdate().isoformat()
    rows = InstrumentRecord.objects.filter(retired=False).order_by("name").prefetch_related("checks")
    content = calibration_list(
        [CheckedInstrument(instrument_of(row), _newest_first(row.checks.all())) for row in rows],
        facts=shop_facts(shop, today),
        on=today,
        paper=paper_asked(request, shop),
        voice=voice_asked(request),
    )
    return pdf(content, "instrument-checks")


def _newest_first(checks: Any) -> tuple[Check, ...]:
    rows: list[InstrumentCheck] = sorted(checks, key=lambda check: check.on, reverse=True)
    return tuple(
        Check(row.on.isoformat(), row.reference, row.read_rev_s, row.reference_rev_s, row.drift, row.who)
        for row in rows
    )
