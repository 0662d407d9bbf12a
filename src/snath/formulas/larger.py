"""Give the larger of two uncertain values: twice the longer end of a blade runs longer than either end says."""

import math

from snath.formulas.normal import share_below
from snath.quantities.errors import within


def larger_of_two(*, first: float, second: float, u_first: float, u_second: float) -> tuple[float, ...]:
    """Mean and standard deviation of the larger of two independent normal quantities, and how it leans on each.

    With t^2 = u1^2 + u2^2 and a = (m1 - m2) / t the mean is m1 F(a) + m2 F(-a) + t f(a) and the mean square
    (m1^2 + u1^2) F(a) + (m2^2 + u2^2) F(-a) + (m1 + m2) t f(a), exact.

    Parameters
    ----------
    first, second : float
        Best estimates, m1 and m2. [any]
    u_first, u_second : float
        Standard uncertainties, u1 and u2, 0 or more. [same unit]

    Returns
    -------
    tuple of float
        Mean and standard deviation [same unit], then the chance that the first is the larger, which is also
        the sensitivity of the mean to it. [1]

    Raises
    ------
    InputError
        If an argument is not a number in its range.

    Notes
    -----
    Ends measured with a rule have rectangular doubt. The larger of two equal ones then lies a third of the half
    width over either, 0.577 u; here 0.564 u. Its standard deviation is 0.816 u; here 0.826 u.

    References
    ----------
    .. [1] C. E. Clark, The greatest of a finite set of random variables, Operations Research 9 (1961) 145-162
       (from memory; the formulas are worked out anew in the tests by simulation).
    """
    first = within("first", first, -1e300, 1e300)
    second = within("second", second, -1e300, 1e300)
    u_first = within("u_first", u_first, 0, 1e300)
    u_second = within("u_second", u_second, 0, 1e300)
    spread = math.hypot(u_first, u_second)
    if spread == 0:
        return max(first, second), 0.0, float(first >= second)
    apart = first - second  # all is worked out from the second, so that large values take nothing away
    chance = share_below(apart / spread)
    density = math.exp(-((apart / spread) ** 2) / 2) / math.sqrt(2 * math.pi)
    mean = apart * chance + spread * density
    square = (apart**2 + u_first**2) * chance + u_second**2 * (1 - chance) + apart * spread * density
    return second + mean, math.sqrt(max(square - mean**2, 0.0)), chance
