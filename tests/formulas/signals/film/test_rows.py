import numpy as np
import pytest

from benchmarks.simulator.film import Camera, Panel, Part, moments, pictures
from benchmarks.simulator.ride import ride
from snath.formulas.signals.film.region import flickering
from snath.formulas.signals.film.rows import marks_seen, row_slope

ROWS, COLUMNS = 30, 40


def drawn(*, slope, sense=1, marks=1, frames=240, rate=0.137, across=0.0, hidden=0.0):
    """Cells that flicker by the law itself, a narrow mark going round on a ring, and its repetitions."""
    row, column = np.mgrid[0:ROWS, 0:COLUMNS]
    down, right = (row + 0.5) / ROWS, (column + 0.5) / ROWS
    place = np.arctan2(down - 0.5, right - 0.66) / (2 * np.pi)
    radius = np.hypot(down - 0.5, right - 0.66)
    seen = (radius > 0.2) & (radius < 0.42) & (place % 1 >= hidden)
    phase = rate * np.arange(frames)
    ahead = phase[:, None, None] + slope * down + across * right - sense * marks * place
    cells = 100 + 50 * seen * np.exp(-((np.abs((ahead + 0.5) % 1 - 0.5) / 0.06) ** 2))
    return cells, np.flatnonzero(seen), phase


def filmed(part, *, rev_s, rate=60, readout_s=0.01, seed=1):
    """Coarse pictures of a simulated film, the cells that flicker, and the turns done."""
    generator = np.random.default_rng((seed, 3))
    going = ride("steady", rev_s=rev_s, seconds=5, cycle_turns=2, jitter=0.0, generator=generator)
    camera = Camera(rate, size=(60, 80), readout_s=readout_s, exposure_s=1 / 2000)
    began, _ = moments(camera, 4.0, generator)
    shown = pictures(going, part, camera, began, generator)
    cells = np.stack([p.reshape(30, 2, 40, 2).mean(axis=(1, 3)) for p in shown])
    at = flickering(cells, lit_at_once=isinstance(part, Panel)).at
    return cells, at, going.turns_at(began) * len(part.marks)


@pytest.mark.parametrize("marks", [1, 2])
@pytest.mark.parametrize("sense", [1, -1])
@pytest.mark.parametrize("slope", [-0.9, 0.0, 0.35, 2.2])
def test_the_slope_over_the_rows_is_found_whichever_way_the_part_turns(slope, sense, marks):
    # By hand: cells drawn by the law m n (t + y T) - m s b, with m n T = slope.
    cells, at, phase = drawn(slope=slope, sense=sense, marks=marks)
    found = row_slope(cells, at, phase=phase, marks=marks)
    assert found.slope == pytest.approx(slope, abs=0.02)


def test_a_phase_that_runs_the_other_way_has_the_opposite_slope():
    # By hand: at a mirrored fold the same pictures repeat at minus the phase.
    cells, at, phase = drawn(slope=0.35)
    assert row_slope(cells, at, phase=-phase, marks=1).slope == pytest.approx(-0.35, abs=0.02)


@pytest.mark.parametrize("readout_s", [0.0, 0.004, 0.015])
def test_rows_of_a_filmed_mark_run_ahead_by_its_rate_times_the_readout_time(readout_s):
    # By hand: 37.3 rev/s times the readout time of the simulator's own shutter, 0, 0.149 and 0.560 turns.
    cells, at, turns = filmed(Part(), rev_s=37.3, readout_s=readout_s)
    found = row_slope(cells, at, phase=turns, marks=1)
    assert found.slope == pytest.approx(37.3 * readout_s, abs=0.02)
    assert found.u < 0.05


@pytest.mark.parametrize("towards", [0.0, 0.25, 0.6])
@pytest.mark.parametrize("tilt", [0.3, 0.7])
def test_an_oblique_view_through_a_near_lens_stays_within_what_is_said_of_it(tilt, towards):
    # Another road: the simulator's perspective; 1.5 picture heights over the distance is a very wide lens.
    part = Part(tilt=tilt, towards=towards, near=1.5, radius=(0.2, 0.38), width=0.08)
    cells, at, turns = filmed(part, rev_s=37.3, readout_s=0.01)
    found = row_slope(cells, at, phase=turns, marks=1)
    assert abs(found.slope - 0.373) < 2 * found.u + found.view
    assert (
        found.view > 1.5 * np.sin(tilt) / (2 * np.pi) / 1.5
    )  # by hand: lens times sine over a turn, of a lean that is seen


