"""Closed forms that hold where the integrator does, and a second curve of drag: another road, for tests only."""

import numpy as np


def sphere_mass(*, diameter, density):
    """Mass of a solid sphere. [kg]"""
    return density * np.pi * diameter**3 / 6


def drag_length(*, mass, diameter, drag_coefficient, air_density):
    """Way over which drag alone takes a sphere's speed down to 1/e, 2 m / (rho C A). [m]"""
    return 8 * mass / (air_density * drag_coefficient * np.pi * diameter**2)


def flat_speed(*, speed, distance, drag_length):
    """Speed left after flat fire against v^2 drag, v0 exp(-x / L). [m/s]"""
    return speed * np.exp(-distance / drag_length)


def straight_up(*, speed, drag_length, gravity):
    """Height of a throw straight up against v^2 drag, (L / 2) ln(1 + v0^2 / (g L)). [m]"""
    return drag_length / 2 * np.log1p(speed**2 / (gravity * drag_length))


def drag_free_range(*, speed, elevation, gravity):
    """Range over level ground without air, v^2 sin(2 a) / g. [m]"""
    return speed**2 * np.sin(2 * np.asarray(elevation)) / gravity


def slow_sphere_drag(reynolds):
    """Drag of a sphere in slow flow, 24/R (1 + 0.15 R^0.687) (Schiller and Naumann, from memory); R to 800."""
    return 24 / reynolds * (1 + 0.15 * reynolds**0.687)


def sphere_drag_2010(reynolds):
    """The sphere's correlation as first published in 2010 (read): its last term is R^0.80 / 461,000."""
    x, y = reynolds / 5, reynolds / 263_000
    return 24 / reynolds + 2.6 * x / (1 + x**1.52) + 0.411 * y**-7.94 / (1 + y**-8) + reynolds**0.80 / 461_000
