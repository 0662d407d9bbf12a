"""The rules in force in this shop: the shipped book with the shop's own rows, and how a page names them."""

from functools import lru_cache

from django.utils.translation import gettext, pgettext

from snath.rules.book import Rule
from snath.rules.load import shipped_rules, with_shop_rules
from snath.shop.records.models import ShopRule


def shop_book() -> tuple[Rule, ...]:
    """Every row, the shop's own included; each own row was read and checked when it was saved."""
    own = "\n".join(ShopRule.objects.filter(in_force=True).order_by("rule_id").values_list("text", flat=True))
    return _with(own)


@lru_cache(maxsize=8)
def _with(own: str) -> tuple[Rule, ...]:
    return with_shop_rules(shipped_rules(), own) if own else shipped_rules()


def standing_words(standing: str) -> str:
    """How far the row is known, as a sentence of its own."""
    return {
        "read": gettext("The text itself was read."),
        "second-hand": gettext("Known second-hand: the text itself was not read."),
        "memory": gettext("Known from memory: the text itself was not read."),
        "trade": gettext("Common practice, no source."),
        "shop": gettext("The shop's own rule."),
    }[standing]


def standing_word(standing: str) -> str:
    """The same in a word, for lists."""
    return {
        "read": pgettext("standing", "read"),
        "second-hand": pgettext("standing", "second-hand"),
        "memory": pgettext("standing", "from memory"),
        "trade": pgettext("standing", "common practice"),
        "shop": pgettext("standing", "shop's own"),
    }[standing]
