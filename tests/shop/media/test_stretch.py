"""A stretch read alone, by sound, pulses and film: its times are the recording's, and what is none is refused."""

import numpy as np
import pytest

from benchmarks.simulator.engine import Blade, Scene, record
from benchmarks.simulator.files import film_file, sound_file
from benchmarks.simulator.film import Camera, Part, moments, pictures
from benchmarks.simulator.ride import ride
from snath.shop.media.recording import read_recording
from snath.shop.media.request import ReadRequest
from snath.shop.media.sound import SoundStream
from snath.shop.media.stretch import cut
from snath.words.render import ENGLISH, say
from tests.shop import ladder
from tests.told import refused

PULSES = {"kind": "pulses", "per_turn": 1.0}
SOUND = {"machine": ladder.SINGLE}


@pytest.mark.parametrize(
    ("recording", "how"), [(ladder.as_sound, SOUND), (ladder.as_pulses, PULSES)], ids=["sound", "pulses"]
)
def test_a_stretch_is_decided_and_its_course_keeps_the_recordings_times(recording, how):
    # By construction 3,300 rpm is held from 4 to 10 s of the recording.
    found = read_recording(recording(), ReadRequest(**how, begin_s=4.5, end_s=9.5))
    assert found.reading.decided
    assert found.reading.value.value * 60 == pytest.approx(3300, rel=2e-3)
    assert found.seconds == pytest.approx(5.0, abs=0.03)
    assert found.begin_s == pytest.approx(4.5, abs=0.03)
    assert (found.track.t_s[0], found.track.t_s[-1]) == pytest.approx((4.5, 9.5), abs=0.4)
    assert "only 4.5 to 9.5 s of the recording was read" in say(found.reading.why, ENGLISH)


@pytest.mark.parametrize(
    ("recording", "how"), [(ladder.as_sound, SOUND), (ladder.as_pulses, PULSES)], ids=["sound", "pulses"]
)
def test_speeds_held_within_a_stretch_are_named_by_the_recordings_times(recording, how):
    # By construction: 3,300 rpm up to 10 s and 3,180 rpm up to 16 s; the first 6 s are left out.
    reading = read_recording(recording(), ReadRequest(**how, begin_s=6.0)).reading
    assert [one.rev_s * 60 for one in reading.plateaus] == pytest.approx([3300, 3180], rel=3e-3)
    first, second = reading.plateaus
    assert (first.begin, first.end, second.begin, second.end) == pytest.approx((6, 10, 10, 16), abs=0.6)
    assert f"{second.begin:.1f} to {second.end:.1f} s: " in say(reading.why, ENGLISH)


def test_a_pulse_list_of_three_held_speeds_names_each_and_each_is_decided_alone():
    # By construction, see `ladder`; a turn is 0.3 % long or short, so that means of seconds are good to 0.05 %.
    found = read_recording(ladder.as_pulses(), ReadRequest(**PULSES))
    assert not found.reading.decided
    assert [one.rev_s * 60 for one in found.reading.plateaus] == pytest.approx(list(ladder.RPM), rel=1e-3)
    for one, rpm, (begin, end) in zip(found.reading.plateaus, ladder.RPM, ladder.ENDS, strict=True):
        assert begin - 0.3 < one.begin < one.end < end + 0.3
        assert one.end - one.begin > (end - begin) / 2
        alone = read_recording(
            ladder.as_pulses(), ReadRequest(**PULSES, begin_s=one.begin, end_s=one.end)
        ).reading
        assert alone.decided
        assert alone.value.value * 60 == pytest.approx(rpm, rel=1e-3)


@pytest.mark.parametrize("profile", ["steady", "drift", "ramp", "hunting"])
def test_pulses_of_an_engine_that_drifts_climbs_or_hunts_are_no_several_speeds(profile):
    going = ride(
        profile, rev_s=50, seconds=8, cycle_turns=2, jitter=0.01, generator=np.random.default_rng(71)
    )
    log = "".join(f"{t:.7f}\n" for t in going.time_at(np.arange(1, 350)))
    reading = read_recording(log.encode(), ReadRequest(**PULSES)).reading
    assert (reading.decided, reading.plateaus) == (True, ())


def test_a_release_heard_in_a_stretch_is_told_by_the_recordings_time():
    # Truth: the simulator's own release, a second later, because a second of noise comes first.
    scene = Scene(rev_s=52.0, seconds=7.0, profile="run-down", blade=Blade(1.0), snr_db=20.0)
    take = record(scene, np.random.default_rng(66))
    noise = 0.01 * np.random.default_rng(1).standard_normal(round(take.rate))
    sound = sound_file(np.concatenate([noise, take.samples]).astype(np.float32), take.rate, "wav")
    track = read_recording(sound, ReadRequest(begin_s=1.0)).track
    assert [event.kind for event in track.events] == ["release"]
    assert track.events[0].t_s == pytest.approx(1 + take.ride.release_s, abs=0.1)
    assert all(start >= 1.0 for start, _ in track.gaps)


