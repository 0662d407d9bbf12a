"""What a new shop is asked once: who it is, where its machines run, and which tachometer hangs on the wall."""

from typing import Any

from django import forms
from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, gettext_lazy, gettext_noop

from snath.shop.bench.fields import ShopForm
from snath.shop.bench.preferences import preferences_of
from snath.shop.bench.shelf.forms import markets_offered
from snath.shop.bench.shelf.tachometer import TachometerFields, shelved
from snath.shop.records.models import Person, ShopSettings
from snath.shop.records.store import audit, shop_settings
from snath.shop.site.access import owner_only

# What a place names itself by, and the paper it prints on: the rest of the world has A4.
LETTER_MARKETS = ("US", "US/California", "US/Washington", "CA")


class FirstStartForm(TachometerFields, ShopForm):
    """Three questions; each may be left for later."""

    name = forms.CharField(label=gettext_lazy("The shop's name"), max_length=80, required=False)
    address = forms.CharField(
        label=gettext_lazy("Address and telephone, for the letterhead"),
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    market = forms.ChoiceField(
        label=gettext_lazy("Where are the machines used?"),
        required=False,
        choices=[
            *markets_offered(),
            ("", gettext_lazy("not said: the strictest rule of any")),
        ],
        widget=forms.RadioSelect,
    )
    units = forms.ChoiceField(
        label=gettext_lazy("Lengths are typed in"),
        choices=[("inch", gettext_lazy("inches")), ("metric", gettext_lazy("millimetres"))],
        widget=forms.RadioSelect,
    )

    @property
    def questions(self) -> list[tuple[Any, list[forms.BoundField]]]:
        """The three, each with its boxes."""
        return [
            (gettext("Who are you?"), [self["name"], self["address"]]),
            (gettext("Which rules and units?"), [self["market"], self["units"]]),
            (gettext("Which tachometer?"), [self["tach_kind"], self["tach_accuracy"]]),
        ]


def is_new(settings: ShopSettings) -> bool:
    """Whether nobody has answered anything yet."""
    return not (settings.name or settings.market or settings.units)


@owner_only
def first_start(request: HttpRequest) -> HttpResponse:
    """The page; what was left empty stays as it is."""
    preferences, settings = preferences_of(request), shop_settings()
    before = {
        "name": settings.name,
        "address": settings.address,
        "market": settings.market,
        "units": settings.units or preferences.units,
        "tach_kind": "",
    }
    form = FirstStartForm(request.POST or None, preferences=preferences, initial=before)
    if request.method == "POST" and form.is_valid():
        _keep(request, form, settings)
        messages.success(request, gettext("Kept. Anything can be changed later, on the shelf."))
        answer = redirect("bench:today")
        answer.delete_cookie("snath_units")  # from now on the shop's unit counts here, too
        return answer
    return render(request, "bench/shelf/first_start.html", {"form": form}, status=422 if form.errors else 200)


@transaction.atomic
def _keep(request: HttpRequest, form: FirstStartForm, settings: ShopSettings) -> None:
    who, given = request.user, form.cleaned_data
    assert isinstance(who, Person)
    if not settings.market and given["market"]:
        settings.paper = "letter" if given["market"] in LETTER_MARKETS else "a4"
    settings.name, settings.address = given["name"], given["address"]
    settings.market, settings.units = given["market"], given["units"]
    settings.save()
    shelved(form)
    audit(who, gettext_noop("changed the shop's settings"))
