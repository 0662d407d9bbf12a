"""What a thrown object carries."""

import pytest

from snath.formulas.throwing.body import sectional_density
from snath.formulas.throwing.energy import (
    drop_height,
    energy_density,
    kinetic_energy,
    skin_penetration_speed,
)
from tests.formulas.throwing.textbook import sphere_mass
from tests.told import refused


def test_a_quarter_inch_ball_at_the_limit_speed_carries_4_9_joules():
    # By hand: m = 1.0524 g; m 96.52^2 / 2 = 4.902 J; over pi 0.635^2 / 4 cm^2 = 15.48 J/cm^2.
    # Ball size as in thrown-object tests of mowers (from memory: B71, ISO 5395).
    mass = sphere_mass(diameter=0.00635, density=7850)
    assert kinetic_energy(mass=mass, speed=96.52) == pytest.approx(4.902, abs=0.005)
    density = energy_density(mass=mass, speed=96.52, diameter=0.00635)
    assert density / 1e4 == pytest.approx(15.48, abs=0.03)


def test_one_kilogram_carries_93_joules_from_nine_and_a_half_metres():
    # By hand: 93.16 / 9.80665 = 9.4997 m.
    assert drop_height(energy=93.16, mass=1.0, gravity=9.80665) == pytest.approx(9.4997, abs=5e-4)


def test_skin_gives_way_at_184_6_m_per_s_for_one_gram_per_square_centimetre():
    # Published: V50 = 184.6 SD^-0.385 (LeSueur and others 2024, abstract): at SD = 1 the factor itself.
    assert skin_penetration_speed(sectional_density=10.0) == pytest.approx(184.6)


def test_skin_penetration_is_of_the_size_an_older_review_gives():
    # Published: DiMaio, Am. J. Forensic Med. Pathol. 2 (1981) 107 (read: abstract): "in the order of
    # 70 m/s" at 2.1 m kgf/cm^2 = 20.6 J/cm^2, bullets and missiles. A heavier ball (5 g/cm^2) must come
    # out of that order, not ten times off.
    assert 60 < skin_penetration_speed(sectional_density=50.0) < 120


def test_skin_penetration_is_not_stretched_beyond_its_balls():
    mass = sphere_mass(diameter=0.05, density=7850)
    with refused("sectional_density"):
        skin_penetration_speed(sectional_density=sectional_density(mass=mass, diameter=0.05))


def test_a_negative_mass_is_refused():
    with refused(r"mass = -0\.01 kg: must be over 0"):
        kinetic_energy(mass=-0.01, speed=50)
