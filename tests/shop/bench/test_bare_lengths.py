"""A bare number in a box for a length is of the unit printed beside it, and the page says what it understood."""

import pytest
from django.test import Client

from snath.decisions.machine.sheet import read_sheet
from snath.shop.records.models import MachineRecord
from snath.shop.records.store import shop_settings

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(db) -> Client:
    return Client(headers={"host": "localhost"})


def counts_in(units: str) -> None:
    settings = shop_settings()
    settings.units = units
    settings.save()


def asked(shop: Client, blade: str) -> str:
    return str(shop.get("/", {"blade": blade}).content.decode())


@pytest.mark.parametrize("blade", ["22", "22 in", "22″", "22.0", "558.8 mm"])
def test_a_bare_22_in_an_inch_shop_is_22_inches(shop: Client, blade: str):
    counts_in("inch")
    page = asked(shop, blade)
    assert 'data-ceiling="3,298"' in page  # by hand: 19,000 ft/min / (pi 22/12 ft) = 3298.8 rpm
    assert "22 in (558.8 mm)" in page
    assert '<span class="unit">in</span>' in page


def test_a_bare_figure_in_a_shop_of_millimetres_is_millimetres(shop: Client):
    counts_in("metric")
    page = asked(shop, "558.8")
    assert 'data-ceiling="3,298"' in page
    assert "558.8 mm (22 in)" in page


def test_what_a_person_chose_counts_before_what_the_shop_said(shop: Client):
    counts_in("metric")
    shop.cookies["snath_units"] = "inch"
    assert "22 in (558.8 mm)" in asked(shop, "22")


@pytest.mark.parametrize("blade", ["53", "22", "53 ± 1"])
def test_a_bare_figure_too_small_for_a_blade_of_its_unit_is_refused_until_its_unit_is_written(
    shop: Client, blade: str
):
    counts_in("metric")
    page = asked(shop, blade)
    assert "data-ceiling" not in page
    assert f"“{blade}” would be" in page
    assert "write its unit" in page


def test_a_bare_figure_of_the_machine_form_stands_on_its_sheet_with_its_unit(shop: Client):
    counts_in("inch")
    boxes = {"name": "bare", "kind": "walk-behind rotary mower", "drives": "0", "parts": "1"}
    boxes |= {"p0_name": "blade", "p0_shaft": "crankshaft", "p0_kind": "blade"}
    boxes |= {"p0_measured": "corner to corner", "p0_length": "21 3/4"}
    assert shop.post("/jobs/new/machine/", boxes).status_code == 302
    sheet = MachineRecord.objects.get().sheet
    assert 'length = "21 3/4 in"' in sheet
    assert read_sheet(sheet).members[0].sizes[0].diameter.value == pytest.approx(21.75 * 0.0254)


def test_a_blade_bought_in_millimetres_is_no_blade_of_530_inches(shop: Client):
    counts_in("inch")
    for page in (asked(shop, "530"), str(shop.post("/jobs/card/", {"blade": "530"}).content.decode())):
        assert "“530” would be 530 in: write its unit" in page
    boxes = {"kind": "walk-behind rotary mower", "machine": "a mower", "drives": "0", "parts": "1"}
    boxes |= {"p0_name": "blade", "p0_shaft": "crankshaft", "p0_kind": "blade"}
    boxes |= {"p0_measured": "corner to corner", "p0_length": "530"}
    assert "“530” would be 530 in: write its unit" in shop.post("/jobs/new/machine/", boxes).content.decode()
