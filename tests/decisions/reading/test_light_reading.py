from snath.decisions.reading.light_reading import across_capture_rates, reading_from_light
from snath.formulas.signals.candidates import Candidate
from snath.formulas.signals.film.result import LightResult
from snath.quantities.measured import Line, Measured

SURE = LightResult(
    (Candidate(50.0, 0.1, 1.0, "mark, as filmed"),), True, Measured(50.0, (Line("x", 0.1),)), explained=0.9
)


def test_a_film_stays_an_indication_until_it_was_checked_in_this_shop():
    reading = reading_from_light(SURE)
    assert reading.decided
    assert reading.value.value == 50.0
    assert not reading.confirmed


def test_a_slow_motion_film_nobody_confirmed_is_never_decided():
    slow = LightResult((Candidate(6.25, 0.1, 1.0, "mark, as filmed"),), True, Measured(6.25))
    both = across_capture_rates(((240.0, SURE), (30.0, slow)))
    reading = reading_from_light(both)
    assert not reading.decided
    assert [c.rev_s for c in reading.candidates] == [50.0, 6.25]
    assert [c.order.values["rate"] for c in reading.candidates] == [240.0, 30.0]
    assert reading.next_steps
