import numpy as np
import pytest

from snath.formulas.signals.film.fit import follow
from snath.formulas.signals.film.foretold import (
    foretold_errors,
    foretold_from_elsewhere,
    surely_worse,
    widest_gap,
)
from snath.formulas.signals.film.region import flickering
from snath.formulas.signals.film.rivals import judged
from snath.formulas.signals.film.rows import flicker_by_rows
from snath.formulas.signals.film.steady import camera_motion, steadied

T = np.arange(120) / 30
SCENE = 3e4 + 1e4 * np.sin(np.arange(48) / 5.0)[None, :] * np.cos(np.arange(36) / 4.0)[:, None]


def seen(phase):
    """Two courses of brightness of a mark that passes smoothly."""
    return np.stack([np.cos(2 * np.pi * phase), np.sin(4 * np.pi * phase)], axis=1)


def test_rates_that_bring_the_pictures_into_one_order_foretell_alike():
    # Property: on an arc shorter than half a turn, twice the phase has the same order.
    phase = 0.3 * T / T[-1] + 0.05 * np.random.default_rng(1).random(len(T))
    once, twice = (foretold_errors(times * phase, seen(phase)) for times in (1, 2))
    # Outermost pictures have other neighbours across the gap; all others have the same.
    assert np.sort(np.abs(once - twice))[:-8] == pytest.approx(0, abs=1e-9)
    assert surely_worse(twice, once, T) < 3.5


def test_noise_is_foretold_with_its_own_variance():
    # By hand: a picture less the weighted mean of its neighbours has the variance 1 + sum of squared weights.
    noise = np.random.default_rng(2).standard_normal((20_000, 1))
    assert foretold_errors(np.random.default_rng(3).random(20_000), noise).mean() == pytest.approx(
        1, abs=0.03
    )


def test_half_a_rate_is_told_by_pictures_from_the_other_half_of_its_turn():
    phase = 7.31 * T
    errors, near = foretold_from_elsewhere(phase / 2, seen(phase), 2)
    assert near.mean() > 0.9
    assert errors.mean() < 0.05 * (seen(phase) ** 2).sum(axis=1).mean()
    apart, _ = foretold_from_elsewhere(phase, seen(phase), 2)
    assert apart.mean() > 0.5 * (seen(phase) ** 2).sum(axis=1).mean()


def test_a_third_of_the_frame_rate_is_seen_in_three_places():
    # By hand: 0, 1/3, 2/3 of a turn and nothing between.
    assert widest_gap(10 * T) == pytest.approx(1 / 3, abs=1e-9)


def test_a_lamp_and_pumping_exposure_leave_no_trace_in_a_steadied_film():
    rows = np.arange(36)[:, None] / 36
    light = (
        1 + 0.4 * np.cos(2 * np.pi * 100 * (T[:, None, None] + 0.01 * rows)) + 0.1 * np.sin(T)[:, None, None]
    )
    left = steadied(SCENE * light + 4096 * (light - 1))
    assert left.std(axis=0).max() < 0.002 * SCENE.mean()


def test_motion_of_the_camera_is_found():
    y, x = np.mgrid[0:36, 0:48]

    def moved(down, right):
        return 3e4 + 1e4 * np.sin((x - right) / 5.0) * np.cos((y - down) / 4.0)

    path = 0.3 * np.sin(2 * np.pi * 1.3 * T)
    cells = np.stack([moved(by, -by) for by in path])
    found = camera_motion(cells)
    assert found[:, 0] - found[:, 0].mean() == pytest.approx(path - path.mean(), abs=0.02)


def test_rows_that_flicker_as_one_are_told_from_a_mark_that_goes_round():
    y, x = np.mgrid[0:36, 0:48]
    phase = 7.31 * T
    place = np.arctan2(y - 18, x - 24) / (2 * np.pi)
    mark = np.exp(-(((phase[:, None, None] - place + 0.5) % 1 - 0.5) ** 2) / 0.005)
    lamp = np.cos(2 * np.pi * (phase[:, None, None] + 0.3 * y / 36)) * np.ones(x.shape)
    every = np.arange(36 * 48)
    assert flicker_by_rows(lamp, every, phase=phase)
    assert not flicker_by_rows(mark, every, phase=phase)


def test_of_noise_that_a_rate_foretells_worse_than_nothing_it_is_left_all_the_same():
    # Property: its share lies below nothing, and half of that above it; a film that nothing explains is no fault.
    generator = np.random.default_rng(5)
    t, series = np.arange(120) / 30, generator.standard_normal((120, 3))
    noise = 0.9 * float((series**2).sum())
    found = judged([follow(t, series, phase=7.0 * t)], t, series, angle=0 * t, marks=1, noise=noise)
    assert len(found.likely) == 1


def test_cells_are_taken_from_all_round_the_turn_though_one_spot_flickers_most():
    # Property: a disc twice as bright at its foot; the 60 strongest cells alone would all lie there.
    y, x = np.mgrid[0:36, 0:48]
    down, right = y - 18, x - 24
    off = (7.31 * T[:, None, None] - np.arctan2(down, right) / (2 * np.pi) + 0.5) % 1 - 0.5
    mark = (np.abs(off) < 0.05) * (np.abs(np.hypot(down, right) - 12) < 4) * (1 + (down > 8))
    cells = SCENE + 1e4 * mark + np.random.default_rng(4).normal(0, 50, mark.shape)
    phase = np.exp(2j * np.pi * 7.31 * T)
    assert abs((np.exp(2j * np.pi * flickering(cells).angle) * phase.conj()).mean()) > 0.9
