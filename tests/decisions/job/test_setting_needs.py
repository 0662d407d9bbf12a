"""The setting band leaves room for the tachometer it will be proved with, and says where that is in doubt."""

from dataclasses import replace

import pytest

from snath.decisions.job.setting_needs import setting_needs, setting_notes
from snath.decisions.job.work import work
from snath.decisions.reading.instruments import Instrument
from snath.quantities.message import Message
from tests.machines import RPM, direct, figure, inches, job

FINE = Instrument("T1", "fine tachometer", accuracy=0.0005, due_on="2027-01-01")
COARSE = Instrument("T2", "coarse tachometer", accuracy=0.005, due_on="2027-01-01")
DAY = "2026-06-01"
DOUBT = "job.room-overdue"


def a_job(*instruments: Instrument, judged_on: str = DAY, **engine: object):
    machine = direct(inches(21), **{"maker_no_load": figure(3400), **engine})
    return replace(job(machine, market="US"), instruments=instruments, judged_on=judged_on)


def late(instrument: Instrument) -> Instrument:
    return replace(instrument, due_on="2026-05-31")


def share(instrument: Instrument) -> float:
    """By hand: a plate's share of 3400 rpm as the half width of a rectangle, / sqrt 3."""
    return instrument.accuracy * 3400 * RPM / 3**0.5


@pytest.mark.parametrize(
    ("instruments", "by"),
    [
        ((FINE, COARSE), FINE),
        ((late(FINE), COARSE), COARSE),  # the finer one can pass no machine before it has been checked
        ((late(FINE), late(COARSE)), FINE),
        ((replace(FINE, due_on=""), COARSE), COARSE),  # never checked is as good as overdue
    ],
)
def test_the_room_is_that_of_the_finest_instrument_that_may_pass_a_machine(instruments, by):
    assert setting_needs(a_job(*instruments)).instrument_u == pytest.approx(share(by), rel=1e-12)


def test_an_instrument_nothing_is_known_of_leaves_the_room_to_one_that_is_known():
    unknown = Instrument("T0", "unmarked tachometer", resolution=RPM, due_on="2027-01-01")
    assert setting_needs(a_job(unknown, COARSE)).instrument_u == pytest.approx(share(COARSE), rel=1e-12)
    assert setting_needs(a_job(unknown, late(COARSE))).instrument_u == pytest.approx(share(COARSE), rel=1e-12)
    (said, _) = setting_notes(a_job(unknown))
    assert said == Message("job.room-not-known", instrument="unmarked tachometer")


def test_plate_last_digit_and_check_all_take_their_room():
    # By hand: half widths of 0.0005 x 3400 + 1 and 1/2 rpm over sqrt 3, and 0.0002 x 3400 rpm, as squares.
    plate = replace(FINE, digits=RPM, resolution=RPM, u_correction=0.0002)
    by_hand = (((1.7 + 1) ** 2 + 0.5**2) / 3 + 0.68**2) ** 0.5 * RPM
    assert setting_needs(a_job(plate)).instrument_u == pytest.approx(by_hand, rel=1e-12)


def test_a_coarser_instrument_lowers_the_top_of_the_band_where_the_ceiling_is_near():
    # By hand: the band's top is the ceiling less 1.644854 u less the step; only u differs between the two.
    checked, overdue = (work(a_job(fine, COARSE)).window.set_high for fine in (FINE, late(FINE)))
    assert checked - overdue == pytest.approx(1.644854 * (share(COARSE) - share(FINE)), rel=1e-6)


@pytest.mark.parametrize(
    ("instruments", "doubted"),
    [
        ((late(FINE),), "fine tachometer"),
        ((late(FINE), late(COARSE)), "fine tachometer"),
        ((late(FINE), COARSE), ""),
        ((FINE,), ""),
        ((), ""),
    ],
)
def test_a_band_that_rests_on_an_overdue_instrument_says_so_in_the_result(instruments, doubted):
    said = [note for note in work(a_job(*instruments)).notes if note.code == DOUBT]
    assert said == ([Message(DOUBT, instrument=doubted)] if doubted else [])


def test_without_a_day_no_instrument_counts_as_overdue():
    one = a_job(late(FINE), COARSE, judged_on="")
    assert setting_needs(one).instrument_u == pytest.approx(share(FINE), rel=1e-12)
    assert DOUBT not in [note.code for note in setting_notes(one)]


def test_without_a_makers_figure_there_is_no_band_to_doubt():
    assert list(setting_notes(a_job(late(FINE), maker_no_load=None))) == []
