"""Let the owner make keys for other programs, see them, and withdraw them."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.http import require_http_methods

from snath.quantities.errors import InputError
from snath.shop.bench.refusals import WholeField
from snath.shop.records.api_keys import ApiKey, Scope
from snath.shop.records.keys import LONGEST_DAYS, make_key, withdraw_key
from snath.shop.records.people import Kind, Person, name_shown
from snath.shop.site.access import known_person, owner_only
from snath.shop.site.api.addresses import ROOT
from snath.shop.site.locale import locale_here
from snath.shop.site.people.forms import Plain
from snath.words.render import say

SCOPES = (
    (Scope.WORK.value, gettext_lazy("work something out, see no records")),
    (Scope.READ.value, gettext_lazy("also list jobs and machines")),
    (Scope.MAKE.value, gettext_lazy("also open jobs")),
)


class WhoField(forms.ModelChoiceField):  # type: ignore[type-arg]
    """Somebody of those who work here, by name."""

    def label_from_instance(self, obj: Any) -> str:
        """The name as pages show it."""
        return name_shown(obj.name)


class KeyForm(Plain):
    """What a key is for, for whom it asks, what it may do, and how long."""

    name = forms.CharField(label=gettext_lazy("Which program it is for"), max_length=60)
    person = WhoField(
        label=gettext_lazy("For whom it asks"), queryset=Person.objects.none(), empty_label=None
    )
    scope = forms.ChoiceField(label=gettext_lazy("It may"), choices=SCOPES)
    days = WholeField(
        label=gettext_lazy("For how many days"), min_value=1, max_value=LONGEST_DAYS, initial=90
    )


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def keys(request: HttpRequest) -> HttpResponse:
    """Every key; a new one is shown on the page that answers, once."""
    who = known_person(request)
    form, shown = KeyForm(request.POST or None), ""
    people = Person.objects.filter(is_active=True).exclude(kind=Kind.PHONE).order_by("name")
    form.fields["person"].queryset = people  # type: ignore[attr-defined]
    if request.method == "POST" and form.is_valid():
        asked = form.cleaned_data
        try:
            _, shown = make_key(asked["person"], asked["name"], Scope(asked["scope"]), asked["days"], who)
            form = KeyForm()
            form.fields["person"].queryset = people  # type: ignore[attr-defined]
        except InputError as fault:
            form.add_error(fault.field, say(fault.allowed, locale_here()))
    may = dict(SCOPES)
    listed = [(key, may[key.scope]) for key in ApiKey.objects.select_related("person").order_by("-made_at")]
    address = request.build_absolute_uri(ROOT)
    context = {"form": form, "shown": shown, "keys": listed, "address": address}
    return render(request, "people/keys.html", context, status=422 if form.errors else 200)


@owner_only
@require_http_methods(["POST"])
def withdraw(request: HttpRequest, key: str) -> HttpResponse:
    """End one for good."""
    withdraw_key(get_object_or_404(ApiKey.objects.select_related("person"), pk=key), known_person(request))
    messages.success(request, gettext("It is withdrawn: whoever has it is let in no more."))
    return redirect("keys")
