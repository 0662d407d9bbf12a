"""A form begins with what its kind of machine turns, asks that and no more, and never takes away what was typed."""

import pytest

from snath.rules.kinds import PART_KINDS
from snath.rules.scope import MACHINE_KINDS
from snath.shop.bench.jobs.entries import after, blank
from snath.shop.bench.jobs.machine_form import MachineForm
from snath.shop.bench.jobs.usual import OF_KIND, following, turns
from snath.shop.bench.preferences import Preferences

PREFERENCES = Preferences("auto", "inch", ".", "en")


def chosen_on_the_page(kind: str, **typed: str) -> dict[str, str]:
    """The boxes after that kind was picked in the list of a new machine's form."""
    return following(blank(drawn_for="walk-behind rotary mower", kind=kind, **typed))


def open_boxes(entries: dict[str, str]) -> list[str]:
    form = MachineForm(entries, preferences=PREFERENCES, sent=False)
    return [box.name for group in form.group_list() for box in group["boxes"]]


@pytest.mark.django_db
@pytest.mark.parametrize("kind", MACHINE_KINDS)
def test_a_usual_machine_of_each_kind_is_asked_for_its_own_part_in_at_most_seven_boxes(kind):
    entries = chosen_on_the_page(kind)
    shown = open_boxes(entries)
    assert entries.get("p0_kind", "blade") == turns(kind).key
    assert {"name", "kind", "rated_max"} < set(shown)
    assert len(shown) <= (6 if kind == "walk-behind rotary mower" else 7)
    assert any(name.startswith("p0_") for name in shown)


def test_the_table_names_kinds_and_parts_there_are():
    assert set(OF_KIND) <= set(MACHINE_KINDS)
    assert {part.key for part in OF_KIND.values()} <= {kind.key for kind in PART_KINDS}


@pytest.mark.django_db
def test_a_clutch_is_asked_where_a_wrong_guess_would_hide_something():
    assert "clutch" in open_boxes(chosen_on_the_page("ride-on rotary mower"))
    assert "clutch" in open_boxes(chosen_on_the_page("brush cutter"))
    assert "clutch" not in open_boxes(chosen_on_the_page("generator"))


def test_a_blade_with_a_size_stays_when_another_kind_is_picked():
    entries = chosen_on_the_page("chipper", p0_arm_1="10 in")
    assert (entries.get("p0_kind", "blade"), entries["p0_arm_1"]) == ("blade", "10 in")


def test_a_second_part_or_a_driven_shaft_keeps_the_first_as_it_is():
    for do in ("add-part", "add-drive"):
        entries = after(blank(drawn_for="walk-behind rotary mower"), do)
        assert following(entries | {"kind": "generator"}).get("p0_kind", "blade") == "blade"


@pytest.mark.django_db
def test_what_an_earlier_draft_tucked_away_is_opened_again():
    entries = chosen_on_the_page("generator", p0_kind="alternator", p0_performance_class="G1")
    form = MachineForm(entries, preferences=PREFERENCES, sent=False)
    assert [group["open"] for group in form.group_list()][-1]
