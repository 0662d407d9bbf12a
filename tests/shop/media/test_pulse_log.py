import numpy as np
import pytest

from benchmarks.simulator.files import sound_file
from snath.shop.media.pulse_log import looks_like_text, pulse_log
from tests.told import refused


@pytest.mark.parametrize(
    "text",
    [
        "0.00\n0.02\n0.04\n",
        "t_s\n0.00\n0.02\n0.04\n",
        "\ufefft_s;note\n0,00;\n0,02;\n0,04;\n",
        "# clock 1 MHz\n0\n20000\n40000\n",
        "# a logger, clock: 1000000 Hz\ncounts\n0\n20000\n40000\n",
        "t,level\n0.0,0\n0.00,1\n0.01,0\n0.02,1\n0.03,0\n0.04,1\n",
        "0.00 s".replace(" s", "") + "\r\n0.02\r\n0.04\r\n",
    ],
)
def test_seconds_counts_and_levels_are_all_read(text):
    assert pulse_log(text.encode()).t_s == pytest.approx([0.0, 0.02, 0.04])


def test_a_counter_that_begins_again_goes_on():
    # By hand: 16 bits at 1 MHz begin again every 65.536 ms.
    true = np.arange(100) * 0.01
    counts = np.round(true * 1e6).astype(int) % 2**16
    text = "# clock 1 MHz\n" + "\n".join(map(str, counts))
    assert pulse_log(text.encode()).t_s == pytest.approx(true, abs=1e-6)


def test_a_clock_may_be_told_beside_the_file():
    assert pulse_log(b"0\n16\n32\n", clock=16e6).t_s == pytest.approx([0, 1e-6, 2e-6])


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("1\n2\n1.5\n", "pulses must come one after the other; counts need their clock"),
        ("0.1\n0.2\nx\n", "line 3: x: must be a number"),
        ("0.1\n", "at least two pulses"),
        ("nan\n1\n", "must be a number of seconds or counts"),
    ],
)
def test_a_faulty_list_is_refused_naming_the_fault(text, why):
    with refused(why):
        pulse_log(text.encode())


def test_text_is_told_from_sound():
    assert looks_like_text(b"t_s\n0.1\n0.2\n")
    assert not looks_like_text(sound_file(np.zeros(800, np.float32), 8000, "wav"))
    assert not looks_like_text(b"ffconcat version 1.0\nfile x\n")


def test_a_heading_made_to_hold_the_reader_up_is_read_on_its_first_signs_only():
    # 817 bytes of this froze a pattern that went back over them: "clock" 40 times, dots, blanks.
    log = "0.1\n0.2\n" + "# " + "clock" * 40 + "." * 200 + " " * 400 + "\n0.3\n"
    assert len(pulse_log(log.encode()).t_s) == 3
    assert pulse_log(b"# clock of 1.2.3 MHz\n0.1\n0.2\n").clock is None  # no number of anything
