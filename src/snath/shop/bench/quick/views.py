"""The quick ask: a blade and its drive in, the highest engine speed out, at once and without an account."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext

from snath.decisions.machine.taken import taken_notes
from snath.decisions.quick import QuickAnswer
from snath.quantities.errors import InputError, InputErrors
from snath.rules.book import Rule
from snath.shop.bench import show
from snath.shop.bench.fields import plainly
from snath.shop.bench.preferences import DecimalMark, Preferences, preferences_of
from snath.shop.bench.quick.forms import AskForm
from snath.shop.bench.quick.question import answer_to, box_of
from snath.shop.bench.rulebook import shop_book, standing_words
from snath.shop.bench.shelf.first_start import is_new
from snath.shop.bench.shelf.forms import MARKET_WORDS
from snath.shop.bench.words import said
from snath.shop.records.store import shop_settings
from snath.shop.site.access import open_to_all


@dataclass(frozen=True, slots=True)
class Shown:
    """A quick answer as the page prints it."""

    ceiling: show.Shown | None
    understood: list[tuple[str, str]]
    limit: str
    rule_source: str
    standing: str
    choose: str
    working: list[str]
    taken: list[str]
    job_url: str


@open_to_all
def ask(request: HttpRequest) -> HttpResponse:
    """One page: the question, and under it the answer; htmx asks for the answer alone."""
    preferences = preferences_of(request)
    book = shop_book()
    form = AskForm(
        request.GET if "blade" in request.GET else None,
        preferences=preferences,
        rules=rule_choices(book, preferences.decimal_mark),
    )
    answer = None
    settings = shop_settings()
    if form.is_bound and form.is_valid():
        market = settings.market
        try:
            answer = shown(
                answer_to(form, book, market=market), form, preferences, market, request.GET.urlencode()
            )
        except (InputError, InputErrors) as found:
            for fault in found.faults:
                form.add_error(box_of(fault.field), plainly(fault, preferences.decimal_mark))
    whole = request.headers.get("HX-Request") != "true"
    template = "bench/ask.html" if whole else "bench/ask_answer.html"
    new_shop = not form.is_bound and is_new(settings)
    context = {"form": form, "answer": answer, "whole": whole, "new_shop": new_shop}
    return render(request, template, context)


def rule_choices(book: tuple[Rule, ...], mark: DecimalMark) -> list[tuple[str, str]]:
    """Every row that limits a blade's tip speed; nothing chosen leaves it to machine and market."""
    rows = [rule for rule in book if rule.kind == "surface speed" and "blade" in rule.scope.members]
    return [
        ("", gettext("the strictest in force here")),
        *((rule.id, f"{said(rule.printed, mark)}: {said(rule.source)}") for rule in rows),
    ]


def shown(answer: QuickAnswer, form: AskForm, preferences: Preferences, market: str, query: str) -> Shown:
    """The answer in this person's words and units."""
    window, rule = answer.window, answer.rule
    binding = next(
        b for b in window.bounds if b.worst and b.side == "ceiling" and b.rule == window.binding_rule
    )
    return Shown(
        ceiling=show.speed(window.ceiling, preferences, round="down"),
        understood=form.understood,
        limit=gettext("The blade's tips: at most %(surface)s.")
        % {"surface": show.surface(binding.limit, preferences)},
        rule_source=said(rule.source),
        standing=standing_words(rule.standing),
        choose=_how_to_choose(market, form.cleaned_data.get("rule", "")),
        working=[said(line, preferences) for line in binding.working],
        taken=[said(note, preferences) for note in taken_notes(answer.machine)],
        job_url=f"{reverse('bench:new-machine')}?{query}",
    )


def _how_to_choose(market: str, chosen: str) -> str:
    if chosen:
        return gettext("You chose this rule; leave it open and the strictest in force is used.")
    if market:
        return gettext("The strictest in force for the market %(market)s. Another: “By another rule?”.") % {
            "market": MARKET_WORDS.get(market, market)
        }
    return gettext(
        "No market is set for this shop, so the strictest rule in force is used. The owner sets it once "
        "(%(markets)s) under Shelf; another rule for this ask: “By another rule?”."
    ) % {"markets": ", ".join(map(str, MARKET_WORDS.values()))}
