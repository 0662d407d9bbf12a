"""The mechanic's part of the manual in the reader's language, printed into the package: no generator is needed here."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import get_language

from snath.shop.bench.help.pages import CONTENTS, PAGES
from snath.shop.site.access import open_to_all
from snath.words.render import locale_for


@open_to_all
def help_page(request: HttpRequest, page: str = CONTENTS) -> HttpResponse:
    """One page, or the list of them."""
    if page not in (CONTENTS, *PAGES):
        raise Http404
    language = locale_for(get_language() or "en").language
    return render(
        request,
        "bench/help/page.html",
        {"printed": f"bench/help/{language}/{page}.html", "within": page != CONTENTS},
    )
