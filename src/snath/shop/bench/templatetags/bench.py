"""What every page of the bench shows round its work, without the page having to ask for it.

What is the same on every page of a task, or wherever the same caution stands, is written once for each language.
"""

from functools import lru_cache

from django import template
from django.conf import settings
from django.http import HttpRequest
from django.template.base import FilterExpression, NodeList, Parser, Token
from django.template.loader import render_to_string
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language

from snath.shop.bench.frame import cautions, help_at, task_at, tasks
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.bench.widgets import long_class
from snath.shop.records.people import name_shown
from snath.shop.site.access import needed, person_of, reaches
from snath.shop.site.backups import backup_warning

register = template.Library()
HOLE = "\x00"  # stands for the token; no page holds a zero byte


register.filter("who_shown", name_shown)
register.filter("long_class", long_class)


@register.simple_tag(takes_context=True)
def preferences_here(context: template.Context) -> Preferences:
    """The preferences of the person who asked for this page."""
    return preferences_of(_request(context))


@register.simple_tag(takes_context=True)
def shop_tasks(context: template.Context) -> SafeString:
    """The shop tasks, the one at hand marked."""
    return _tasks(get_language(), task_at(_request(context).path))


@lru_cache
def _tasks(language: str | None, here: str) -> SafeString:
    del language  # it is the one that words come in now
    return render_to_string("bench/tasks.html", {"tasks": tasks(here)})


@register.simple_tag(takes_context=True)
def help_here(context: template.Context) -> str:
    """Address of the page of the manual that belongs to the task at hand; of their list where none does."""
    return help_at(task_at(_request(context).path))


@register.simple_tag(takes_context=True)
def who_is_here(context: template.Context) -> str:
    """The name of whoever is logged in; empty where nobody has to."""
    person = person_of(_request(context)) if settings.LAN else None
    return person.name if person else ""


@register.simple_tag(takes_context=True)
def only_looks(context: template.Context) -> bool:
    """Whether this page takes entries, but none of whoever is logged in: better known before than after typing."""
    request = _request(context)
    person = person_of(request) if settings.LAN else None
    match = request.resolver_match
    return bool(person and match and not reaches(person, needed(match.func, "POST")))


@register.simple_tag(takes_context=True)
def late_backup(context: template.Context) -> str:
    """What the owner should know of the shop's backups; empty for everybody else, and where all is well."""
    said = backup_warning()
    person = person_of(_request(context)) if said else None
    return said if person and person.owns else ""


@register.simple_tag
def care(*moments: str, heading: str = "", first: int = 99) -> SafeString:
    """The usual cautions of one or several moments of the work; with `first` the others are tucked away."""
    return _care(get_language(), moments, heading, first)


@lru_cache
def _care(language: str | None, moments: tuple[str, ...], heading: str, first: int) -> SafeString:
    del language
    said = cautions()
    lines = [line for moment in moments for line in said[moment]]
    return render_to_string(
        "bench/care.html", {"heading": heading, "lines": lines[:first], "more": lines[first:]}
    )


@register.tag
def kept(parser: Parser, token: Token) -> "KeptPart":
    """`{% kept "name" more %}...{% endkept %}`: a part of a job's page, kept with what was worked out (`OpenJob.kept`).

    What stands in it may depend on the job, on how it is liked and on what stands behind its name, and on nothing else:
    no draft, nothing of whoever asks. A form's token is put in each time. Where there is no job yet, or where what
    stands behind its name is None, it is written each time.
    """
    names = [parser.compile_filter(one) for one in token.split_contents()[1:]]
    inside = parser.parse(("endkept",))
    parser.delete_first_token()
    return KeptPart(names, inside)


class KeptPart(template.Node):
    """Renders what stands in it once for each version of a job, language and units."""

    def __init__(self, names: list[FilterExpression], inside: NodeList) -> None:
        self.names, self.inside = names, inside

    def render(self, context: template.Context) -> SafeString:
        job, name = context.get("job"), tuple(one.resolve(context) for one in self.names)
        if job is None or None in name:
            return self.inside.render(context)
        text: SafeString = job.kept(
            ("part", name), preferences_of(_request(context)), lambda: self._without_token(context)
        )
        return mark_safe(text.replace(HOLE, str(context["csrf_token"]))) if HOLE in text else text

    def _without_token(self, context: template.Context) -> SafeString:
        with context.push(csrf_token=HOLE):
            return self.inside.render(context)


@register.tag
def once(parser: Parser, token: Token) -> "OncePart":
    """`{% once %}...{% endonce %}`: a part that is the same on every page, written once for each language."""
    del token
    inside = parser.parse(("endonce",))
    parser.delete_first_token()
    return OncePart(inside)


class OncePart(template.Node):
    """Renders what stands in it without anything of the page, and keeps it."""

    def __init__(self, inside: NodeList) -> None:
        self.written = lru_cache(lambda _: inside.render(template.Context()))

    def render(self, context: template.Context) -> SafeString:
        del context
        return self.written(get_language())


@register.simple_tag(takes_context=True)
def kept_at(context: template.Context, seconds: float) -> str:
    """When the draft in a form was kept, in seconds as a script reads them; "sent" where it answers what was just sent.

    What was just sent is newer than any copy: nothing is put back over it.
    """
    return "sent" if _request(context).method == "POST" else f"{seconds:.3f}"


def _request(context: template.Context) -> HttpRequest:
    request = context["request"]
    assert isinstance(request, HttpRequest)
    return request
