"""Read the rule book from its data, and let a shop add rows of its own or override shipped ones."""

import difflib
import re
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any, get_args

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark, percentage
from snath.quantities.shipped import shipped_text
from snath.quantities.toml_text import Fault, Path, TomlText, read_toml
from snath.quantities.units import Dimension, parse
from snath.quantities.words import unknown_key
from snath.rules.book import Rule, RuleKind, Scope, Standing
from snath.rules.kinds import MEMBER_KINDS
from snath.rules.scope import MACHINE_KINDS, MARKETS, PRODUCTS, SIZES, USES, use_word

FIGURES = ("at_most", "at_least", "nominal")
_TEXTS = (
    "id",
    "limits",
    "kind",
    "source",
    "edition",
    "standing",
    "applies_to",
    "note",
    "overrides",
    *FIGURES,
)
_NEEDED = ("id", "limits", "kind", "source", "edition", "standing")
_FLAGS = ("in_force", "explains")
_CHOICES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"kind": get_args(RuleKind), "standing": get_args(Standing), "applies_to": ("sustained", "peak")}
)
_DIMENSION: Mapping[str, Dimension] = MappingProxyType(
    {
        "surface speed": "speed",
        "shaft speed": "rotation",
        "frequency": "frequency",
        "recovery time": "time",
        "stopping time": "time",
        "energy": "energy",
    }
)  # kinds that are missing are fractions: "5 %"
_SCOPE_LISTS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "machines": MACHINE_KINDS,
        "members": MEMBER_KINDS,
        "uses": USES,
        "products": PRODUCTS,
        "markets": MARKETS,
        "classes": (),
    }
)
_SCOPE_DATES = ("made_from", "made_to")
_SCOPE_SIZES = ("sizes_from", "unless")
_MONTH = re.compile(r"(1[89]|2[01])[0-9]{2}-(0[1-9]|1[0-2])")


@cache
def shipped_rules() -> tuple[Rule, ...]:
    """The rows that come with the program."""
    return read_rules(shipped_text("snath.rules", "rules.toml"), field="rule book")


def with_shop_rules(
    shipped: tuple[Rule, ...], text: str, *, decimal_mark: DecimalMark = "."
) -> tuple[Rule, ...]:
    """The book with a shop's own rows added, and the rows these override left out.

    Parameters
    ----------
    shipped : tuple of Rule
        The book so far.
    text : str
        The shop's file, rows as in the shipped one; `standing` may be left out, it is "shop" whatever it
        says, and `overrides` names the row that is replaced.
    decimal_mark : str
        The one the file is written in.

    Raises
    ------
    InputErrors
        With every fault, each with its line.
    """
    toml = read_toml(text, field="shop rules")
    own = _rows(toml, decimal_mark, shop=True)
    known = {rule.id for rule in shipped}
    faults: list[Fault] = []
    for place, rule in enumerate(own):
        path: Path = ("rule", place)
        if rule.overrides and rule.overrides not in known:
            faults.append(Fault((*path, "overrides"), rule.overrides, nearest(rule.overrides, known)))
        if rule.id in known and rule.overrides != rule.id:
            faults.append(Fault((*path, "id"), rule.id, Message("rules.shipped", id=rule.id)))
    if faults:
        raise toml.errors(faults)
    replaced = {rule.overrides for rule in own}
    return (*(rule for rule in shipped if rule.id not in replaced), *own)


def read_rules(text: str, *, field: str, decimal_mark: DecimalMark = ".") -> tuple[Rule, ...]:
    """Every row of a rule file; InputErrors with all faults at once."""
    return _rows(read_toml(text, field=field), decimal_mark, shop=False)


def nearest(word: str, known: set[str]) -> Message:
    """What would do in place of a rule there is not, with what was probably meant."""
    close = difflib.get_close_matches(word, sorted(known), n=3, cutoff=0.4)
    if close:
        return Message("rules.none-nearest", nearest=tuple(close))
    return Message("rules.none", known=tuple(sorted(known)))


