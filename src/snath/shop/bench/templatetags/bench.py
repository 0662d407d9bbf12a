"""What every page of the bench shows round its work, without the page having to ask for it."""

from typing import Any

from django import template
from django.conf import settings
from django.http import HttpRequest
from django.template.base import NodeList, Parser, Token
from django.utils.safestring import SafeString

from snath.shop.bench.frame import Task, cautions, help_at, tasks_of
from snath.shop.bench.liking import Liking, liking_of
from snath.shop.site.access import person_of
from snath.shop.site.backups import backup_warning

register = template.Library()
TOKEN = "csrfmiddlewaretoken"


@register.simple_tag(takes_context=True)
def how_liked(context: template.Context) -> Liking:
    """How the person who asked for this page likes it."""
    return liking_of(_request(context))


@register.simple_tag(takes_context=True)
def shop_tasks(context: template.Context) -> tuple[Task, ...]:
    """The shop tasks, the one at hand marked."""
    return tasks_of(_request(context).path)


@register.simple_tag(takes_context=True)
def help_here(context: template.Context) -> str:
    """Address of the page of the manual that belongs to the task at hand; of their list where none does."""
    return help_at(_request(context).path)


@register.simple_tag(takes_context=True)
def who_is_here(context: template.Context) -> str:
    """The name of whoever is logged in; empty where nobody has to."""
    person = person_of(_request(context)) if settings.LAN else None
    return person.name if person else ""


@register.simple_tag(takes_context=True)
def late_backup(context: template.Context) -> str:
    """What the owner should know of the shop's backups; empty for everybody else, and where all is well."""
    said = backup_warning()
    person = person_of(_request(context)) if said else None
    return said if person and person.owns else ""


@register.inclusion_tag("bench/care.html")
def care(*moments: str, heading: str = "", first: int = 99) -> dict[str, Any]:
    """The usual cautions of one or several moments of the work; with `first` the others are tucked away."""
    said = cautions()
    lines = [line for moment in moments for line in said[moment]]
    return {"heading": heading, "lines": lines[:first], "more": lines[first:]}


@register.tag
def kept(parser: Parser, token: Token) -> "KeptPart":
    """`{% kept "name" %}...{% endkept %}`: a part of a job's page, kept with what was worked out (`OpenJob.kept`).

    What stands in it may depend on the job and on how it is liked, and on nothing else: no form, no token, no draft.
    """
    name = token.split_contents()[1].strip('"')
    inside = parser.parse(("endkept",))
    parser.delete_first_token()
    return KeptPart(name, inside)


class KeptPart(template.Node):
    """Renders what stands in it once for each version of a job, language and units."""

    def __init__(self, name: str, inside: NodeList) -> None:
        self.name, self.inside = name, inside

    def render(self, context: template.Context) -> SafeString:
        job, liking = context["job"], liking_of(_request(context))
        text: SafeString = job.kept(f"part {self.name}", liking, lambda: self.inside.render(context))
        if TOKEN in text:
            raise template.TemplateSyntaxError(f"{self.name} holds a form that saves: it cannot be kept")
        return text


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
