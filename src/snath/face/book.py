"""Open the rule book: every row by its id, with a shop's own rows where a file has them."""

from collections.abc import Iterator, Mapping
from dataclasses import fields
from html import escape
from typing import TYPE_CHECKING, Any

from snath.face.faults import language_of, mark_of, plainly
from snath.face.files import File, text_in
from snath.face.shown import html_table, table
from snath.quantities.numbers import DecimalMark
from snath.rules.book import Rule
from snath.rules.load import shipped_rules, with_shop_rules
from snath.shop.answers.facts import as_data

if TYPE_CHECKING:
    from pandas import DataFrame

SHOWN = ("id", "limits", "printed", "standing", "source")


class RuleBook(Mapping[str, Rule]):
    """Every row of the rule book by its id, in the order of the book."""

    def __init__(self, rules: tuple[Rule, ...], own: str = "", own_mark: DecimalMark = ".") -> None:
        self.rules, self._own = rules, (own, own_mark)
        self._by_id = {rule.id: rule for rule in rules}

    def __getitem__(self, id: str) -> Rule:
        return self._by_id[id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._by_id)

    def __len__(self) -> int:
        return len(self.rules)

    def to_dict(self) -> dict[str, Any]:
        """Every row, figures in SI."""
        return {"rules": [as_data(rule) for rule in self.rules]}

    def to_pandas(self) -> "DataFrame":
        """A row a rule, figures in SI; needs pandas."""
        return table([{one.name: getattr(rule, one.name) for one in fields(rule)} for rule in self.rules])

    def __repr__(self) -> str:
        return f"<RuleBook: {len(self)} rows>"

    def _repr_html_(self) -> str:
        return html_table(
            SHOWN, ([escape(str(getattr(rule, name))) for name in SHOWN] for rule in self.rules)
        )


Rules = RuleBook | File | None


@plainly
def rule_book(
    rules: File | None = None, *, decimal_mark: DecimalMark = ".", language: str = "en"
) -> RuleBook:
    """The rule book: what must hold, for which machine, by whose word.

    Parameters
    ----------
    rules : str or path, optional
        A file with the shop's own rows, or its text (see docs/rules.md); they are added to those shipped.
    decimal_mark : str
        The one that file is written in: "." or ",".
    language : str
        Of what is said where it is refused: "en" or "de".

    Returns
    -------
    RuleBook

    Raises
    ------
    InputError
        With every fault of the file and its line.

    References
    ----------
    docs/rules.md: every row with its source and how that is known.

    Examples
    --------
    >>> snath.rule_book()["mower-tip-speed-consumer"].printed
    'at most 19,000 ft/min'
    """
    language_of(language)
    own, mark = own_rows(rules, mark_of(decimal_mark) or ".")
    return RuleBook(rows_of(rules, mark), own, mark)


def rows_of(rules: Rules, decimal_mark: DecimalMark) -> tuple[Rule, ...]:
    """The rows of a book that was opened before, or of the shipped one with the shop's own."""
    if isinstance(rules, RuleBook):
        return rules.rules
    if rules is None:
        return shipped_rules()
    return with_shop_rules(shipped_rules(), text_in("rules", rules), decimal_mark=decimal_mark)


def own_rows(rules: Rules, decimal_mark: DecimalMark) -> tuple[str, DecimalMark]:
    """The shop's own rows as their file has them, and the mark that file is written in; empty where there are none."""
    if isinstance(rules, RuleBook):
        return rules._own
    return ("" if rules is None else text_in("rules", rules)), decimal_mark
