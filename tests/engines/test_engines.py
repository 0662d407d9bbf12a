"""Four families of engine recordings: apart from each other and from the reader, and true to what they state."""

import ast
from pathlib import Path

import numpy as np
import pytest

import benchmarks.engines.case as shared
from benchmarks.engines.deal import RANGES, SETS, cases
from benchmarks.engines.render import FAMILIES, clip_of

FOLDER = Path(shared.__file__).parent
ALLOWED = {"puffs": ("benchmarks.simulator.engine", "benchmarks.simulator.ride")}


def imported(path: Path) -> list[str]:
    """Modules that a file imports."""
    nodes = list(ast.walk(ast.parse(path.read_text("utf-8"))))
    plain = [alias.name for node in nodes if isinstance(node, ast.Import) for alias in node.names]
    return plain + [node.module or "" for node in nodes if isinstance(node, ast.ImportFrom)]


@pytest.mark.parametrize("family", FAMILIES)
def test_a_family_shares_no_module_with_another_or_with_the_reader(family):
    files = list((FOLDER / family).glob("*.py"))
    assert len(files) > 1
    for path in files:
        for name in imported(path):
            ours = name.startswith(("snath", "benchmarks", "tests"))
            own = (f"benchmarks.engines.{family}.", "benchmarks.engines.case", *ALLOWED.get(family, ()))
            assert not ours or name.startswith(own), f"{path.name} imports {name}"


@pytest.mark.parametrize("family", FAMILIES)
def test_the_same_seed_gives_the_same_samples_however_many_are_drawn(family):
    first = clip_of(family, list(cases("mixed", family, 7, 3))[1]).samples
    again = clip_of(family, list(cases("mixed", family, 7, 2))[1]).samples
    other = clip_of(family, list(cases("mixed", family, 8, 2))[1]).samples
    assert np.array_equal(first, again)
    assert first.shape != other.shape or not np.array_equal(first, other)


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("which", SETS)
def test_truth_covers_the_clip_and_only_goes_forward(family, which):
    # Property. A speed is what was drawn, but for what a governor and a flywheel make of single cycles.
    for case in cases(which, family, 11, 3):
        clip = clip_of(family, case)
        assert np.isfinite(clip.samples).all()
        assert np.abs(clip.samples).max() <= 1
        assert clip.t_s[0] <= 0
        assert clip.t_s[-1] >= clip.seconds - 1e-6
        assert (np.diff(clip.t_s) >= 0).all()
        assert (np.diff(clip.turns) >= -1e-12).all()
        until = min(case.course.at_s, clip.seconds) - 0.1
        assert clip.speed_over(0.2, until) == pytest.approx(case.course.rev_s, rel=0.25)
        assert (clip.released_s < clip.still_s) == (case.course.situation == "run-down")


@pytest.mark.parametrize("family", FAMILIES)
def test_the_sound_repeats_with_the_working_cycle_that_the_truth_states(family):
    # Another road: autocorrelation along the true angle. A clip turned into equal steps of angle is alike one cycle
    # later, and less alike a third of a firing further on; loud, held, no second engine.
    found = []
    for case in cases("mixed", family, 12, 100):
        if (
            case.course.situation != "held"
            or case.snr_db < 15
            or case.beside
            or case.wind_db
            or case.speech_db
        ):
            continue
        clip = clip_of(family, case)
        ends = np.interp([0.2, clip.seconds - 0.2], clip.t_s, clip.turns)
        angle = np.arange(*ends, 1 / 128)
        t = np.interp(angle, clip.turns, clip.t_s)
        wave = np.interp(t, np.arange(len(clip.samples)) / clip.rate, clip.samples)
        cycle = 128 * case.engine.turns
        off = round(cycle / len(case.engine.firings) / 3)
        alike = [float(np.corrcoef(wave[:-lag], wave[lag:])[0, 1]) for lag in (cycle, cycle + off)]
        found.append(alike[0] - alike[1])
    assert len(found) >= 4
    assert np.median(found) > 0.2


def test_levels_of_every_share_are_drawn():
    # Property of 400 draws: each engine turns up, and a share of 5 % of second engines is neither none nor a tenth.
    drawn = list(cases("mixed", "crank", 13, 400))
    assert {case.engine.name for case in drawn} == {row["name"] for row in RANGES["engine"]}
    assert 4 <= sum(case.beside is not None for case in drawn) <= 40
    assert all(case.beside is not None for case in cases("beside", "crank", 13, 20))
    assert all(0.05 <= case.cycles.alternating <= 0.7 for case in cases("alternating", "crank", 13, 20))