def _rows(toml: TomlText, mark: DecimalMark, *, shop: bool) -> tuple[Rule, ...]:
    faults = [Fault((key,), toml.data[key], Message("rules.rows-only")) for key in toml.data if key != "rule"]
    rows = toml.data.get("rule", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise toml.errors([Fault(("rule",), rows, Message("rules.headed"))])
    rules: list[Rule] = []
    seen: set[str] = set()
    for place, row in enumerate(rows):
        reader = _Row(toml, ("rule", place), row, mark, shop)
        rule = reader.rule()
        if rule is not None and rule.id in seen:
            reader.refuse("id", rule.id, Message("rules.twice"))
        if rule is not None and not reader.faults:
            seen.add(rule.id)
            rules.append(rule)
        faults.extend(reader.faults)
    if faults:
        raise toml.errors(faults)
    return tuple(rules)


class _Row:
    """One row on its way to a `Rule`, with the faults found so far."""

    def __init__(
        self, toml: TomlText, path: Path, row: dict[str, Any], mark: DecimalMark, shop: bool
    ) -> None:
        self.toml, self.path, self.row, self.mark, self.shop = toml, path, row, mark, shop
        self.faults: list[Fault] = []

    def refuse(self, key: str, given: object, allowed: Message | str, *deeper: str) -> None:
        self.faults.append(Fault((*self.path, key, *deeper), given, allowed))

    def rule(self) -> Rule | None:
        if self.shop:
            self.row = {"edition": "the shop's own", **self.row, "standing": "shop"}
        self.check_keys(self.row, (*_TEXTS, *_FLAGS, "scope"))
        for key in _NEEDED:
            if not self.row.get(key):
                self.refuse(key, self.row.get(key, "nothing"), Message("fault.needed"))
        for key in _TEXTS:
            self.check_text(key)
        for key in _FLAGS:
            if not isinstance(self.row.get(key, True), bool):
                self.refuse(key, self.row[key], Message("fault.true-or-false"))
        scope = self.scope()
        if self.faults:
            return None
        figures: dict[str, Any] = {key: self.figure(key) for key in FIGURES if key in self.row}
        if not figures:
            self.refuse("at_most", "nothing", Message("rules.a-figure"))
        if self.faults:
            return None
        words: dict[str, Any] = {
            key: value for key, value in self.row.items() if key not in (*FIGURES, "scope")
        }
        say = {"at_most": "at most ", "at_least": "at least ", "nominal": ""}
        printed = ", ".join(say[key] + self.row[key] for key in figures)
        return Rule(printed=printed, scope=scope, **words, **figures)

    def check_keys(self, table: dict[str, Any], known: tuple[str, ...], *above: str) -> None:
        for key in table:
            if key not in known:
                self.faults.append(Fault((*self.path, *above, key), table[key], unknown_key(key, known)))

    def check_text(self, key: str) -> None:
        value = self.row.get(key, "")
        if not isinstance(value, str):
            self.refuse(key, value, Message("sheet.text"))
        elif value and value not in _CHOICES.get(key, (value,)):
            self.refuse(key, value, Message("fault.one-of", known=_CHOICES[key]))

    def figure(self, key: str) -> float | None:
        """The figure in SI, read by the kind of the row."""
        text, field = self.row[key], key
        try:
            dimension = _DIMENSION.get(self.row["kind"])
            if dimension is None:
                value = percentage(text, field=field, decimal_mark=self.mark)
            else:
                value = parse(text, dimension=dimension, field=field, decimal_mark=self.mark).value
        except InputError as fault:
            self.refuse(key, text, fault.allowed)
            return None
        if value <= 0:
            self.refuse(key, text, Message("sheet.over", n=0))
        return value

    def scope(self) -> Scope:
        table = self.row.get("scope", {})
        if not isinstance(table, dict):
            self.refuse("scope", table, Message("rules.scope-table"))
            return Scope()
        self.check_keys(table, (*_SCOPE_LISTS, *_SCOPE_DATES, *_SCOPE_SIZES), "scope")
        found: dict[str, Any] = {key: self.scope_words(table, key) for key in _SCOPE_LISTS}
        found |= {key: self.scope_date(table, key) for key in _SCOPE_DATES}
        found |= {key: self.scope_sizes(table, key) for key in _SCOPE_SIZES}
        return Scope(**found)

    def scope_words(self, table: dict[str, Any], key: str) -> tuple[str, ...]:
        words, choices = table.get(key, []), _SCOPE_LISTS[key]
        if not isinstance(words, list) or not all(isinstance(word, str) for word in words):
            self.refuse("scope", words, Message("rules.list-of-texts"), key)
            return ()
        spoken = tuple(use_word(word) if key == "uses" else word for word in words)
        if choices and (strange := [word for word in spoken if word not in choices]):
            self.refuse("scope", strange[0], Message("fault.one-of", known=choices), key)
        return spoken

    def scope_date(self, table: dict[str, Any], key: str) -> int | str | None:
        """A year, or a month as text."""
        date = table.get(key)
        a_year = isinstance(date, int) and not isinstance(date, bool) and 1800 < date < 2200
        if date is None or a_year or (isinstance(date, str) and _MONTH.fullmatch(date)):
            return date
        self.refuse("scope", date, Message("sheet.year-or-month", low=1800, high=2200), key)
        return None

    def scope_sizes(self, table: dict[str, Any], key: str) -> tuple[tuple[str, float], ...]:
        """Sizes of a machine in SI."""
        sizes = table.get(key, {})
        if not isinstance(sizes, dict):
            self.refuse("scope", sizes, Message("sheet.table-of-sizes"), key)
            return ()
        self.check_keys(sizes, tuple(SIZES), "scope", key)
        found = []
        for name in (name for name in sizes if name in SIZES):
            try:
                read = parse(sizes[name], dimension=SIZES[name], field="", decimal_mark=self.mark)
                found.append((name, read.value))
            except InputError as fault:
                self.refuse("scope", sizes[name], fault.allowed, key, name)
        return tuple(found)
