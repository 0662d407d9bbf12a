"""The rules in force, with where each is from and how far it is known; the shop's own rows; the shop itself."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext, gettext_noop

from snath.quantities.errors import InputError, InputErrors
from snath.rules.book import Rule
from snath.rules.load import shipped_rules, with_shop_rules
from snath.shop.bench.fields import plainly
from snath.shop.bench.preferences import DecimalMark, preferences_of
from snath.shop.bench.rulebook import shop_book, standing_word, standing_words
from snath.shop.bench.shelf.forms import MARKET_WORDS, RuleForm, ShopSettingsForm
from snath.shop.bench.words import said
from snath.shop.records.models import Person, ShopRule
from snath.shop.records.store import audit, shop_settings
from snath.shop.site.access import owner_only

EXAMPLE = """[[rule]]
id       = "shop-blade-tip-speed"
limits   = "blade tip speed"
kind     = "surface speed"
at_most  = "18,500 ft/min"
scope    = { members = ["blade"] }
source   = "written by the owner"
"""


def rules(request: HttpRequest) -> HttpResponse:
    """The whole book, what binds first."""
    book, mark = shop_book(), preferences_of(request).decimal_mark
    context = {
        "binding": _by_part([rule for rule in book if rule.binds], mark),
        "explaining": [_row(rule, mark) for rule in book if not rule.binds],
        "market": MARKET_WORDS.get(shop_settings().market, ""),
    }
    return render(request, "bench/shelf/rules.html", context)


def _by_part(rules: list[Rule], mark: DecimalMark) -> list[tuple[str, list[dict[str, object]]]]:
    """Rules under the part they are for: somebody with a mower does not scroll past those of generators."""
    parts: dict[tuple[str, ...], list[Rule]] = {}
    for rule in rules:
        parts.setdefault(rule.scope.members, []).append(rule)
    return [
        (", ".join(said(part) for part in names) or gettext("any part"), [_row(rule, mark) for rule in group])
        for names, group in parts.items()
    ]


def _row(rule: Rule, mark: DecimalMark) -> dict[str, object]:
    scope = rule.scope
    words = (*scope.machines, *scope.members, *scope.uses, *scope.markets, *scope.classes)
    return {
        "rule": rule,
        "limits": said(rule.limits, mark),
        "printed": said(rule.printed, mark),
        "source": said(rule.source),
        "note": said(rule.note, mark),
        "edition": said(rule.edition),
        "standing": standing_word(rule.standing),
        "standing_words": standing_words(rule.standing),
        "scope": ", ".join(said(word) for word in words),
    }


@owner_only
def own_rule(request: HttpRequest) -> HttpResponse:
    """Add a row of the shop's own, or replace one of the same id."""
    form = RuleForm(request.POST or None, initial={"text": EXAMPLE})
    if request.method == "POST" and form.is_valid():
        who, text = request.user, form.cleaned_data["text"]
        assert isinstance(who, Person)
        try:
            row = _only_own(text, request)
        except InputErrors as found:
            for fault in found.faults:
                form.add_error(
                    "text", f"{fault.field}: {plainly(fault, preferences_of(request).decimal_mark)}"
                )
        else:
            ShopRule.objects.update_or_create(
                rule_id=row.id,
                defaults={
                    "text": text,
                    "in_force": form.cleaned_data["in_force"],
                    "changed_by": who,
                    "changed_at": timezone.now(),
                },
            )
            audit(who, gettext_noop("kept shop rule"), row.id)
            return redirect("bench:rules")
    own = ShopRule.objects.order_by("rule_id")
    return render(
        request, "bench/shelf/own_rule.html", {"form": form, "own": own}, status=422 if form.errors else 200
    )


def _only_own(text: str, request: HttpRequest) -> Rule:
    """The one row of that text."""
    shipped = shipped_rules()
    rows = [
        rule
        for rule in with_shop_rules(shipped, text, decimal_mark=preferences_of(request).decimal_mark)
        if rule.standing == "shop"
    ]
    if len(rows) != 1:
        raise InputErrors((InputError("rule", len(rows), gettext("give exactly one row headed [[rule]]")),))
    return rows[0]


@owner_only
def shop(request: HttpRequest) -> HttpResponse:
    """What the shop is asked once: market, paper, how verdicts are decided."""
    form = ShopSettingsForm(request.POST or None, instance=shop_settings())
    if request.method == "POST" and form.is_valid():
        who = request.user
        assert isinstance(who, Person)
        form.save()
        audit(who, gettext_noop("changed the shop's settings"))
        return redirect("bench:shelf")
    return render(request, "bench/shelf/shop.html", {"form": form}, status=422 if form.errors else 200)
