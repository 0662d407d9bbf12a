"""What every page of the bench shows round its work, without the page having to ask for it."""

from typing import Any

from django import template
from django.conf import settings
from django.http import HttpRequest

from snath.shop.bench.frame import Task, cautions, tasks_of
from snath.shop.bench.liking import Liking, liking_of
from snath.shop.site.access import person_of

register = template.Library()


@register.simple_tag(takes_context=True)
def how_liked(context: template.Context) -> Liking:
    """How the person who asked for this page likes it."""
    return liking_of(_request(context))


@register.simple_tag(takes_context=True)
def shop_tasks(context: template.Context) -> tuple[Task, ...]:
    """The shop tasks, the one at hand marked."""
    return tasks_of(_request(context).path)


@register.simple_tag(takes_context=True)
def who_is_here(context: template.Context) -> str:
    """The name of whoever is logged in; empty where nobody has to."""
    person = person_of(_request(context)) if settings.LAN else None
    return person.name if person else ""


@register.inclusion_tag("bench/care.html")
def care(*moments: str, heading: str = "", first: int = 99) -> dict[str, Any]:
    """The usual cautions of one or several moments of the work; with `first` the others are tucked away."""
    said = cautions()
    lines = [line for moment in moments for line in said[moment]]
    return {"heading": heading, "lines": lines[:first], "more": lines[first:]}


@register.filter
def unlocalize_at(seconds: float) -> str:
    """A moment as a script reads it: seconds with a point, in any language."""
    return f"{seconds:.3f}"


def _request(context: template.Context) -> HttpRequest:
    request = context["request"]
    assert isinstance(request, HttpRequest)
    return request
