"""Read the rule book with the rows of a shop's own file."""

from snath.quantities.numbers import DecimalMark
from snath.rules.book import Rule
from snath.rules.load import shipped_rules, with_shop_rules
from snath.shop.media.text_file import read_text


def rule_book(rules: str | None, decimal_mark: DecimalMark) -> tuple[Rule, ...]:
    """The shipped rows, with those of the shop's own file where one is named."""
    if rules is None:
        return shipped_rules()
    return with_shop_rules(shipped_rules(), read_text(rules, "rules"), decimal_mark=decimal_mark)
