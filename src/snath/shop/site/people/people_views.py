"""The owner's pages: who works here, with what rights, and who did what."""

from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from snath.quantities.errors import InputError
from snath.shop.records.log import KEPT
from snath.shop.records.people import AuditEntry, Kind, Person, Role
from snath.shop.records.staff import add_person, change_person, set_password
from snath.shop.site.access import known_person, owner_only
from snath.shop.site.locale import locale_here
from snath.shop.site.people.forms import NewPassword, PersonForm, RoleForm
from snath.words.render import say

A_PAGE = 100


@owner_only
@require_safe
def people(request: HttpRequest) -> HttpResponse:
    """Everybody and every paired phone."""
    listed = Person.objects.exclude(kind=Kind.LOCAL).order_by("-is_active", "kind", "name")
    return render(request, "people/people.html", {"people": listed})


@owner_only
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    """Somebody new."""
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        entered = form.cleaned_data
        try:
            add_person(entered["name"], Role(entered["role"]), entered["password"], known_person(request))
            return redirect("people")
        except InputError as fault:
            form.add_error("name", say(fault.allowed, locale_here()))
    return render(request, "people/form.html", {"form": form, "title": gettext("Somebody new")})


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def person(request: HttpRequest, key: UUID) -> HttpResponse:
    """Another role for somebody, or the door."""
    listed = get_object_or_404(Person.objects.exclude(kind=Kind.LOCAL), pk=key)
    form = RoleForm(request.POST or None, initial={"role": listed.role})
    if request.method == "POST" and form.is_valid():
        try:
            change_person(
                listed,
                known_person(request),
                role=Role(form.cleaned_data["role"]),
                active="away" not in request.POST,
            )
            messages.success(request, gettext("Kept."))
            return redirect("people")
        except InputError as fault:
            form.add_error("role", say(fault.allowed, locale_here()))
    return render(request, "people/person.html", {"form": form, "listed": listed})


@owner_only
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def password(request: HttpRequest, key: UUID) -> HttpResponse:
    """A new password for somebody who forgot theirs."""
    listed = get_object_or_404(Person, pk=key, kind=Kind.LOGIN)
    form = NewPassword(request.POST or None)
    if request.method == "POST" and form.is_valid():
        set_password(listed, form.cleaned_data["password"], known_person(request))
        messages.success(request, gettext("Kept."))
        return redirect("people")
    return render(request, "people/form.html", {"form": form, "title": listed.name})


@owner_only
@require_safe
def log(request: HttpRequest) -> HttpResponse:
    """Who did what and when, the newest first."""
    page = Paginator(AuditEntry.objects.exclude(did=KEPT).order_by("-at", "-pk"), A_PAGE).get_page(
        request.GET.get("page")
    )
    rows = [(entry, _told(entry)) for entry in page]
    return render(request, "people/log.html", {"page": page, "rows": rows})


def _told(entry: AuditEntry) -> str:
    """What it was done to; the version of a job in the reader's language."""
    job, between, version = entry.what.partition(" version ")
    return (
        gettext("%(job)s version %(version)s") % {"job": job, "version": version} if between else entry.what
    )
