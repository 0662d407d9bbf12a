"""What the quick ask's boxes mean to the core."""

from snath.decisions.quick import QuickAnswer, quick_limit
from snath.quantities.measured import quotient
from snath.rules.book import Rule
from snath.shop.bench.quick.forms import AskForm


def answered(form: AskForm, book: tuple[Rule, ...], *, market: str) -> QuickAnswer:
    """The core's answer to a form that holds."""
    given = form.cleaned_data
    ratio = None
    if given["engine_pulley"] and given["blade_pulley"]:
        ratio = quotient(given["engine_pulley"].measured, given["blade_pulley"].measured)
    return quick_limit(given["blade"].measured, book, ratio=ratio, market=market, only=given["rule"] or None)


def sections() -> list[tuple[str, str]]:
    """Belt sections to choose from."""
    return [("", "-")]
