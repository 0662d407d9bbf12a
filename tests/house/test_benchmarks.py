"""Every benchmark can be begun: one that fails while it is imported stops the whole run."""

from benchmarks.__main__ import names


def test_every_benchmark_is_imported_with_what_the_program_has_now():
    # Property: `names` imports each of them; one of the unseen families went wrong there unseen.
    assert {"sound", "unseen_settings"} <= set(names())
