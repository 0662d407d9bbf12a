"""Serve the page on which a person sets their preferences."""

from typing import Any

from django import forms
from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext_lazy

from snath.shop.bench.fields import choices_of
from snath.shop.bench.preferences import A_YEAR, preferences_of, remember
from snath.shop.bench.refusals import Refusing
from snath.shop.site.access import open_to_all


class PreferencesForm(Refusing, forms.Form):
    """Language, units, decimal mark and light."""

    use_required_attribute = False

    language = forms.ChoiceField(label=gettext_lazy("Language"), widget=forms.RadioSelect)
    units = forms.ChoiceField(
        label=gettext_lazy("Lengths on screen"),
        choices=[("inch", gettext_lazy("inches")), ("metric", gettext_lazy("millimetres"))],
        widget=forms.RadioSelect,
        help_text=gettext_lazy("Paper shows both."),
    )
    mark = forms.ChoiceField(
        label=gettext_lazy("Decimal mark"),
        choices=[(".", gettext_lazy("point: 3,300.5")), (",", gettext_lazy("comma: 3.300,5"))],
        widget=forms.RadioSelect,
        help_text=gettext_lazy("How you type numbers. Each page says back what it understood."),
    )
    theme = forms.ChoiceField(
        label=gettext_lazy("Light"),
        choices=[
            ("auto", gettext_lazy("as the device has it")),
            ("light", gettext_lazy("light, for the yard in the sun")),
            ("dark", gettext_lazy("dark")),
        ],
        widget=forms.RadioSelect,
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices_of(self, "language", settings.LANGUAGES)


@open_to_all
def preferences(request: HttpRequest) -> HttpResponse:
    """Show and keep the choices; then back to where the person was."""
    back = request.POST.get("back") or request.GET.get("back") or ""
    if not url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        back = reverse("bench:ask")
    now = preferences_of(request)
    form = PreferencesForm(
        request.POST or None,
        initial={"language": now.language, "units": now.units, "mark": now.decimal_mark, "theme": now.theme},
    )
    if request.method == "POST" and form.is_valid():
        response = HttpResponseRedirect(back)
        for name in ("units", "mark", "theme"):
            remember(response, name, form.cleaned_data[name], secure=request.is_secure())
        response.set_cookie(
            settings.LANGUAGE_COOKIE_NAME,
            form.cleaned_data["language"],
            max_age=A_YEAR,
            samesite="Lax",
            secure=request.is_secure(),
        )
        return response
    return render(request, "bench/preferences.html", {"form": form, "back": back, "lan": settings.LAN})
