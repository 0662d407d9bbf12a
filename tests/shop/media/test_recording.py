import numpy as np
import pytest

from benchmarks.simulator.engine import Scene, record
from benchmarks.simulator.files import film_file, sound_file
from benchmarks.simulator.film import Camera, Part, moments, pictures
from snath.decisions.machine.parts import Engine, Machine
from snath.shop.media.recording import read_recording
from snath.shop.media.request import ReadRequest
from tests.shop import ladder

MACHINE = Machine("m", "walk-behind rotary mower", Engine(strokes=4, cylinders=2))


@pytest.fixture(scope="module")
def clip():
    """A film with sound of an evenly firing twin: 30 even frames a second, so that both leave several speeds."""
    generator = np.random.default_rng(3)
    take = record(Scene(rev_s=47.7, seconds=4.0, firings=(0.0, 0.5), snr_db=20, cut_off=60), generator)
    camera = Camera(30, size=(60, 80))
    began, stamped = moments(camera, 3.9, generator)
    shown = pictures(take.ride, Part(), camera, began, generator)
    return film_file(shown, stamped, size=camera.size, sound=(take.samples, take.rate)), take


def test_sound_and_picture_that_each_leave_several_speeds_leave_one_together(clip):
    # Another road: the turns the simulated crankshaft made; within the budget's cycle jitter.
    file, take = clip
    alone = [
        read_recording(file, ReadRequest(kind=kind, machine=MACHINE, marks=1)).reading
        for kind in ("sound", "light")
    ]
    assert [one.decided for one in alone] == [False, False]
    both = read_recording(file, ReadRequest(machine=MACHINE, marks=1)).reading
    assert both.decided
    assert both.method == "fused"
    assert both.value.value == pytest.approx(take.ride.speed_over(0, 3.9), rel=1.5e-3)


def test_an_evenly_firing_twin_without_a_sheet_names_both_speeds(clip):
    # By hand: line for line the sound of a single at twice the speed.
    file, take = clip
    reading = read_recording(file, ReadRequest(kind="sound")).reading
    truth = take.ride.speed_over(0, 4.0)
    assert not reading.decided
    named = [c.rev_s for c in reading.candidates]
    assert min(abs(n / truth - 1) for n in named) < 0.003
    assert min(abs(n / (2 * truth) - 1) for n in named) < 0.003


def test_a_long_recording_is_told_as_it_is_read(tmp_path):
    told = []
    path = tmp_path / "long.wav"
    path.write_bytes(sound_file(np.zeros(8000 * 150, np.float32), 8000, "wav"))
    read_recording(path, progress=lambda done, total: told.append((done, total)))
    assert told[-1] == (150.0, 150.0)
    assert 100 < len(told) < 200  # By hand: about one word a second of recording


def test_a_course_bears_the_name_of_the_shaft_it_was_taken_at():
    log = ("\n".join(f"{k / 50:.6f}" for k in range(80))).encode()
    found = read_recording(log, ReadRequest(shaft="spindle", per_turn=1.0))
    assert (found.track.shaft, found.reading.shaft) == ("spindle", "spindle")


def test_a_recording_of_idle_and_two_governed_speeds_names_each_and_decides_none():
    # By construction: 1,750, 3,300 and 3,180 rpm; cycle jitter leaves each within a third of a percent.
    reading = read_recording(ladder.as_sound(), ReadRequest(machine=ladder.SINGLE)).reading
    assert not reading.decided
    assert [c.rev_s * 60 for c in reading.candidates] == pytest.approx(list(ladder.RPM), rel=3e-3)
    for one, (begin, end) in zip(reading.plateaus, ladder.ENDS, strict=True):
        assert begin - 0.2 < one.begin < one.end < end + 0.2
        assert one.end - one.begin > (end - begin) / 2
