import numpy as np
import pytest

from benchmarks.simulator.engine import Scene, record
from snath.formulas.signals.candidates import Driven, Orders
from snath.formulas.signals.sound import speed_from_sound
from snath.formulas.signals.sound_answer import BY_THE_MAINS, IN_PART
from snath.quantities.message import Message
from tests.formulas.signals.throwaway import combs, steady
from tests.told import refused

# Combs here never jitter: at the mains' own frequency, or half of it, they would rightly be taken for its hum.
RATE = 44_100
SINGLE = Orders(875 / 60, 5400 / 60, 2, (0.0,))
EVEN_TWIN = Orders(875 / 60, 5400 / 60, 2, (0.0, 0.5))
VEE_TWIN = Orders(875 / 60, 5400 / 60, 2, (0.0, 0.375))
TWO_STROKE = Orders(1400 / 60, 15_750 / 60, 1, (0.0,))
UNKNOWN = Orders(700 / 60, 15_000 / 60)


@pytest.mark.parametrize(
    ("orders", "rev_s"),
    [
        (SINGLE, 29.3),
        (SINGLE, 54.0),
        (EVEN_TWIN, 52.7),
        (VEE_TWIN, 38.1),
        (TWO_STROKE, 61.0),
        (TWO_STROKE, 187.0),
    ],
)
def test_an_engine_whose_firing_is_known_is_heard_within_the_stated_doubt(orders, rev_s):
    # Property: the speed that was synthesised. 1e-5: the bound of such a comb is below 1e-6.
    sound = steady(rev_s=rev_s, seconds=5, firings=orders.firings, cycle_turns=orders.cycle_turns)
    result = speed_from_sound(sound, RATE, orders)
    assert result.decided
    assert result.steady.value == pytest.approx(rev_s, rel=1e-5)


def test_an_evenly_firing_twin_without_a_sheet_is_undecided_with_both_speeds_named():
    # By hand: a twin at 40 rev/s fires 40 times a second, and so does a single at 80.
    sound = steady(rev_s=40.0, seconds=3, firings=(0.0, 0.5))
    result = speed_from_sound(sound, RATE, UNKNOWN)
    assert not result.decided
    named = [one.rev_s for one in result.candidates]
    assert any(speed == pytest.approx(40.0, rel=1e-3) for speed in named)
    assert any(speed == pytest.approx(80.0, rel=1e-3) for speed in named)


def twin_heard_from_one_side(*, rev_s, weaker, later_s, noise, seed):
    """Sound of an evenly firing twin whose second cylinder is heard weaker and later, for 5 s."""
    generator = np.random.default_rng(seed)
    t = np.arange(int(5 * RATE)) / RATE
    x = np.zeros(len(t))
    for k in range(1, 60):
        frequency = k * rev_s / 2
        pair = 1 + weaker * (-1) ** k * np.exp(-2j * np.pi * frequency * later_s)
        loud = abs(pair) * (0.03 if frequency < 60 else 1.0) / (1 + (frequency / 300) ** 2)
        x += loud * np.cos(2 * np.pi * frequency * t + generator.uniform(0, 2 * np.pi))
    return (x + noise * np.std(x) * generator.standard_normal(len(t))).astype(np.float32)


@pytest.mark.parametrize(
    ("rev_s", "weaker", "later_s"),
    [(49.2, 0.6, 0.005), (60.0, 0.8, 0.0012), (40.0, 0.7, 0.003), (55.0, 0.5, 0.002)],
)
def test_a_twin_whose_cylinders_are_not_heard_alike_is_never_decided_at_half_its_speed(
    rev_s, weaker, later_s
):
    # Property: such a sound has a line at every half order, as an alike pair at half the speed has.
    sound = twin_heard_from_one_side(rev_s=rev_s, weaker=weaker, later_s=later_s, noise=0.3, seed=4)
    result = speed_from_sound(sound, RATE, EVEN_TWIN)
    if result.decided:
        assert result.steady.value == pytest.approx(rev_s, rel=1e-3)
    assert any(one.rev_s == pytest.approx(rev_s, rel=1e-3) and one.weight > 0.05 for one in result.candidates)


