"""A kind of part is one entry: sheet, rules and form follow from it, and what it lacks is found here."""

from typing import get_args

import pytest

from snath.decisions.machine.sheet_members import SHAPES, MemberTable
from snath.decisions.reading.assumed import assumed
from snath.decisions.reading.instruments import INSTRUMENT_KINDS, Instrument
from snath.quantities.errors import InputError
from snath.quantities.message import slug
from snath.rules.kinds import MEMBER_KINDS, PART_KINDS, Shape
from snath.rules.load import shipped_rules
from snath.rules.scope import MACHINE_KINDS
from snath.shop.bench.jobs.boxes_machine import KINDS
from snath.words.tables import LANGUAGES, shown, table


def test_every_shape_has_its_table_and_every_kind_its_key():
    assert set(SHAPES) == set(get_args(Shape))
    assert {kind.key for kind in PART_KINDS} == set(MemberTable.model_fields) - {"name", "shaft"}
    assert len(MEMBER_KINDS) == len(set(MEMBER_KINDS))


@pytest.mark.parametrize("kind", INSTRUMENT_KINDS.values(), ids=lambda kind: kind.name)
def test_a_kind_of_instrument_has_its_words_and_its_bound(kind):
    for language in LANGUAGES:
        assert f"instrument.{kind.name}".replace(" ", "-") in shown("paper", language)
        words = {f"instrument-kind.{slug(kind.name)}", f"instrument-kind.{slug(kind.name)}-called"}
        assert words <= set(table(language, "instrument-kind"))
    found = assumed(Instrument("a", "a", kind.name), speed=50.0, on="")
    assert found is not None
    # By hand: that share of 50 rev/s.
    assert found.half_width == pytest.approx(kind.share * 50)


@pytest.mark.parametrize("kind", MACHINE_KINDS)
def test_a_kind_of_machine_is_on_the_form_and_has_its_words(kind):
    assert kind in [word for word, _ in KINDS]
    for language in LANGUAGES:
        assert f"machine-kind.{slug(kind)}" in shown("paper", language)
        assert f"name.{slug(kind)}" in table(language, "name")


def test_an_unknown_kind_of_instrument_is_refused_with_those_there_are():
    with pytest.raises(InputError, match="optical"):
        Instrument("a", "a", "sundial")


def test_rules_speak_of_known_kinds_only():
    assert {kind for rule in shipped_rules() for kind in rule.scope.members} <= set(MEMBER_KINDS)
