from snath.decisions.reading.light_reading import across_marks, reading_from_light
from snath.formulas.signals.candidates import Candidate
from snath.formulas.signals.film.result import LightResult
from snath.quantities.measured import Measured
from snath.quantities.message import term


def test_a_film_whose_marks_nobody_counted_is_never_decided():
    # By hand: the same film at 100 repetitions a second is 100 rev/s with one mark and 50 with two.
    one, two = (
        LightResult((Candidate(speed, 0.1, 1.0, "mark, as filmed"),), True, Measured(speed))
        for speed in (100.0, 50.0)
    )
    reading = reading_from_light(across_marks(((1, one), (2, two))))
    assert not reading.decided
    assert sorted(c.rev_s for c in reading.candidates) == [50.0, 100.0]
    assert sum(c.weight for c in reading.candidates) <= 1.0
    assert reading.next_steps[0] == term("film-ask", "marks")
