import sys

import numpy as np
import pytest

from benchmarks.simulator.files import sound_file
from snath.shop.media.decoder import fingerprint
from snath.shop.media.sound import sound_stream, whole
from tests.told import refused

RATE = 48_000


def tone(seconds=1.0, rate=RATE, frequency=440.0):
    return (0.5 * np.sin(2 * np.pi * frequency * np.arange(round(seconds * rate)) / rate)).astype(np.float32)


def heard(samples, rate):
    """Frequency of the strongest line. [Hz]"""
    power = np.abs(np.fft.rfft(samples * np.hanning(len(samples)), 8 * len(samples)))
    return float(power.argmax() / (8 * len(samples)) * rate)


@pytest.mark.parametrize("kind", ["wav", "flac", "mp3", "ogg", "m4a", "mp4", "webm"])
def test_a_tone_comes_out_of_every_kind_of_file_at_its_pitch_and_length(kind):
    stream = sound_stream(sound_file(tone(2.0), RATE, kind))
    samples = whole(stream)
    assert stream.rate == RATE
    assert heard(samples, stream.rate) == pytest.approx(440, abs=0.1)
    assert len(samples) / stream.rate == pytest.approx(2.0, abs=0.03)  # a coder's last frame may stick out
    assert np.abs(samples).max() == pytest.approx(0.5, abs=0.15)
    assert stream.notes == ()


@pytest.mark.parametrize(
    ("rate", "delivered"), [(4_000, 4_000), (44_100, 44_100), (96_000, 48_000), (192_000, 48_000)]
)
def test_rates_from_4_to_192_khz_are_served_and_high_ones_brought_down(rate, delivered):
    stream = sound_stream(sound_file(tone(1.0, rate), rate, "wav"))
    samples = whole(stream)
    assert (stream.file_rate, stream.rate) == (rate, delivered)
    assert heard(samples, stream.rate) == pytest.approx(440, abs=0.1)


def test_stereo_is_its_mean_and_opposite_channels_do_not_cancel():
    left = tone()
    alike = sound_stream(sound_file(np.stack([left, left]), RATE, "wav"))
    assert alike.channels == 2
    assert whole(alike) == pytest.approx(left, abs=1e-3)
    opposite = whole(sound_stream(sound_file(np.stack([left, -left]), RATE, "wav")))
    assert np.abs(opposite) == pytest.approx(np.abs(left), abs=1e-3)


def test_samples_keep_their_value_to_a_16_bit_step():
    samples = tone()
    assert whole(sound_stream(sound_file(samples, RATE, "flac"))) == pytest.approx(samples, abs=2 / 32768)


def test_a_truncated_file_gives_what_is_left_of_it():
    file = sound_file(tone(4.0), RATE, "mp3")
    samples = whole(sound_stream(file[: len(file) // 2]))
    assert len(samples) / RATE == pytest.approx(2.0, abs=0.1)


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "is empty"),
        (b"ffconcat version 1.0\nfile '/etc/hosts'\n", "is no WAV, FLAC, MP3, OGG, M4A, MP4, MOV or WebM"),
        (sound_file(tone(1.0, 2_000), 2_000, "wav"), "2000 samples a second; 4000 to 192000 are served"),
    ],
)
def test_what_cannot_be_heard_is_refused_with_a_reason(content, why):
    with refused(why):
        whole(sound_stream(content))


def test_a_recording_longer_than_allowed_is_refused_before_it_is_decoded():
    with refused("is 0 minutes long; at most 0 can be read"):
        sound_stream(sound_file(tone(3.0), RATE, "wav"), longest_s=2.0)


@pytest.mark.parametrize("name", ["missing.wav", "."])
def test_no_file_is_no_crash(name, tmp_path):
    with refused(r"cannot be opened|is not a file"):
        sound_stream(tmp_path / name)


def test_a_fingerprint_is_the_files_sha_256(tmp_path):
    # Published: SHA-256 of "abc", FIPS 180-4 example (from memory).
    (tmp_path / "abc").write_bytes(b"abc")
    assert fingerprint(tmp_path / "abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_half_a_stream_may_be_left_without_a_child_staying_behind():
    stream = sound_stream(sound_file(tone(30.0, 8_000), 8_000, "wav"))
    next(iter(stream.blocks))
    stream.blocks.close()  # generators end their child on closing


@pytest.mark.skipif(sys.platform != "linux", reason="the limits are those of Linux")
def test_the_decoding_child_can_open_no_second_file():
    import subprocess

    said = subprocess.run(
        [
            sys.executable,
            "-c",
            "from snath.shop.media.decoder_worker import lock_up; lock_up(); open('/etc/hosts')",
        ],
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Too many open files" in said.stderr