def test_a_panel_under_a_flash_runs_ahead_by_its_rate_times_the_readout_time():
    # By hand: 37.3 flashes a second times 10 ms.
    cells, at, turns = filmed(Panel(), rev_s=37.3)
    found = row_slope(cells, at, phase=turns, marks=1, lit_at_once=True)
    assert found.slope == pytest.approx(0.373, abs=0.02)
    assert found.view == 0
    assert row_slope(cells, at, phase=turns, marks=1) is None  # nothing goes round


def test_a_mark_seen_on_part_of_its_way_tells_nothing():
    # By hand: on a short arc its travel alone gives any slope; half hidden leaves 6 or 7 of 12 parts of the turn.
    cells, at, phase = drawn(slope=0.35, hidden=0.5)
    assert row_slope(cells, at, phase=phase, marks=1) is None


def test_a_mark_seen_in_a_few_places_only_tells_nothing():
    # By hand: a quarter of a turn a frame shows four phases, 0.25 apart.
    cells, at, phase = drawn(slope=0.35, rate=0.25)
    assert row_slope(cells, at, phase=phase, marks=1) is None


def test_a_film_that_was_turned_on_its_side_tells_nothing():
    # By hand: rows read from left to right leave a slope over the columns, which rows cannot.
    for across in (0.3, 0.9):
        cells, at, phase = drawn(slope=0.0, across=across)
        assert row_slope(cells, at, phase=phase, marks=1) is None


def test_cells_that_stray_from_the_law_tell_nothing():
    # By hand: phases that scatter by 0.08 of a repetition are twice as far off as a law is believed to be, 0.04.
    row = np.repeat(np.arange(ROWS), COLUMNS)
    stray = np.random.default_rng(1).normal(0, 0.08, row.size)
    phase = 0.137 * np.arange(240)
    for told, off in ((False, stray), (True, 0 * stray)):
        ahead = phase[:, None] + 0.35 * (row + 0.5) / ROWS + off
        cells = (100 + 50 * np.cos(2 * np.pi * ahead)).reshape(-1, ROWS, COLUMNS)
        found = row_slope(cells, np.arange(row.size), phase=phase, marks=1, lit_at_once=True)
        assert (found is not None) == told


def test_harmonics_that_do_not_keep_in_step_tell_nothing():
    # By hand: of one pattern that comes later row by row the second harmonic has twice the slope of the first.
    down = (np.arange(ROWS) + 0.5)[:, None] / ROWS * np.ones(COLUMNS)
    phase = 0.137 * np.arange(240)[:, None, None]
    for second, told in ((0.7, True), (0.0, False)):
        cells = 100 + 50 * np.cos(2 * np.pi * (phase + 0.35 * down))
        cells += 30 * np.cos(2 * np.pi * (2 * phase + second * down))
        found = row_slope(cells, np.arange(down.size), phase=phase.ravel(), marks=1, lit_at_once=True)
        assert (found is not None) == told


def test_pictures_taken_in_another_order_tell_nothing():
    # By hand: at 0.3371 turns a frame, twice the phase shows the first harmonic as the fifth, near the third of a turn.
    cells, at, turns = drawn(slope=0.35, rate=0.3371)
    assert row_slope(cells, at, phase=turns, marks=1) is not None
    assert row_slope(cells, at, phase=2 * turns, marks=1) is None


@pytest.mark.parametrize("marks", [1, 2, 3])
@pytest.mark.parametrize("slope", [0.0, 2.2])
def test_alike_marks_are_counted_by_how_often_the_phase_goes_round(marks, slope):
    # By hand: cells drawn by the law m n (t + y T) - m s b go round m times with the place b on one turn.
    cells, at, phase = drawn(slope=slope, sense=-1, marks=marks)
    assert marks_seen(cells, at, phase=phase) == marks


def test_of_two_marks_one_never_seen_looks_like_one():
    # Truth: the simulator's own part; two marks repeat twice a turn, one alone once.
    for places in ((0.0,), (0.0, 0.5)):
        cells, at, phase = filmed(Part(marks=places), rev_s=37.3)
        assert marks_seen(cells, at, phase=phase) == len(places)


def test_marks_seen_on_a_part_of_their_way_or_flickering_as_one_are_not_counted():
    # By hand: on 40 % of the turn any number fits; under a lamp no cell is later than another.
    cells, at, phase = drawn(slope=0.0, hidden=0.6)
    assert marks_seen(cells, at, phase=phase) is None
    still = 100 + 10 * np.cos(2 * np.pi * phase)[:, None, None] * np.ones((1, ROWS, COLUMNS))
    assert marks_seen(still, np.arange(ROWS * COLUMNS), phase=phase) is None