def film_of(speeds, seconds):
    """A mark that turns at each of these speeds for so long, 30 uneven frames a second."""
    generator = np.random.default_rng(2)
    camera = Camera(30, stamps="uneven", size=(60, 80))
    shown, stamps, before = [], [], 0.0
    for rev_s in speeds:
        going = ride("steady", rev_s=rev_s, seconds=seconds, cycle_turns=2, jitter=0.003, generator=generator)
        began, stamped = moments(camera, seconds, generator)
        shown += list(pictures(going, Part(), camera, began, generator))
        stamps.append(before + stamped)
        before += seconds
    stamped = np.maximum.accumulate(np.concatenate(stamps) + 1e-3 * np.arange(len(shown)) / len(shown))
    return film_file(iter(shown), stamped, size=camera.size)


def test_a_stretch_of_a_film_is_read_alone_with_the_films_times():
    # By construction: 50.3 rev/s in the first 4 s and 44 in the second.
    filmed = film_of((50.3, 44.0), 4.0)
    for begin, end, rev_s in ((0.2, 3.8, 50.3), (4.2, 7.8, 44.0)):
        found = read_recording(filmed, ReadRequest(marks=1, begin_s=begin, end_s=end))
        assert found.reading.decided
        assert found.reading.value.value == pytest.approx(rev_s, rel=2e-3)
        assert begin - 0.05 < found.track.t_s[0] < found.track.t_s[-1] < end + 0.05


def test_slow_motion_is_cut_by_the_seconds_at_which_it_was_taken():
    # By hand: 8 s of film taken at twice the rate of its stamps are 4 s of the engine, at twice the speed.
    filmed = film_of((25.0, 22.0), 4.0)
    found = read_recording(filmed, ReadRequest(marks=1, capture_rate=60.0, begin_s=2.1, end_s=3.9))
    assert min(abs(one.rev_s - 44.0) for one in found.reading.candidates) < 0.1
    with refused(r"from = 5 s: must come before 4\.0 s, where what is read of the film"):
        read_recording(filmed, ReadRequest(capture_rate=60.0, begin_s=5.0))


@pytest.mark.parametrize(
    ("recording", "how", "seconds"),
    [(ladder.as_sound, SOUND, "16.0"), (ladder.as_pulses, PULSES, "16.0")],
    ids=["sound", "pulses"],
)
def test_what_is_no_stretch_of_the_recording_is_refused_by_name(recording, how, seconds):
    content = recording()
    with refused("from = 9 s: must come before 4 s, where the stretch ends"):
        read_recording(content, ReadRequest(**how, begin_s=9.0, end_s=4.0))
    with refused(f"from = 60 s: must come before {seconds} s, where the recording ends"):
        read_recording(content, ReadRequest(**how, begin_s=60.0))
    with refused("from = -1 s: must be at least 0"):
        read_recording(content, ReadRequest(**how, begin_s=-1.0))
    with refused("to = 0 s: must be over 0"):
        read_recording(content, ReadRequest(**how, end_s=0.0))


def test_a_sound_that_turns_out_shorter_than_it_claims_is_refused_where_the_stretch_begins_after_it():
    blocks = iter([np.zeros(100, np.float32)] * 3)
    claims = SoundStream(100.0, 100.0, 1, 60.0, blocks)
    with refused(r"from = 5 s: must come before 3\.0 s"):
        list(cut(claims, 5.0, None).blocks)


def test_a_stretch_with_too_few_pulses_says_so():
    reading = read_recording(
        b"t_s\n0\n0.1\n0.2\n0.3\n9\n9.1\n", ReadRequest(**PULSES, begin_s=2.0, end_s=5.0)
    ).reading
    assert (reading.decided, reading.candidates) == (False, ())
    assert "at least four pulses are needed" in say(reading.why, ENGLISH)


def test_a_film_followed_across_a_load_step_names_both_held_speeds():
    # Another road: the speed the simulated governor meant, half a second in and half a second before the end.
    generator = np.random.default_rng(9003)
    rev_s = generator.uniform(28, 58)
    going = ride("step", rev_s=rev_s, seconds=6, cycle_turns=2, jitter=0.005, generator=generator)
    camera = Camera(30, stamps="uneven", size=(60, 80))
    began, stamped = moments(camera, 5.8, generator)
    shown = pictures(going, Part(), camera, began, generator)
    reading = read_recording(film_file(shown, stamped, size=camera.size), ReadRequest(marks=1)).reading
    assert not reading.decided
    meant = going.governed_at(np.array([0.5, 5.5]))
    assert [one.rev_s for one in reading.plateaus] == pytest.approx(list(meant), rel=5e-3)
