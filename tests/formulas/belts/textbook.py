"""Formulas of the handbooks that their worked examples need and no part of the program does: another road."""

import math

import numpy as np
import scipy.optimize

from snath.formulas.belts.pair import SheavePair, belt_length
from snath.formulas.belts.tension import Tensions


def series_length(pair):
    """Belt length by the handbooks' series, 2 C + pi (D + d) / 2 + (D - d)^2 / 4C. [m]"""
    total, apart = pair.driver + pair.driven, pair.driver - pair.driven
    return 2 * pair.centres + np.pi / 2 * total + apart**2 / (4 * pair.centres)


def series_centres(*, driver, driven, length):
    """C = (B + sqrt(B^2 - 2 (D - d)^2)) / 4 with B = L - pi (D + d) / 2. [m]"""
    rest = length - np.pi / 2 * (driver + driven)
    return (rest + math.sqrt(rest**2 - 2 * (driver - driven) ** 2)) / 4


def centres_for(*, driver, driven, length):
    """Centres at which a belt of this length is straight and just tight, found on the exact length. [m]"""

    def missing(centres):
        return belt_length(SheavePair(driver=driver, driven=driven, centres=centres)) - length

    nearest = (driver + driven) / 2 * (1 + 1e-9)
    return scipy.optimize.brentq(missing, nearest, max(length / 2, 2 * nearest), xtol=1e-13)


def wedge_friction(*, friction, groove_angle):
    """Friction as it acts in a groove, mu / sin(beta / 2)."""
    return friction / math.sin(groove_angle / 2)


def tensions_at_slip(*, pull, ratio, centrifugal=0.0):
    """The least pulls that carry a load: F1 = Fc + F e / (e - 1), F2 = F1 - F. [N]"""
    tight = centrifugal + pull * ratio / (ratio - 1)
    return Tensions(tight, tight - pull, centrifugal)