@pytest.mark.parametrize("rev_s", [26.0, 31.0, 40.0])
def test_an_alike_twin_is_decided_though_twice_its_speed_lies_in_the_range(rev_s):
    # Property: the speed that was synthesised; its lines are as loud as their neighbours.
    result = speed_from_sound(steady(rev_s=rev_s, seconds=5, firings=(0.0, 0.5)), RATE, EVEN_TWIN)
    assert result.decided
    assert result.steady.value == pytest.approx(rev_s, rel=1e-5)


def test_a_range_of_less_than_two_to_one_decides_without_a_sheet():
    # By hand: of 20, 40 and 80 rev/s only 40 lies between 30 and 59.
    sound = steady(rev_s=40.0, seconds=3, firings=(0.0, 0.5))
    result = speed_from_sound(sound, RATE, Orders(30.0, 59.0))
    assert result.decided
    assert result.steady.value == pytest.approx(40.0, rel=1e-3)


def test_a_vee_twin_is_not_taken_for_half_its_speed():
    # Property: a comb of its firings alone reads half; its cycle is two turns whatever fires in it.
    result = speed_from_sound(steady(rev_s=47.0, seconds=3, firings=(0.0, 0.25)), RATE, VEE_TWIN)
    assert result.steady.value == pytest.approx(47.0, rel=1e-3)


def test_a_loud_blade_through_a_belt_gives_its_ratio_and_does_not_pull_the_speed():
    # Property: ratio and speed as synthesised.
    orders = Orders(875 / 60, 5400 / 60, 2, (0.0,), (Driven(1.14, 1.21, 2),))
    sound = steady(rev_s=51.0, seconds=5, blade=1.18, blade_level=1.4, noise=0.3)
    result = speed_from_sound(sound, RATE, orders)
    assert result.decided
    assert result.steady.value == pytest.approx(51.0, rel=1e-4)
    assert result.driven_ratio.value == pytest.approx(1.18, rel=1e-3)


def test_hunting_is_followed_and_told_apart_from_drift():
    # By hand: 50 rev/s with a swing of 2 at 1.5 Hz has the mean 50 over 4 s, six whole swings.
    t = np.arange(int(4 * RATE)) / RATE
    turns = 50 * t - 2 / (2 * np.pi * 1.5) * (np.cos(2 * np.pi * 1.5 * t) - 1)
    result = speed_from_sound(combs(turns=turns, rate=RATE), RATE, SINGLE)
    assert result.decided
    assert result.steady.value == pytest.approx(50.0, rel=5e-4)
    assert result.hunting == pytest.approx(2.0, rel=0.1)
    truth = 50 + 2 * np.sin(2 * np.pi * 1.5 * np.array(result.track.t_s))
    assert np.median(np.abs(np.array(result.track.rev_s) / truth - 1)) < 2e-3


def test_a_steady_change_is_reported_as_drift_beside_the_mean():
    # By hand: from 48 to 52 rev/s in 4 s is 1 rev/s a second, mean 50.
    t = np.arange(int(4 * RATE)) / RATE
    result = speed_from_sound(combs(turns=48 * t + 0.5 * t**2, rate=RATE), RATE, SINGLE)
    assert result.steady.value == pytest.approx(50.0, rel=1e-3)
    assert result.drift == pytest.approx(1.0, rel=0.03)
    assert result.low == pytest.approx(48.0, rel=5e-3)
    assert result.high == pytest.approx(52.0, rel=5e-3)


