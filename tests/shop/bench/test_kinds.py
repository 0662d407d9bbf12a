"""Does every kind of part and of instrument stand on the forms, and what is said of a part survive them?"""

import pytest

from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_members import SHAPES
from snath.decisions.reading.instruments import INSTRUMENT_KINDS, TACHOMETERS
from snath.rules.kinds import PART_KINDS
from snath.shop.bench.jobs.boxes_part import PART_CHOICES, boxes_of_part
from snath.shop.bench.shelf.forms import InstrumentForm
from snath.shop.bench.shelf.tachometer import TachometerFields

GIVEN = {
    "blade": 'arms = ["10 in", "10 in"]',
    "string head": 'speed_max = "8,000 rpm"',
    "disc": 'speed_max = "8,000 rpm"',
    "wheel": 'speed_max = "8,000 rpm"',
    "alternator": 'poles = 2\nfrequency_max = "62 Hz"',
    "driven": 'speed_max = "3,400 rpm"',
}  # the least that can be said of each shape


@pytest.mark.parametrize("kind", PART_KINDS, ids=lambda kind: kind.name)
def test_a_sheet_with_such_a_part_is_read_and_the_form_keeps_it(kind):
    sheet = f'name = "m"\nkind = "other"\n[engine]\n[[member]]\nname = "p"\n[member.{kind.key}]\n{GIVEN[kind.shape]}'
    (member,) = read_sheet(sheet).members
    assert member.kind == kind.name
    assert kind.key in dict(PART_CHOICES)
    keys = {box.path[0] for box in boxes_of_part(kind.key, "arms")}
    assert keys <= set(SHAPES[kind.shape].model_fields)
    assert {line.split(" = ")[0] for line in GIVEN[kind.shape].split("\n")} <= keys


def test_every_shape_is_tried_here():
    assert set(GIVEN) == set(SHAPES)


def test_every_kind_of_instrument_can_be_put_on_the_shelf():
    assert list(dict(InstrumentForm.base_fields["kind"].choices)) == list(INSTRUMENT_KINDS)
    assert list(dict(TachometerFields.base_fields["tach_kind"].choices)) == ["", *TACHOMETERS]
