import io
import time

import numpy as np
import pytest

from benchmarks.simulator.files import film_file, sound_file
from snath.shop.media import wire
from snath.shop.media.film import film, streams
from snath.shop.media.send_film import Bundle, coarse
from tests.told import refused

SIZE = (48, 64)


def pictures(count):
    """Grey pictures with a bright square in the left half of every second one."""
    for i in range(count):
        picture = np.full(SIZE, 60, np.uint8)
        if i % 2:
            picture[16:32, 8:24] = 220
        yield picture


@pytest.mark.parametrize(("kind", "codec"), [("mp4", "libx264"), ("mov", "libx264"), ("webm", "libvpx-vp9")])
def test_frames_come_with_the_containers_own_uneven_times(kind, codec):
    stamped = np.cumsum([0.0, *np.tile([0.033, 0.035, 0.031], 8)])
    read = film(film_file(pictures(len(stamped)), stamped, size=SIZE, kind=kind, codec=codec))
    assert read.t_s == pytest.approx(stamped, abs=0.6e-3)  # WebM counts milliseconds
    assert read.cells.shape == (len(stamped), *SIZE)
    assert not read.sound


def test_brightness_comes_through():
    read = film(film_file(pictures(20), np.arange(20) / 30, size=SIZE))
    square = read.cells[:, 18:30, 10:22].mean(axis=(1, 2)) / 256
    # By hand: 60 and 220 on a full scale, in a coder's narrow range 16 + v * 219/255: 67.5 and 204.9.
    assert square[0::2].mean() == pytest.approx(67.5, abs=3)
    assert square[1::2].mean() == pytest.approx(204.9, abs=3)


def test_large_pictures_are_brought_down_to_coarse_cells():
    large = (np.full((360, 640), 99, np.uint8) for _ in range(3))
    cells = film(film_file(large, np.arange(3) / 30, size=(360, 640))).cells
    assert max(cells.shape[1:]) <= 96
    # By hand: 99 in the narrow range is 16 + 99 * 219/255 = 101.0; one step of rounding either way.
    assert cells.mean() / 256 == pytest.approx(101.0, abs=1.5)


def test_a_cell_is_the_mean_of_a_lattice_of_its_points():
    # By hand: 300 points a row make cells of 4 (300 / 96 rounded up); rows 0 and 2 of each cell stand for it,
    # so that of brightness 10 times the row within the cell 10 is left, and of the columns' 0 to 3 the mean 1.5.
    row, column = np.mgrid[0:100, 0:300]
    cells = coarse((10 * (row % 4) + column % 4).astype(np.uint8))
    assert cells.shape == (25, 75)
    assert (cells == round((10 + 1.5) * 256)).all()
    small = np.arange(64, dtype=np.uint8).reshape(8, 8)
    assert (coarse(small) == small.astype(int) * 256).all()


def test_pictures_that_come_in_several_bundles_keep_their_order():
    # Property: 75 pictures are more than two bundles of 32; each is as bright as its number.
    shown = (np.full(SIZE, 20 + 2 * i, np.uint8) for i in range(75))
    read = film(film_file(shown, np.arange(75) / 30, size=SIZE))
    assert read.cells.shape[0] == len(read.t_s) == 75
    assert (np.diff(read.cells.mean(axis=(1, 2))) > 0).all()


def test_a_slow_decoder_gives_a_word_before_its_bundle_is_full(monkeypatch):
    now = iter([0.0, 0.1, 0.2, 0.8, 0.9, 1.0])
    monkeypatch.setattr(time, "monotonic", lambda: next(now))
    pipe = io.BytesIO()
    bundle = Bundle(pipe)
    for at in range(3):
        bundle.add(float(at), np.zeros((2, 3), "<u2"))
    assert [kind for kind, _ in wire.received(io.BytesIO(pipe.getvalue()))] == [wire.FRAMES]


def test_a_file_says_what_streams_it_holds():
    seen = streams(film_file(pictures(3), np.arange(3) / 30, size=SIZE))
    assert (seen.film, seen.sound) == (True, False)
    sound = streams(sound_file(np.zeros(8000, np.float32), 8000, "wav"))
    assert (sound.film, sound.sound) == (False, True)


def test_a_sound_file_is_no_film():
    with refused("holds no film"):
        film(sound_file(np.zeros(8000, np.float32), 8000, "wav"))