def test_after_a_release_the_speed_before_it_is_given_and_the_moment_named():
    # Property: firing stops at 2.5 s, only noise is left.
    sound = steady(rev_s=51.0, seconds=5)
    sound[int(2.5 * RATE) :] = 0.05 * np.random.default_rng(2).standard_normal(len(sound) - int(2.5 * RATE))
    result = speed_from_sound(sound, RATE, SINGLE)
    assert result.decided
    assert result.steady.value == pytest.approx(51.0, rel=1e-3)
    (event,) = result.track.events
    assert event.kind == "release"
    assert event.t_s == pytest.approx(2.5, abs=0.3)


def test_mains_hum_is_not_taken_for_an_engine():
    # Property: at -10 dB of engine to hum the engine is still the answer.
    t = np.arange(int(5 * RATE)) / RATE
    hum = sum(np.cos(2 * np.pi * 60 * n * t + n) / n for n in (1, 2, 3, 5))
    sound = steady(rev_s=47.0, seconds=5, noise=0.3)
    result = speed_from_sound(sound + 3 * np.std(sound) * hum.astype(np.float32), RATE, SINGLE)
    assert result.steady.value == pytest.approx(47.0, rel=1e-3)


@pytest.mark.parametrize("orders", [SINGLE, EVEN_TWIN])
def test_hum_that_swells_is_no_engine_and_an_engine_at_the_mains_own_speed_is_one(orders):
    # Property: what is drawn is a hum alone, of which the swell leaves lines beside those that are known for hum.
    t = np.arange(int(5 * RATE)) / RATE
    for mains in (50, 60):
        lines = sum(np.cos(2 * np.pi * mains * n * t + n) / n for n in (1, 2, 3, 4, 6, 8, 10))
        hum = lines * (1 + 0.5 * np.sign(np.sin(2 * np.pi * 2.3 * t)))
        noise = 0.1 * np.random.default_rng(mains).standard_normal(len(t))
        result = speed_from_sound((hum + noise).astype(np.float32), RATE, orders)
        assert not result.decided
    # Property: the simulator's own speed. Its cycles jitter, as those of an engine do.
    scene = Scene(rev_s=60.0, seconds=5.0, snr_db=10.0, rate=float(RATE))
    engine = speed_from_sound(record(scene, np.random.default_rng(2)).samples, RATE, SINGLE)
    assert engine.decided
    assert BY_THE_MAINS not in engine.notes


@pytest.mark.parametrize(("beat", "tone"), [(23.1, 150.3), (21.4, 150.3), (19.7, 88.8)])
def test_the_slap_of_a_rotor_whose_tone_keeps_no_step_with_its_beat_is_no_engine(beat, tone):
    # Property: a slap each beat, of a tone that goes on from one to the next, is another wave each time. All three were
    # decided as engines once.
    t = np.arange(int(5 * RATE)) / RATE
    slap = np.exp(-12 * (beat * t % 1)) * np.sin(2 * np.pi * tone * t)
    noise = 0.05 * np.random.default_rng(8).standard_normal(len(t))
    assert not speed_from_sound((slap + noise).astype(np.float32), RATE, SINGLE).decided


def test_noise_alone_is_never_decided():
    # Property: there is no engine in it.
    generator = np.random.default_rng(7)
    for _ in range(6):
        noise = generator.standard_normal(3 * RATE).astype(np.float32)
        assert not speed_from_sound(noise, RATE, SINGLE).decided


@pytest.mark.parametrize(("quiet_s", "decided"), [(1.0, True), (3.6, False)])
def test_an_engine_heard_in_less_than_half_of_a_recording_does_not_speak_for_all_of_it(quiet_s, decided):
    # By hand: of 5 s it runs in 4.0 s or in 1.4 s; nobody knows how fast it ran before.
    sound = steady(rev_s=51.0, seconds=5)
    loud = np.arange(len(sound)) >= quiet_s * RATE
    noise = np.random.default_rng(3).standard_normal(len(sound)) * 0.05 * np.std(sound)
    result = speed_from_sound(sound * loud + noise.astype(np.float32), RATE, SINGLE)
    assert result.steady.value == pytest.approx(51.0, rel=1e-3)
    assert result.decided is decided
    assert (IN_PART in result.notes) is not decided


