"""The manual tells every command, rule, sheet key and word, and its printed pages are up to date."""

import re
import tomllib
from typing import Any, get_args

import pytest
from pydantic import BaseModel
from scripts.print_docs import PAGES

from snath.decisions.machine.parts import Condition, GovernorKind, Ignition, PrimeMover
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_schema import SheetTable
from snath.decisions.window.solve import DecisionRule
from snath.rules.book import RuleKind, Standing
from snath.rules.load import FIGURES, shipped_rules, with_shop_rules
from snath.rules.scope import MACHINE_KINDS, USES
from snath.shop.cli.main import COMMANDS
from tests.house.sources import ROOT

DOCS = ROOT / "docs"


def doc(name: str) -> str:
    return (DOCS / name).read_text("utf-8")


def tables(schema: type[BaseModel]) -> set[type[BaseModel]]:
    """The schema and every table in it."""
    found = {schema}
    waiting: list[Any] = [field.annotation for field in schema.model_fields.values()]
    while waiting:
        one = waiting.pop()
        if isinstance(one, type) and issubclass(one, BaseModel):
            if one not in found:
                found.add(one)
                waiting += [field.annotation for field in one.model_fields.values()]
        else:
            waiting += get_args(one)
    return found


@pytest.mark.parametrize("name", PAGES)
def test_a_printed_page_is_up_to_date(name):
    assert doc(name) == PAGES[name](), "run python scripts/print_docs.py"


def test_every_command_and_rule_is_in_the_manual():
    assert [word for word in COMMANDS if f"## snath {word}\n" not in doc("commands.md")] == []
    assert [rule.id for rule in shipped_rules() if f"### {rule.id}\n" not in doc("rules.md")] == []


def test_every_key_of_a_machine_sheet_is_in_the_manual():
    keys = {key for table in tables(SheetTable) for key in table.model_fields}
    text = doc("sheet.md")
    assert len(keys) > 50
    assert sorted(key for key in keys if not re.search(rf"[`.\[]{key}[`\]\s]", text)) == []


def test_every_key_of_a_rule_row_is_in_the_manual():
    keys = {
        *FIGURES,
        "edition",
        "applies_to",
        "in_force",
        "explains",
        "note",
        "overrides",
        "source",
        "scope",
        "standing",
    }
    assert [key for key in sorted(keys) if not re.search(rf"\b{key}\b", doc("sheet.md"))] == []


def test_every_choice_a_sheet_offers_is_in_the_manual():
    words = [*MACHINE_KINDS, *USES, *get_args(RuleKind)]
    words += [w for choice in (Ignition, GovernorKind, PrimeMover) for w in get_args(choice)]
    assert [word for word in words if word not in doc("sheet.md")] == []


def test_the_words_of_the_trade_are_in_the_glossary():
    words = [word for choice in (Condition, Standing, DecisionRule, PrimeMover) for word in get_args(choice)]
    assert [word for word in words if word not in doc("words.md")] == []


def test_the_glossary_is_in_order_and_tells_each_word_once():
    words = [line.split("|")[1].strip() for line in doc("words.md").splitlines() if line.startswith("| ")][1:]
    assert words == sorted(set(words))


def test_the_examples_of_the_sheets_page_are_read_as_they_stand():
    sheet, rule = re.findall(r"```toml\n(.*?)```", doc("sheet.md"), re.DOTALL)
    assert read_sheet(sheet).members
    assert tomllib.loads(rule)
    assert "our-21-inch-decks" in {row.id for row in with_shop_rules(shipped_rules(), rule)}
