"""A phone comes in: the owner shows a code, the phone reads it, and is known from then on."""

from datetime import timedelta

import segno
from django.conf import settings
from django.contrib import auth
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from snath.quantities.errors import InputError
from snath.shop.records.pairing import VALID, accept, invite
from snath.shop.records.people import Role
from snath.shop.site.access import known_person, open_to_all, owner_only
from snath.shop.site.certificates import authority, fingerprint
from snath.shop.site.locale import locale_here
from snath.shop.site.people.attempts import succeeded, try_once
from snath.shop.site.people.forms import PhoneForm
from snath.words.render import say

PHONE_STAYS = timedelta(days=30)
PAIRING = "pairing"  # what failed tokens are counted under


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def phone(request: HttpRequest) -> HttpResponse:
    """Name a phone and its role, then show the code it reads within five minutes."""
    form = PhoneForm(request.POST or None)
    code = ""
    if request.method == "POST" and form.is_valid():
        entered = form.cleaned_data
        try:
            token = invite(entered["name"], Role(entered["role"]), known_person(request))
            # The fragment stays in the browser: no server log and no Referer ever sees the token.
            address = request.build_absolute_uri(reverse("pair")) + f"#{token}"
            drawn = segno.make(address, error="m").svg_inline(
                border=4, light="#fff", dark="#000", omitsize=True
            )
            code = mark_safe(drawn)
        except InputError as fault:
            form.add_error("name", say(fault.allowed, locale_here()))
    minutes = VALID // timedelta(minutes=1)
    shown = {"form": form, "code": code, "minutes": minutes, "lan": settings.LAN}
    return render(request, "people/phone.html", shown)


@open_to_all
@require_http_methods(["GET", "HEAD", "POST"])
def pair(request: HttpRequest) -> HttpResponse:
    """Take the token, which the page sends from the address's fragment, and let the phone in."""
    fault = ""
    if request.method == "POST":
        taken = try_once(request, PAIRING)
        if taken is None:
            fault = gettext("Too many wrong codes. Wait a quarter of an hour.")
        else:
            paired = accept(request.POST.get("token", ""))
            if paired:
                succeeded(taken)
                auth.login(request, paired, backend=settings.AUTHENTICATION_BACKENDS[0])
                request.session.set_expiry(PHONE_STAYS)
                return redirect(settings.LOGIN_REDIRECT_URL)
            fault = gettext("This code was used already, or is older than five minutes. Ask for a new one.")
    return render(request, "people/pair.html", {"fault": fault}, status=403 if fault else 200)


@open_to_all
@require_safe
def trust(request: HttpRequest) -> HttpResponse:
    """How a phone comes to trust this shop, with the fingerprint to compare."""
    certificate = authority(settings.FOLDER)
    return render(
        request, "people/trust.html", {"fingerprint": fingerprint(certificate) if certificate else ""}
    )


@open_to_all
@require_safe
def trust_certificate(request: HttpRequest) -> HttpResponse:
    """The certificate itself; without its key it can do nothing but be trusted."""
    del request
    certificate = authority(settings.FOLDER)
    if certificate is None:
        return HttpResponse(status=404)
    return HttpResponse(
        certificate,
        content_type="application/x-x509-ca-cert",
        headers={"Content-Disposition": 'attachment; filename="this-shop.crt"'},
    )
