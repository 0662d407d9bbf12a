"""Is the chance of being over a limit the one the standards print?"""

import math

import pytest
from scipy.stats import norm as normal
from scipy.stats import t as student

from snath.formulas.conformity import (
    NORMAL_QUANTILES,
    coverage_factor,
    effective_dof,
    look_factor,
    probability_over,
)
from tests.told import refused


def test_a_diode_voltage_conforms_to_its_upper_limit_with_0_92():
    # Published: JCGM 106:2012, 7.3.3, example 1 (from memory; it recomputes): y = -5.47 V, u = 0.05 V,
    # upper limit -5.40 V, probability of conformity 0.92.
    over = probability_over(value=-5.47, u=0.05, limit=-5.40)
    assert 1 - over == pytest.approx(0.92, abs=0.005)


@pytest.mark.parametrize(("guard", "false_acceptance"), [(0.0, 0.5), (1.6449, 0.05), (2.0, 0.02275)])
def test_a_guard_band_leaves_the_false_acceptance_printed_for_it(guard, false_acceptance):
    # Published: ILAC-G8:09/2019, w = 0 shares the risk up to 50 %, w = U = 2u keeps it under 2.5 %; 1.6449 u is
    # 5 % one-sided (ISO 14253-1:2017 default of 95 %, from memory).
    assert probability_over(value=-guard, u=1.0, limit=0.0) == pytest.approx(false_acceptance, abs=0.0005)


def test_few_degrees_of_freedom_follow_student():
    # Another road: scipy.stats' t distribution; and the table value 2.920 for 95 % one-sided at 2 degrees.
    assert probability_over(value=1.0, u=0.5, limit=0.0, dof=2.7) == pytest.approx(student.cdf(2.0, 2.7))
    assert coverage_factor(probability=0.95, dof=2) == pytest.approx(2.920, abs=0.0005)


@pytest.mark.parametrize("probability", NORMAL_QUANTILES)
def test_quantiles_written_down_are_those_of_the_library_to_the_last_digit(probability):
    # Another road: scipy.stats' normal distribution.
    assert coverage_factor(probability=probability) == normal.ppf(probability)


def test_16_rpm_under_the_limit_with_10_rpm_is_not_95_per_cent():
    # By hand: 16/10 = 1.6 < 1.645.
    assert probability_over(value=3440, u=10, limit=3456) > 0.05


def test_without_doubt_the_limit_itself_is_inside():
    assert probability_over(value=3.0, u=0.0, limit=3.0) == 0.0
    assert probability_over(value=math.nextafter(3.0, 4), u=0.0, limit=3.0) == 1.0


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        ({"value": math.nan, "u": 1, "limit": 0}, "value"),
        ({"value": 0, "u": -1, "limit": 0}, "u"),
        ({"value": 0, "u": 1, "limit": math.inf}, "limit"),
        ({"value": 0, "u": 1, "limit": 0, "dof": 0.5}, "dof"),
    ],
)
def test_what_is_no_number_in_range_is_refused_by_name(arguments, named):
    with refused(f"^{named} = "):
        probability_over(**arguments)


def test_degrees_of_freedom_leave_a_sum_the_guards_of_its_parts_in_squares():
    # By hand, t table (any handbook): t95 of 2 is 2.920, of 3 2.353; normal 1.645. Parts of 21.3 and 20:
    # sqrt(62.2^2 + 32.9^2) = 70.4, over 29.2 is 2.41: a little under 3 degrees of freedom.
    dof = effective_dof([(21.3, 2), (20.0, None)])
    assert student.ppf(0.95, dof) * math.hypot(21.3, 20.0) == pytest.approx(70.4, abs=0.1)
    assert 2.8 < dof < 3
    assert effective_dof([(5.0, None)]) == math.inf
    assert effective_dof([(5.0, 4)]) == pytest.approx(4)


def test_more_doubt_never_asks_for_less_room():
    # Property; Welch and Satterthwaite's formula breaks it: 62.2 alone, 55.8 with 10 beside it.
    def guard(beside: float) -> float:
        dof = effective_dof([(21.3, 2), (beside, None)])
        return coverage_factor(probability=0.95, dof=dof) * math.hypot(21.3, beside)

    rooms = [guard(beside) for beside in (0, 1, 5, 10, 20, 40, 80)]
    assert rooms == sorted(rooms)


def test_a_first_look_spends_half_of_the_risk_one_at_another_sample_a_quarter_and_later_ones_a_twentieth():
    # By hand: t of 2 degrees of freedom at 97.5 %, 98.75 % and 99.75 % over that at 95 %: 4.303, 6.205, 14.089 / 2.920.
    assert look_factor(looks=1, dof=2) == pytest.approx(4.303 / 2.920, rel=1e-3)
    assert look_factor(looks=1, dof=2, first=False) == pytest.approx(6.205 / 2.920, rel=1e-3)
    assert look_factor(looks=2, dof=2) == pytest.approx(14.089 / 2.920, rel=1e-3)
