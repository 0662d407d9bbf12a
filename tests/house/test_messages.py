"""Every message the core gives can be said in every language with all its values, and no sentence stands unused."""

import ast
import re
import string
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple, get_args

import pytest

from snath.decisions.behaviour.asked import Load, StageName
from snath.decisions.behaviour.checklist import When, checks, not_adjustable
from snath.decisions.behaviour.criteria import criteria
from snath.decisions.behaviour.setting import Advice
from snath.decisions.behaviour.setting_input import SettingKind
from snath.decisions.behaviour.stop import devices
from snath.decisions.behaviour.stop_evidence import How
from snath.decisions.job.job import ACCIDENT
from snath.decisions.machine.condition_words import SPOKEN
from snath.decisions.machine.parts import TakenSize
from snath.decisions.reading.instruments import INSTRUMENT_KINDS
from snath.decisions.verdict.verdict import Stands
from snath.decisions.window.solve import DecisionRule
from snath.formulas.balance.grade import grades
from snath.formulas.belts.lengths import Line
from snath.formulas.signals.aliases import UNKNOWN_FIRINGS
from snath.quantities.message import Dimension, slug
from snath.rules.book import Standing
from snath.rules.load import shipped_rules
from snath.shop.answers.moved import NAMED
from snath.words.tables import LANGUAGES, entry, table, texts
from tests.house.sources import CORE, SOURCE, modules, short, tree

TABLES = {path.stem for path in (SOURCE / "words" / "en").glob("*.toml")}
# Words out of the core's fixed lists, said by `term(group, word)`, and names it gives by itself.
TERMS = {
    "advice": get_args(Advice),
    "check": tuple(f"{check.id}-{part}" for check in checks() for part in ("name", "text", "caution")),
    "criterion": tuple(f"{one.id}-{part}" for one in criteria() for part in ("means", "not")),
    "moved-figure": NAMED,
    "not-adjustable": tuple(not_adjustable()),
    "decision-rule": get_args(DecisionRule),
    "limits-word": ("under", "over", "undecided"),
    "load": (*get_args(Load), "load on", "load off"),
    "maker-word": ("in", "out", "undecided", "no figure"),
    "stop-how": get_args(How),
    "stage": get_args(StageName),
    "terminal-setting": ("not known", "not settled", "stop", "no room", "known", "blocked"),
    "condition": SPOKEN,
    "clears-nothing": ("us-workplace-blade-stop",),
    "film-ask": ("marks", "capture-rate", "lamp", "readout", "exposure"),
    "firing": tuple(how.name for how in UNKNOWN_FIRINGS),
    "method": ("typed", "sound", "pulses", "light", "stroboscope", "inductive", "fused"),
    "figure-kind": ("droop", "steady band", "load on", "load off"),
    "grade": tuple(grade.id for grade in grades()),
    "line": get_args(Line),
    "work-word": ("enough", "missed", "open"),
    "quantity": get_args(Dimension),
    "size": get_args(TakenSize),
    "setting-kind": get_args(SettingKind),
    "instrument-kind": (*INSTRUMENT_KINDS, *(f"{kind}-called" for kind in INSTRUMENT_KINDS)),
    "standing": get_args(Standing),
    "stop-device": tuple(devices()),
    "unit": ("deg", "rpm", "turns"),
    "verdict-word": get_args(Stands),
}

# What the words room says by itself: the sides of a printed figure, a language and its days.
OF_THE_WORDS = {"rules.at-most", "rules.at-least", "language.name", "language.day"}
# Words of kept files that look like sentences: a group of checks, an outcome.
FILE_WORDS = {*get_args(When), ACCIDENT}
# English that stays in the core: what only a fault of our own brings to light, and how earlier versions spelt a cause.
EXEMPT = ("quantities/message.py", "formulas/throwing/swarm.py", "decisions/job/causes.py")
PROSE = 4  # words that make a constant a sentence


class Call(NamedTuple):
    """A message where it is given: its code, and the values named beside it."""

    place: str
    code: str | None
    values: frozenset[str] | None


def calls(path: Path) -> Iterator[Call]:
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Message":
            first = node.args[0] if node.args else None
            code = first.value if isinstance(first, ast.Constant) else None
            names = [keyword.arg for keyword in node.keywords]
            values = None if None in names else frozenset(name for name in names if name)
            yield Call(f"{short(path)}:{node.lineno}", code, values)


def given() -> list[Call]:
    here = SOURCE / "quantities" / "message.py"
    return [call for path in modules() if path != here for call in calls(path)]


def holes(sentence: str) -> list[tuple[str, str]]:
    return sorted(
        (name, how or "") for _, name, how, _ in string.Formatter().parse(sentence) if name is not None
    )


