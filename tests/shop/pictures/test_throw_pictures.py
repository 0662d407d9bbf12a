"""What a customer and a class are shown of thrown stones: drawn as worked out, told in words, nothing cleared."""

import re
from xml.etree import ElementTree

import pytest

from snath.decisions.behaviour.throw import judge_throw
from snath.decisions.behaviour.thrown import Opening, Thing, ThrowInput, TipSpeed
from snath.shop.pictures.reach import reach_picture
from snath.shop.pictures.throw import throw_picture
from snath.shop.pictures.voice import speaking
from tests.told import refused

STAGES = (TipSpeed("as found", 103.4), TipSpeed("as left", 88.0), TipSpeed("at the limit", 96.52))
GIVEN = ThrowInput(STAGES, (Thing("stone of 20 g", 0.02, 2600),), opening=Opening(0.08, 0.3, 0.0, 0.12))


def words(picture):
    root = ElementTree.fromstring(picture.svg)
    return [e.text for e in root.iter("{http://www.w3.org/2000/svg}text")]


def looks(picture, look):
    return [e for e in ElementTree.fromstring(picture.svg).iter() if e.get("class") == f"pic-{look}"]


@pytest.fixture(scope="module")
def judged():
    return judge_throw(GIVEN)


def test_the_customer_sees_energies_as_falling_hammers(judged):
    # By hand: 0.02 x 103.4^2 / 2 = 106.9 J; over 9.80665 N a 1 kg hammer from 10.9 m; (103.4 / 96.52)^2 =
    # 114.8 %, printed upwards as 115.
    picture = throw_picture(judged.carried, speaking("en"))
    assert "10.9 m" in words(picture)
    assert "115 % of the limit" in words(picture)
    assert "stone of 20 g, as found: 107 J, as a 1 kg hammer falling from 10.9 m, 115 %" in picture.text
    assert len(looks(picture, "binds")) == 1  # only as found stands over the limit


def test_no_distance_and_no_zone_stands_on_the_customers_picture(judged):
    # Property: the heights of the hammers are the only metres; the flights' distances are not there.
    picture = throw_picture(judged.carried, speaking("en"))
    metres = {float(found) for found in re.findall(r"([\d.]+) m\b", " ".join(words(picture)))}
    assert metres == {round(one.hammer, 1) for one in judged.carried}
    assert "manual" in picture.text
    assert not looks(picture, "allowed")


def test_the_class_sees_flights_and_is_told_that_none_is_clear(judged):
    picture = reach_picture(judged.training, judged.elevations, speaking("en"))
    assert len(looks(picture, "heavy")) == 4  # three rough flights and the key
    assert "None of these is a distance at which anybody is out of reach." in words(picture)
    assert f"{judged.training[0].rough:.0f} m" in words(picture)
    assert not looks(picture, "allowed")
    assert not looks(picture, "blocked")


def test_both_speak_german(judged):
    voice = speaking("de")
    assert "10,9 m" in words(throw_picture(judged.carried, voice))
    assert "außer Reichweite" in reach_picture(judged.training, judged.elevations, voice).text


def test_on_a_phone_nothing_said_is_cut_off(judged):
    # Property: every sentence of warning stands whole, on as many lines as it needs.
    voice = speaking("de")
    customer = " ".join(words(throw_picture(judged.carried, voice, width=360)))
    training = " ".join(words(reach_picture(judged.training, judged.elevations, voice, width=360)))
    assert "Menschen und Tiere fernhalten, wie es die Anleitung der Maschine sagt." in customer
    assert "Keine dieser Entfernungen ist eine, in der jemand außer Reichweite wäre." in training
    assert "…" not in customer


def test_a_name_with_markup_is_written_not_run():
    given = ThrowInput(STAGES, (Thing("<script>x</script>", 0.02, 2600),))
    picture = throw_picture(judge_throw(given).carried, speaking("en"))
    assert "<script>" not in picture.svg
    assert any("<script>" in word for word in words(picture))


def test_without_a_limit_or_with_mixed_things_it_is_refused(judged):
    with refused("must be of one thing, one of them at the limit"):
        throw_picture(judged.carried[:2], speaking("en"))
    with refused("at least one stage"):
        reach_picture((), (0.0, 0.1), speaking("en"))
