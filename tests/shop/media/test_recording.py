import numpy as np
import pytest

from snath.decisions.machine.parts import Engine, Machine
from snath.quantities.errors import InputError
from snath.shop.media.recording import Asked, read_recording
from snath.shop.media.write import film_file, sound_file
from snath.shop.simulator.engine import Scene, record
from snath.shop.simulator.film import Camera, Part, moments, pictures

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
    alone = [read_recording(file, Asked(kind=kind, machine=MACHINE)).reading for kind in ("sound", "light")]
    assert [one.decided for one in alone] == [False, False]
    both = read_recording(file, Asked(machine=MACHINE)).reading
    assert both.decided
    assert both.method == "fused"
    assert both.value.value == pytest.approx(take.ride.speed_over(0, 3.9), rel=1.5e-3)


def test_an_evenly_firing_twin_without_a_sheet_names_both_speeds(clip):
    # By hand: line for line the sound of a single at twice the speed.
    file, take = clip
    reading = read_recording(file, Asked(kind="sound")).reading
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
    found = read_recording(log, Asked(shaft="spindle", per_turn=1.0))
    assert (found.track.shaft, found.reading.shaft) == ("spindle", "spindle")


@pytest.fixture(scope="module")
def ladder():
    """Idle and two governed speeds in one sound, as it is to be recorded: 4, 6 and 6 s."""
    generator, samples = np.random.default_rng(5), []
    for rpm, seconds in ((1750, 4.0), (3300, 6.0), (3180, 6.0)):
        scene = Scene(rev_s=rpm / 60, seconds=seconds, firings=(0.0,), snr_db=20, cut_off=60)
        take = record(scene, generator)
        samples.append(0.1 * take.samples / np.std(take.samples))
    return sound_file(np.concatenate(samples).astype(np.float32), take.rate, "wav")


SINGLE = Machine("m", "walk-behind rotary mower", Engine(strokes=4, cylinders=1, firings=(0.0,)))


def test_a_recording_of_idle_and_two_governed_speeds_names_each_and_decides_none(ladder):
    # By construction: 1,750, 3,300 and 3,180 rpm; cycle jitter leaves each within a third of a percent.
    reading = read_recording(ladder, Asked(machine=SINGLE)).reading
    assert not reading.decided
    assert [c.rev_s * 60 for c in reading.candidates] == pytest.approx([1750, 3300, 3180], rel=3e-3)
    for one, (begin, end) in zip(reading.plateaus, ((0, 4), (4, 10), (10, 16)), strict=True):
        assert begin - 0.2 < one.begin < one.end < end + 0.2
        assert one.end - one.begin > (end - begin) / 2


def test_a_stretch_of_it_read_alone_is_decided(ladder):
    found = read_recording(ladder, Asked(machine=SINGLE, begin_s=4.5, end_s=9.5))
    assert found.reading.decided
    assert found.reading.value.value * 60 == pytest.approx(3300, rel=2e-3)
    assert found.seconds == pytest.approx(5.0, abs=0.01)


def test_a_stretch_that_is_none_and_one_of_a_pulse_list_are_refused(ladder):
    with pytest.raises(InputError, match="must come before"):
        read_recording(ladder, Asked(begin_s=9.0, end_s=4.0))
    with pytest.raises(InputError, match="must come before"):
        read_recording(ladder, Asked(begin_s=60.0))
    with pytest.raises(InputError, match="only of a sound"):
        read_recording(b"t_s\n1\n2\n3\n", Asked(kind="pulses", begin_s=1.0))