def codes(language: str) -> dict[str, str]:
    return {code: text for name in sorted(TABLES) for code, text in table(language, name).items()}


def prose(node: ast.AST) -> Iterator[str]:
    """English constants of `PROSE` words and more outside docstrings, names apart that the words tables have."""
    silent: set[int] = set()
    for inner in ast.walk(node):
        if (
            isinstance(inner, ast.Module | ast.ClassDef | ast.FunctionDef)
            and ast.get_docstring(inner) is not None
        ):
            silent.add(id(inner.body[0].value))  # type: ignore[attr-defined]
        if isinstance(inner, ast.JoinedStr):
            silent |= {id(part) for part in ast.walk(inner) if part is not inner}
        text = ""
        if isinstance(inner, ast.Constant) and isinstance(inner.value, str):
            text = inner.value
        elif isinstance(inner, ast.JoinedStr):
            text = "".join(str(part.value) for part in inner.values if isinstance(part, ast.Constant))
        if (
            text not in FILE_WORDS
            and entry(f"name.{slug(text)}", "en") is None
            and id(inner) not in silent
            and len(re.findall(r"\S*[A-Za-z]\S*", text)) >= PROSE
        ):
            yield text


def test_every_code_is_a_literal_of_the_tables():
    assert [call for call in given() if call.code is None or entry(call.code, "en") is None] == []


def test_every_value_has_its_hole_and_every_hole_its_value():
    wrong = [
        (call, sentence)
        for call in given()
        if call.values is not None and call.code
        for sentence in [entry(call.code, "en") or ""]
        if {name for name, _ in holes(sentence)} != call.values
    ]
    assert wrong == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_says_the_same_codes_with_the_same_holes(language):
    theirs = codes(language)
    assert {path.stem for path in (SOURCE / "words" / language).glob("*.toml")} == TABLES
    assert {code: holes(text) for code, text in theirs.items()} == {
        c: holes(t) for c, t in codes("en").items()
    }
    assert [code for code, text in theirs.items() if not text.strip() or "TODO" in text] == []


def test_every_word_of_the_fixed_lists_is_in_the_tables():
    said = [f"{group}.{slug(word)}" for group, words in TERMS.items() for word in words]
    assert [code for code in said if entry(code, "en") is None] == []


def test_no_sentence_stands_unused():
    said = {call.code for call in given()}
    said |= {f"{group}.{slug(word)}" for group, words in TERMS.items() for word in words}
    said |= {f"name.{slug(word)}" for word in words_of_the_core()} | {
        "rules.at-most",
        "rules.at-least",
        "language.name",
        "language.day",
    }
    assert sorted(codes("en").keys() - said) == []


def words_of_the_core() -> set[str]:
    """Names the core gives by itself: constants of its code and of its data, and pieces put together of two."""
    found = {
        node.value
        for path in modules(*CORE)
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    scopes = [rule.scope for rule in shipped_rules()]
    found |= {word for scope in scopes for word in (*scope.machines, *scope.members, *scope.uses)}
    return found | {f"{end} {part}" for end in ("driver", "driven") for part in ("gear", "sprocket")}


@pytest.mark.parametrize("language", [one for one in LANGUAGES if one != "en"])
def test_what_the_rule_book_says_is_there_in_every_language(language):
    rows = [text for rule in shipped_rules() for text in (rule.limits, rule.note, rule.edition)]
    said = {text for text in rows if re.search("[A-Za-z]{3}", text)} | {"the shop's own"}
    said |= {
        rule.source for rule in shipped_rules() if re.search("(^| )[a-z]{2}", rule.source)
    }  # words, no number
    assert texts(language).keys() == said
    assert [text for text, there in texts(language).items() if not there.strip()] == []


def test_tables_are_flat_one_line_a_sentence():
    for language in LANGUAGES:
        for path in (SOURCE / "words" / language).glob("*.toml"):
            rows = tomllib.loads(path.read_text("utf-8"))
            assert all(isinstance(text, str) for text in rows.values()), path


def test_english_leaves_the_core_and_never_comes_back():
    left = {
        short(path): found
        for path in modules(*CORE)
        if not short(path).endswith(EXEMPT) and (found := len(list(prose(tree(path)))))
    }
    assert left == {}, "say the new ones as messages, see quantities/message.py"


def test_the_guard_bites():
    # Broken on purpose: a sentence of five words beside a docstring, and two holes.
    planted = ast.parse('def f(x):\n    "A docstring of many words."\n    return f"the {x} is shut for good"')
    assert list(prose(planted)) == ["the  is shut for good"]
    assert holes("{low:0 up} and {name}") == [("low", "0 up"), ("name", "")]
