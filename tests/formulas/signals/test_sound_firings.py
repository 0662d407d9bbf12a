import numpy as np
import pytest

from snath.formulas.signals.sound_firings import ALTERNATING, MOST, SURE, log_odds_double, wave_of

POINTS, TOP = 192, 30
ANSWER = np.random.default_rng(7).standard_normal(28) * np.exp(-np.arange(28) / 8)
OTHERS = np.random.default_rng(8).standard_normal((8, 28)) * np.exp(-np.arange(28) / 8)


def cycles(*firings, count=40, noise=0.05):
    """So many cycles in a little noise, of answers that begin at a share of the cycle and ring over its end."""
    cycle = np.zeros(POINTS)
    for place, answer in firings:
        cycle[(round(place * POINTS) + np.arange(len(answer))) % POINTS] += answer
    return cycle + noise * np.random.default_rng(5).standard_normal((count, POINTS))


def odds(*firings, engine=(0.0,), loose=()):
    return log_odds_double(cycles(*firings), 1.0, TOP, engine, loose)


@pytest.mark.parametrize("weaker", [0.3, 0.5, 0.8])
def test_the_same_answer_again_half_a_cycle_on_but_weaker_is_a_strong_and_a_weak_cycle(weaker):
    # Property: two cycles of one engine share its pipe, wall and room.
    assert odds((0.1, ANSWER), (0.6, weaker * ANSWER)) == MOST


def test_one_answer_or_another_one_half_a_cycle_on_is_a_single_cycle():
    # Property: a knock or a fan half a cycle on has nothing to do with the firing, though one now and then is like it.
    assert odds((0.1, ANSWER)) < -3
    told = [odds((0.1, ANSWER), (0.6, 0.5 * other)) for other in OTHERS]
    assert max(told) < 0


def test_where_the_cycle_begins_makes_no_difference():
    # Property: nobody knows where on the clock it fires.
    told = [odds((place, ANSWER), (place + 0.5, 0.2 * OTHERS[0])) for place in (0.0, 0.23, 0.61)]
    assert np.ptp(told) < 1


def test_two_alike_firings_of_an_uneven_twin_are_one_cycle_of_it_and_no_two_of_a_single():
    # By hand: a 315-degree twin fires at 0 and 0.4375 of its cycle, which is near half of it.
    twin = ((0.1, ANSWER), (0.5375, 0.9 * ANSWER))
    assert odds(*twin, engine=(0.0, 0.4375)) < -3
    assert odds((0.1, ANSWER), (0.6, 0.9 * ANSWER)) > 0


def test_four_firings_of_an_even_twin_strong_and_weak_by_cycles_are_two_cycles_of_it():
    # By hand: the slower speed's cycle holds two of the faster one's, each of two firings half its length apart.
    four = tuple((0.1 + n / 4, share * ANSWER) for n, share in enumerate((1.0, 1.0, 0.6, 0.6)))
    assert odds(*four, engine=(0.0, 0.5)) > 1
    assert odds((0.1, ANSWER), (0.6, ANSWER), engine=(0.0, 0.5)) < ALTERNATING


def test_a_twin_whose_cylinders_sound_a_little_unlike_is_not_taken_for_half_its_speed():
    # By hand: its firings lie a quarter of the slower cycle apart, and every second one comes through another pipe.
    for other in OTHERS[:3]:
        both = (ANSWER, 0.8 * ANSWER + 0.4 * other)
        assert odds(*((0.1 + n / 4, both[n % 2]) for n in range(4)), engine=(0.0, 0.5)) > ALTERNATING


def test_firings_that_are_not_those_told_say_nothing_of_twice_the_speed():
    # Property: told to fire at 0 and 3/8 it fires at 0 and 1/4, once a cycle, which makes no cycle half as long.
    assert odds((0.1, ANSWER), (0.35, ANSWER), engine=(0.0, 0.375)) < ALTERNATING


def test_three_answers_alike_are_neither_one_cycle_nor_two():
    # By hand: then the speed is three times as high, and lines missing at two of three places are no weak cycles.
    assert odds((0.1, ANSWER), (0.1 + 1 / 3, ANSWER), (0.1 + 2 / 3, ANSWER)) < ALTERNATING


def test_lines_another_part_makes_say_nothing():
    # By hand: tones at every fourth line, as a blade of four tips on a two-stroke's shaft makes, are all even ones.
    turn = 2 * np.pi * np.arange(POINTS) / POINTS
    blade = sum(np.cos(line * turn + line) for line in range(4, 21, 4))
    heard = cycles((0.1, ANSWER)) + blade
    deaf, told = (log_odds_double(heard, 1.0, TOP, (0.0,), loose) for loose in ((), range(4, 21, 4)))
    assert deaf > 0
    assert told < ALTERNATING


def test_noise_few_cycles_and_few_lines_leave_the_belief_before_hearing():
    # By hand: three cycles cannot be cut in three parts of two, and below line 3 are under four lines.
    noise = np.random.default_rng(9).standard_normal((40, POINTS))
    assert abs(log_odds_double(noise, 1.0, TOP, (0.0,)) - ALTERNATING) < 1
    assert log_odds_double(cycles((0.1, ANSWER), count=3), 1.0, TOP, (0.0,)) == ALTERNATING
    assert log_odds_double(cycles((0.1, ANSWER)), 1.0, 3, (0.0,)) == ALTERNATING


def test_lines_of_a_wave_are_about_as_loud_as_their_neighbours_and_no_surer_than_they_are():
    # Property: half the power stands above one, half below; noise alone has as much noise as power.
    wave = wave_of(cycles((0.1, ANSWER)), 1.0, TOP)
    assert wave is not None
    assert 0.5 < np.mean(np.abs(wave.lines) ** 2) < 2
    assert wave.noise.max() < 0.5
    faint = wave_of(np.random.default_rng(9).standard_normal((40, POINTS)), 1.0, TOP)
    assert faint is not None
    assert faint.noise.mean() > 0.5


def test_what_is_believed_has_a_most_and_a_least():
    # Property: a wave now and then is like none of these, so neither is ever certain.
    assert odds((0.1, ANSWER), (0.6, 0.3 * ANSWER)) == MOST
    assert odds((0.1, ANSWER), engine=(0.0, 0.4375)) >= SURE
