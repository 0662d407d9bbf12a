"""Say how far shafts should be able to move, to fit a belt and to tension it."""


def allowance(*, length: float) -> tuple[float, float]:
    """How far shafts should be able to move, by a rule of thumb: in to fit the belt, out to tension it.

    Parameters
    ----------
    length : float
        Of the belt. [m]

    Returns
    -------
    (float, float)
        1.5 % of the length towards each other, 3 % apart. [m]

    Notes
    -----
    Common practice, no source; ISO 155 gives both as sums of factors that were not read.
    """
    return 0.015 * length, 0.03 * length
