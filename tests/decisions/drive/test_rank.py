import numpy as np

from snath.decisions.drive.rank import front, not_beaten, vectors


def beaten_by_any(rows):
    """Another road: every row against every row."""
    return [any((o <= r).all() and (o < r).any() for o in rows) for r in rows]


def test_the_front_is_what_nothing_beats():
    rng = np.random.default_rng(9)
    for count in (0, 1, 2, 300, 2000):
        rows = rng.integers(0, 6, (count, 4)).astype(float)
        expected = {i for i, beaten in enumerate(beaten_by_any(rows)) if not beaten}
        assert set(front(rows).tolist()) == expected


def test_rows_are_held_against_rivals_and_equals_stay():
    rows = np.array([[1.0, 1, 1, 1], [2, 2, 2, 2], [0, 5, 0, 0]])
    assert not_beaten(rows, by=np.array([[1.0, 1, 1, 1]])).tolist() == [True, False, True]


def test_drives_that_differ_by_less_than_float_noise_are_equal():
    one = vectors(np.array([1.0]), np.array([0.1]), np.array([0.2]), np.array([3.0]))
    other = vectors(np.array([1.0]), np.array([0.1 + 1e-13]), np.array([0.2]), np.array([3.0]))
    assert (one == other).all()