@pytest.mark.parametrize("sound", [np.zeros(RATE), np.zeros(0), np.zeros(100), np.full(RATE, np.nan)])
def test_silence_and_scraps_cannot_be_told(sound):
    result = speed_from_sound(sound, RATE, SINGLE)
    assert not result.decided
    assert result.steady is None
    assert result.notes


def test_a_rate_that_is_none_is_refused_by_name():
    with refused("rate = 0 samples per second"):
        speed_from_sound(np.zeros(100), 0, SINGLE)


def test_no_stated_doubt_is_below_the_phones_clock_and_the_cycles_jitter():
    # By hand: 75 ppm, and 0.5 % over the root of the 125 cycles in 5 s at 50 rev/s.
    result = speed_from_sound(steady(rev_s=50.0, seconds=5), RATE, SINGLE)
    sources = {line.source: line.u for line in result.steady.lines}
    assert sources[Message("budget.clock")] >= 50e-6 * 50
    assert sources[Message("budget.wander")] == pytest.approx(50 * 0.005 / np.sqrt(125), rel=1e-3)


def test_pieces_of_any_length_read_like_the_whole():
    # Property: a recording is the same in whatever pieces it comes.
    sound = steady(rev_s=50.0, seconds=4)
    whole = speed_from_sound(sound, RATE, SINGLE)
    pieces = speed_from_sound(iter(np.array_split(sound, 17)), RATE, SINGLE)
    assert pieces == whole


def test_forty_times_the_length_costs_no_more_memory_than_its_longest_piece():
    # Property: pieces are forgotten once heard; a generator that is drained piece by piece shows it.
    sound, alive = steady(rev_s=51.0, seconds=2), []

    def pieces():
        for _ in range(40):
            alive.append(1)
            yield sound.copy()

    result = speed_from_sound(pieces(), RATE, SINGLE)
    assert len(alive) == 40
    assert result.duration == pytest.approx(80.0)
    assert result.decided


@pytest.mark.parametrize("rate", [8_000, 16_000, 48_000, 96_000])
def test_any_usual_rate_will_do(rate):
    result = speed_from_sound(steady(rev_s=50.0, seconds=3, rate=rate), rate, SINGLE)
    assert result.steady.value == pytest.approx(50.0, rel=1e-4)


def test_a_blade_alone_is_followed_down_after_the_release():
    # By hand: n = n0 ((1 + b/d) exp(-d t) - b/d) with b = 0.3, d = 0.4 from 50 rev/s at 2 s.
    t = np.arange(int(4.5 * RATE)) / RATE
    since = np.maximum(t - 2, 0)
    speed = 50 * ((1 + 0.75) * np.exp(-0.4 * since) - 0.75)
    turns = np.concatenate([[0.0], np.cumsum((speed[1:] + speed[:-1]) / 2) / RATE])
    running = combs(turns=turns, rate=RATE, blade=1.18, blade_level=0.7)
    blade = sum(0.3 * np.std(running) / n * np.cos(2 * np.pi * 2 * n * 1.18 * turns) for n in (1, 2, 3))
    noise = 0.05 * np.std(running) * np.random.default_rng(3).standard_normal(len(t))
    sound = np.where(t < 2, running, blade + noise).astype(np.float32)
    orders = Orders(875 / 60, 5400 / 60, 2, (0.0,), (Driven(1.14, 1.21, 2),))
    result = speed_from_sound(sound, RATE, orders)
    at = np.arange(2.2, 3.4, 0.1)  # to a quarter of the speed, under which nothing is left to hear
    assert np.interp(at, result.track.t_s, result.track.rev_s) == pytest.approx(
        np.interp(at, t, speed), rel=0.04
    )
    assert result.steady.value == pytest.approx(50.0, rel=1e-3)
