"""How exactly could any method at all know a frequency in noise? The Cramer-Rao bound."""

import numpy as np

from snath.quantities.errors import within


def line_bound(*, snr, samples, rate):
    """Least standard deviation of the frequency of one line in white noise [1]_ [2]_.

    Parameters
    ----------
    snr : array_like
        Its power over that of the noise, A^2 / (2 sigma^2), over 0 up to 1e12. [1]
    samples : array_like
        How many, 2 to 1e12. [1]
    rate : array_like
        Samples a second, over 0 up to 1e9. [Hz]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [Hz]

    Raises
    ------
    InputError
        If an element is outside its range.

    References
    ----------
    .. [1] S. M. Kay, Fundamentals of Statistical Signal Processing: Estimation Theory (1993), eq. 3.41
       (from memory).
    .. [2] D. C. Rife and R. R. Boorstyn, IEEE Trans. Inf. Theory 20 (1974) 591 (from memory).
    """
    ratio = within("snr", snr, 0, 1e12, open_low=True)
    count = within("samples", samples, 2, 1e12)
    fs = within("rate", rate, 0, 1e9, "Hz", open_low=True)
    return np.sqrt(12 * fs**2 / ((2 * np.pi) ** 2 * ratio * count * (count**2 - 1)))


def comb_bound(*, amplitudes, orders, noise, samples, rate):
    """Least standard deviation of a rotation whose every order is a line of its own, phases free [1]_.

    The lines inform about one rotation together: their information adds, each weighted by the square of
    its order, 1 / var = sum k^2 / var_k.

    Parameters
    ----------
    amplitudes : array_like, shape (n,)
        Of the lines, 0 to 1e12. [1]
    orders : array_like, shape (n,)
        Each line's frequency over the rotation, over 0 up to 1000. [1]
    noise : float
        Standard deviation of one sample's white noise, over 0 up to 1e12. [1]
    samples : float
        How many, 2 to 1e12. [1]
    rate : float
        Samples a second, over 0 up to 1e9. [Hz]

    Returns
    -------
    float
        [rev/s]

    Raises
    ------
    InputError
        If an element is outside its range.

    References
    ----------
    .. [1] As `line_bound`; A. Nehorai and B. Porat, IEEE Trans. ASSP 34 (1986) 1124 (from memory).
    """
    a = np.atleast_1d(within("amplitudes", amplitudes, 0, 1e12))
    k = np.atleast_1d(within("orders", orders, 0, 1000, open_low=True))
    sigma = within("noise", noise, 0, 1e12, open_low=True)
    heard = a > 0
    each = line_bound(snr=a[heard] ** 2 / (2 * sigma**2), samples=samples, rate=rate)
    return float(1 / np.sqrt(np.sum((k[heard] / each) ** 2)))
