"""A kind of part is one entry: sheet, rules and form follow from it, and what it lacks is found here."""

from typing import get_args

import pytest

from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_members import SHAPES, MemberTable
from snath.decisions.reading.assumed import assumed
from snath.decisions.reading.instruments import INSTRUMENT_KINDS, Instrument
from snath.quantities.errors import InputError
from snath.rules.kinds import MEMBER_KINDS, PART_KINDS, Shape
from snath.rules.load import shipped_rules
from snath.words.tables import LANGUAGES, shown, table

GIVEN = {
    "blade": 'arms = ["10 in", "10 in"]',
    "string head": 'speed_max = "8,000 rpm"',
    "disc": 'speed_max = "8,000 rpm"',
    "wheel": 'speed_max = "8,000 rpm"',
    "alternator": 'poles = 2\nfrequency_max = "62 Hz"',
    "driven": 'speed_max = "3,400 rpm"',
}  # the least that can be said of each shape


def test_every_shape_has_its_table_and_every_kind_its_key():
    assert set(SHAPES) == set(get_args(Shape)) == set(GIVEN)
    assert {kind.key for kind in PART_KINDS} == set(MemberTable.model_fields) - {"name", "shaft"}
    assert len(MEMBER_KINDS) == len(set(MEMBER_KINDS))


@pytest.mark.parametrize("kind", PART_KINDS, ids=lambda kind: kind.name)
def test_a_sheet_with_such_a_part_is_read_and_the_form_keeps_it(kind):
    from snath.shop.bench.jobs.boxes_part import PART_CHOICES, boxes_of_part

    sheet = f'name = "m"\nkind = "other"\n[engine]\n[[member]]\nname = "p"\n[member.{kind.key}]\n{GIVEN[kind.shape]}'
    (member,) = read_sheet(sheet).members
    assert member.kind == kind.name
    assert kind.key in dict(PART_CHOICES)
    keys = {box.path[0] for box in boxes_of_part(kind.key, "arms")}
    assert keys <= set(SHAPES[kind.shape].model_fields)
    assert {line.split(" = ")[0] for line in GIVEN[kind.shape].split("\n")} <= keys


@pytest.mark.parametrize("kind", INSTRUMENT_KINDS.values(), ids=lambda kind: kind.name)
def test_a_kind_of_instrument_can_be_put_on_the_shelf_printed_and_bounded(kind):
    from snath.shop.bench.shelf.forms import InstrumentForm

    assert kind.name in dict(InstrumentForm.base_fields["kind"].choices)
    assert all(f"instrument.{kind.name}" in shown("paper", language) for language in LANGUAGES)
    for language in LANGUAGES:
        assert {f"instrument-kind.{kind.name}", f"instrument-kind.{kind.name}-called"} <= set(
            table(language, "instrument-kind")
        )
    found = assumed(Instrument("a", "a", kind.name), speed=50.0, on="")
    assert found is not None
    # By hand: that share of 50 rev/s.
    assert found.half_width == pytest.approx(kind.share * 50)


def test_an_unknown_kind_of_instrument_is_refused_with_those_there_are():
    with pytest.raises(InputError, match="optical"):
        Instrument("a", "a", "sundial")


def test_rules_speak_of_known_kinds_only():
    assert {kind for rule in shipped_rules() for kind in rule.scope.members} <= set(MEMBER_KINDS)
