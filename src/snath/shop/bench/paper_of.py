"""Which paper, whose words, and how a PDF leaves the bench."""

from django.http import HttpRequest, HttpResponse

from snath.shop.bench.pictured import voice_of
from snath.shop.bench.preferences import preferences_of
from snath.shop.paper.facts import SheetFacts
from snath.shop.pictures.voice import Voice
from snath.shop.records.models import ShopSettings

PAPERS = {"letter": "us-letter", "a4": "a4"}


def paper_asked(request: HttpRequest, shop: ShopSettings) -> str:
    """The paper asked for, else the shop's own."""
    asked = request.GET.get("paper", "")
    return asked if asked in PAPERS.values() else PAPERS[shop.paper]


def voice_asked(request: HttpRequest) -> Voice:
    """The voice of the person who prints."""
    return voice_of(preferences_of(request))


def shop_facts(shop: ShopSettings, printed_on: str) -> SheetFacts:
    """The head of a sheet that belongs to no job."""
    return SheetFacts(shop=shop.name, shop_lines=address_lines(shop), printed_on=printed_on)


def address_lines(shop: ShopSettings) -> tuple[str, ...]:
    """The shop's address as paper prints it."""
    return tuple(line for line in shop.address.splitlines() if line.strip())


def pdf(content: bytes, name: str) -> HttpResponse:
    """A PDF that opens in the page's place."""
    return attached(content, f"{name}.pdf", "application/pdf", inline=True)


def attached(content: bytes, name: str, media: str, *, inline: bool = False) -> HttpResponse:
    """A file by that name; names are made of our own words and numbers only."""
    response = HttpResponse(content, content_type=media)
    response["Content-Disposition"] = f'{"inline" if inline else "attachment"}; filename="{name}"'
    return response
