"""Coming in and going out."""

from django.conf import settings
from django.contrib import auth
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext, gettext_noop
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from snath.shop.records.people import Person
from snath.shop.records.staff import set_password
from snath.shop.records.store import audit
from snath.shop.site.access import open_to_all, person_of, readers_may_post
from snath.shop.site.people.attempts import succeeded, try_once
from snath.shop.site.people.forms import LoginForm, OwnPassword


@open_to_all
@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
def login(request: HttpRequest) -> HttpResponse:
    """Ask for name and password; say the same whatever of the two was wrong."""
    form = LoginForm(request.POST or None)
    status = 200
    if request.method == "POST" and form.is_valid():
        name, password = form.cleaned_data["name"], form.cleaned_data["password"]
        taken = try_once(request, name)
        if taken is None:
            form.add_error(
                None, gettext("Too many wrong passwords. Wait a quarter of an hour, or ask the owner.")
            )
            status = 429
        else:
            person = auth.authenticate(request, username=name, password=password)
            if isinstance(person, Person):
                succeeded(taken)
                auth.login(request, person)
                audit(person, gettext_noop("logged in"))
                return HttpResponseRedirect(_next(request))
            form.add_error(None, gettext("Name or password is wrong."))
    return render(request, "people/login.html", {"form": form, "next": _next(request)}, status=status)


def _next(request: HttpRequest) -> str:
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    allowed = url_has_allowed_host_and_scheme(wanted, allowed_hosts=None, require_https=request.is_secure())
    return wanted if allowed else settings.LOGIN_REDIRECT_URL


@readers_may_post
@require_POST
def logout(request: HttpRequest) -> HttpResponse:
    """End this session."""
    person = person_of(request)
    if person:
        audit(person, gettext_noop("logged out"))
    auth.logout(request)
    return HttpResponseRedirect(settings.LOGIN_REDIRECT_URL)


@readers_may_post
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def own_password(request: HttpRequest) -> HttpResponse:
    """Let somebody who is logged in choose another password."""
    person = person_of(request)
    form = OwnPassword(request.POST or None)
    if request.method == "POST" and person and form.is_valid():
        taken = try_once(request, person.name)
        if taken is None:
            form.add_error("now", gettext("Too many wrong passwords. Wait a quarter of an hour."))
        elif person.check_password(form.cleaned_data["now"]):
            succeeded(taken)
            set_password(person, form.cleaned_data["password"], person)
            auth.update_session_auth_hash(request, person)
            return render(request, "people/own_password.html", {"done": True})
        else:
            form.add_error("now", gettext("This is not the password you came in with."))
    return render(request, "people/own_password.html", {"form": form, "done": False})
