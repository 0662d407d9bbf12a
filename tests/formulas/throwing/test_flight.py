"""The integrator against paper and pencil, and against scipy's integrators."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from snath.formulas.throwing.body import Body
from snath.formulas.throwing.drag import sphere_drag
from snath.formulas.throwing.flight import Air, Launch, fly
from tests.formulas.throwing.textbook import (
    drag_free_range,
    drag_length,
    flat_speed,
    sphere_mass,
    straight_up,
)
from tests.told import refused

G = 9.80665
AIR = Air(density=1.2, viscosity=1.81e-5, gravity=G)
BALL = 0.00635  # m, steel
BALL_MASS = float(sphere_mass(diameter=BALL, density=7850))
BALL_LENGTH = drag_length(mass=BALL_MASS, diameter=BALL, drag_coefficient=0.47, air_density=1.2)


def test_without_air_drag_the_range_is_that_of_the_schoolbook():
    # By hand: 50^2 / 9.80665 = 254.93 m at 45 degrees.
    flight = fly(Launch(50.0, np.pi / 4), Body(0.01, 0.02, 0.0), AIR)
    assert flight.distance == pytest.approx(254.93, abs=0.01)


def test_without_air_drag_every_angle_agrees_to_a_millionth():
    # Another road: v^2 sin(2 a) / g; apex v^2 sin^2(a) / (2 g); lands as fast as it left.
    angle = np.linspace(0.02, 1.55, 40)
    flight = fly(Launch(70.0, angle), Body(0.01, 0.02, 0.0), AIR)
    expected = drag_free_range(speed=70.0, elevation=angle, gravity=G)
    assert flight.distance == pytest.approx(expected, rel=1e-6)
    assert flight.apex == pytest.approx(70.0**2 * np.sin(angle) ** 2 / (2 * G), rel=1e-6)
    assert flight.speed == pytest.approx(np.full(40, 70.0), rel=1e-6)


def test_the_integrator_flies_flat_to_a_millionth():
    # Another road: with gravity off, x(t) = L ln(1 + v0 t / L) and v = v0 exp(-x / L).
    speed = np.array([20.0, 96.52, 190.0])
    time = BALL_LENGTH / speed * np.expm1(30 / BALL_LENGTH)  # when it has made 30 m
    flight = fly(Launch(speed, 0.0, 1.0), Body(BALL_MASS, BALL, 0.47), Air(1.2, 1.81e-5, 0.0), longest=time)
    assert flight.distance == pytest.approx(np.full(3, 30.0), rel=1e-6)
    expected = flat_speed(speed=speed, distance=30, drag_length=BALL_LENGTH)
    assert flight.speed == pytest.approx(expected, rel=1e-6)
    assert not flight.landed.any()


def test_straight_up_it_reaches_the_height_of_the_closed_form_to_a_millionth():
    # Another road: H = (L / 2) ln(1 + v0^2 / (g L)).
    speed = np.array([10.0, 50.0, 96.52, 193.0])
    flight = fly(Launch(speed, np.pi / 2), Body(BALL_MASS, BALL, 0.47), AIR)
    expected = straight_up(speed=speed, drag_length=BALL_LENGTH, gravity=G)
    assert flight.apex == pytest.approx(expected, rel=1e-6)
    # By hand: it falls back at v0 / sqrt(1 + v0^2 / (g L)).
    assert flight.speed == pytest.approx(speed / np.sqrt(1 + speed**2 / (G * BALL_LENGTH)), rel=1e-6)


def scipy_flight(method, *, speed, angle, height, tail, cross, slope, mass, diameter, coefficient):
    """The same throw by scipy, written down afresh: range, drift, landing speed."""
    area = np.pi * diameter**2 / 4

    def rate(_, y):
        wind = y[3:] - np.array([tail, cross, 0.0])
        fast = np.linalg.norm(wind)
        c = coefficient or sphere_drag(reynolds=max(1.2 * fast * diameter / 1.81e-5, 0.1))
        return [*y[3:], *(-1.2 * c * area * fast * wind / (2 * mass) - [0, 0, G])]

    def ground(_, y):
        return y[2] - y[0] * np.tan(slope)

    ground.terminal, ground.direction = True, -1
    start = [0, 0, height, speed * np.cos(angle), 0, speed * np.sin(angle)]
    got = solve_ivp(rate, (0, 200), start, method=method, events=ground, rtol=1e-11, atol=1e-11)
    end = got.y_events[0][0]
    return end[0], end[1], np.linalg.norm(end[3:])


@pytest.mark.parametrize("method", ["DOP853", "LSODA"])
def test_it_agrees_with_scipys_integrators_to_a_millionth(method):
    # Another road: scipy's eighth-order and multistep integrators on equations written afresh.
    generator = np.random.default_rng(6)
    for number in range(12):
        throw = {
            "speed": generator.uniform(5, 190),
            "angle": generator.uniform(-0.1, 1.3),
            "height": generator.uniform(0.05, 1.5),
            "tail": generator.uniform(-10, 10),
            "cross": generator.uniform(-10, 10),
            "slope": generator.uniform(-0.2, 0.2),
            "mass": generator.uniform(0.002, 0.2),
            "diameter": generator.uniform(0.005, 0.05),
            "coefficient": None if number % 2 else generator.uniform(0.7, 1.1),
        }
        expected = scipy_flight(method, **throw)
        launch = Launch(
            throw["speed"], throw["angle"], throw["height"], throw["tail"], throw["cross"], throw["slope"]
        )
        flight = fly(launch, Body(throw["mass"], throw["diameter"], throw["coefficient"]), AIR)
        assert (flight.distance, flight.drift, flight.speed) == pytest.approx(expected, rel=1e-6, abs=1e-6)


def test_many_launches_at_once_are_the_same_as_one_by_one():
    # Property: the systems are independent.
    speed = np.array([3.0, 40.0, 120.0])
    together = fly(Launch(speed, 0.4, 0.1), Body(BALL_MASS, BALL), AIR, carrying=0.5)
    for place, v in enumerate(speed):
        alone = fly(Launch(v, 0.4, 0.1), Body(BALL_MASS, BALL), AIR, carrying=0.5)
        assert together.distance[place] == pytest.approx(alone.distance, rel=1e-12)
        assert together.carry[place] == pytest.approx(alone.carry, rel=1e-12, abs=0)


def test_the_reach_of_an_energy_is_where_flat_fire_says():
    # Another road: E falls by exp(-2 x / L) in flat fire, gravity off.
    energy = BALL_MASS * 96.52**2 / 2
    flight = fly(
        Launch(96.52, 0.0, 1.0),
        Body(BALL_MASS, BALL, 0.47),
        Air(1.2, 1.81e-5, 0.0),
        carrying=energy / 2,
        longest=5,
    )
    assert flight.carry == pytest.approx(BALL_LENGTH / 2 * np.log(2), rel=1e-5)


def test_an_energy_it_never_had_reaches_nowhere():
    flight = fly(Launch(10.0, 0.3), Body(BALL_MASS, BALL, 0.47), AIR, carrying=1000.0)
    assert flight.carry == 0.0


def test_a_throw_down_a_slope_goes_further_than_up_it():
    # Property, and by hand without air: range along a slope s is 2 v^2 cos^2(a) (tan a - tan s) / g.
    slope = np.array([-0.2, 0.0, 0.2])
    flight = fly(Launch(30.0, 0.5, slope=slope), Body(0.01, 0.02, 0.0), AIR)
    expected = 2 * 30.0**2 * np.cos(0.5) ** 2 * (np.tan(0.5) - np.tan(slope)) / G
    assert flight.distance == pytest.approx(expected, rel=1e-6)


def test_what_lies_on_the_ground_and_is_thrown_downwards_goes_nowhere():
    flight = fly(Launch(30.0, -0.2), Body(0.01, 0.02, 0.8), AIR)
    assert flight.distance == 0.0
    assert flight.landed


def test_a_hop_of_a_hundredth_of_a_millimetre_still_lands():
    # By hand: v^2 sin(2a)/g for v = 0.01 m/s, a = 45 degrees.
    flight = fly(Launch(0.01, np.pi / 4), Body(0.01, 0.02, 0.0), AIR)
    assert flight.distance == pytest.approx(0.01**2 / G, rel=1e-6)


def test_a_smooth_sphere_beyond_its_known_drag_is_refused():
    with refused("a smooth sphere's drag is known up to 1e\\+06"):
        fly(Launch(190.0, 0.3), Body(1.0, 0.2), AIR)


def test_wrong_launches_are_named_and_refused():
    with refused(r"mass = -0\.01 kg"):
        fly(Launch(30.0, 0.3), Body(-0.01, 0.02, 0.8), AIR)
    with refused("elevation = 45 rad"):
        fly(Launch(30.0, 45.0), Body(0.01, 0.02, 0.8), AIR)
    with refused("launch and body"):
        fly(Launch(np.ones(2), np.ones(3) * 0.1), Body(0.01, 0.02, 0.8), AIR)
