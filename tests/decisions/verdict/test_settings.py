"""Which readings are of which setting, and which one stands?"""

from dataclasses import replace

import pytest

from snath.decisions.job.job import Stage
from snath.decisions.job.work import work
from snath.decisions.reading.reading import Reading, Withdrawal
from snath.decisions.verdict.settings import settings
from tests.machines import direct, inches, job, rpm


def reading(value: float, u: float = 5, **more: object) -> Reading:
    return Reading(value=rpm(value, u), decided=True, **more)


GONE = Withdrawal("read off a worn wire", "second bench")


def test_a_stated_turn_begins_a_setting_only_where_the_speed_is_clearly_another():
    # By hand: three times sqrt 2 x 5 = 21 rpm.
    for moved, count in ((20, 1), (23, 2)):
        found = settings([reading(3450), reading(3450 - moved, turned="half a turn out")])
        assert len(found) == count
    assert len(settings([reading(3450), reading(3300)])) == 1


def test_a_turn_where_nothing_can_be_compared_is_believed():
    before, after = reading(3450), reading(3300, turned="one turn", condition="blades off")
    assert [len(one) for one in settings([before, after])] == [1, 1]


def test_withdrawn_readings_are_in_no_setting():
    assert settings([replace(reading(3450), withdrawn=GONE), reading(3300)]) == ((reading(3300),),)


def stage(*readings: Reading):
    return work(replace(job(direct(inches(21))), as_left=Stage(readings))).as_left


def test_the_last_setting_stands_and_turns_and_withdrawals_are_counted():
    # By hand: 21 in allows 3,455.9; 3,500 is over it, and after half a turn 3,300 is clearly under.
    over = reading(3500)
    found = stage(over, reading(3300, turned="half a turn out"))
    assert (found.stands.word, found.turned, found.withdrawn) == ("pass", 1, 0)
    assert stage(over, reading(3300)).stands.word != "pass"
    found = stage(replace(over, withdrawn=GONE), reading(3300))
    assert (found.stands.word, found.turned, found.withdrawn) == ("pass", 0, 1)
    assert stage(replace(over, withdrawn=GONE)).stands is None


@pytest.mark.parametrize(("left", "word"), [(3440, "undecided"), (3400, "pass")])
def test_a_machine_left_as_it_was_found_has_all_its_readings_in_one_sample(left, word):
    # By hand: found at 3,452 with u = 5; 3,440 is 12 rpm apart, under 21: one sample of 3,446, and 3,455.9 less
    # 1.645 x 5.5 is 3,446.9... half of them over it; 3,400 is another setting.
    found = (reading(3454), reading(3454))
    asked = replace(job(direct(inches(21))), as_found=Stage(found), as_left=Stage((reading(left),)))
    assert work(asked).as_left.stands.word == word


def test_a_clip_that_cannot_tell_is_no_reading_against_a_pass():
    unsure = Reading(value=None, why="two speeds would sound the same", method="sound")
    assert stage(reading(3300), unsure).stands.word == "pass"


def test_what_was_turned_stays_turned_though_its_reading_is_withdrawn():
    # By hand: 3,300 passes under 3,455.9; then half a turn in, and the 3,440 read there is withdrawn.
    turned = replace(reading(3440, turned="half a turn in"), withdrawn=GONE)
    for found, left in (
        ((reading(3300), turned), ()),
        ((reading(3300),), (turned,)),
        ((reading(3300),), (replace(reading(3300), withdrawn=GONE),)),
        ((), (reading(3300), turned)),
    ):
        stands = work(replace(job(direct(inches(21))), as_found=Stage(found), as_left=Stage(left))).stands
        assert (stands.word, stands.left_set) == ("undecided", False)
        assert [told.code for told in stands.reasons] == ["verdict.turned-since"]
    # Read again it is another setting, without saying once more what was turned; one clearly not moved is the same.
    assert [len(one) for one in settings([reading(3500), turned, reading(3300)])] == [1, 1]
    assert [len(one) for one in settings([reading(3310), turned, reading(3300)])] == [2]
