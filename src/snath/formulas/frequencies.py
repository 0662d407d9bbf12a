"""What hum does a shaft speed make: an alternator's frequency, an engine's firings?"""

from snath.quantities.errors import within

ROTATION_MOST = 500  # rev/s


def alternator_frequency(*, rotation, poles):
    """Frequency of a synchronous alternator, f = n p / 2.

    Parameters
    ----------
    rotation : array_like
        Rotor, n, 0 to 500. [rev/s]
    poles : array_like
        Number of poles, p, 2 to 100; broadcasts with `rotation`. [1]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [Hz]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    Notes
    -----
    With n in rpm this is the familiar n p / 120. An inverter set makes its frequency electronically and
    tells nothing of the shaft.

    References
    ----------
    .. [1] Any text on electrical machines; from memory.
    """
    n = within("rotation", rotation, 0, ROTATION_MOST, "rev/s")
    p = within("poles", poles, 2, 100)
    return n * p / 2


def rotation_at_frequency(*, frequency, poles):
    """Rotor speed of a synchronous alternator, n = 2 f / p.

    Parameters
    ----------
    frequency : array_like
        Electrical, f, 0 to 5000. [Hz]
    poles : array_like
        Number of poles, p, 2 to 100; broadcasts with `frequency`. [1]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [rev/s]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    References
    ----------
    .. [1] Any text on electrical machines; from memory.
    """
    f = within("frequency", frequency, 0, 5000, "Hz")
    p = within("poles", poles, 2, 100)
    return 2 * f / p


def firing_frequency(*, rotation, cylinders, cycle_turns):
    """Firings a second of an engine, f = n z / c.

    Parameters
    ----------
    rotation : array_like
        Crankshaft, n, 0 to 500. [rev/s]
    cylinders : array_like
        Number of cylinders, z, 1 to 16; broadcasts with `rotation`. [1]
    cycle_turns : array_like
        Turns of one working cycle, c: 1 for two strokes, 2 for four; broadcasts with `rotation`. [1]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [Hz]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    Notes
    -----
    A mean rate: a twin with both cylinders on one crank pin fires unevenly, and its sound carries half
    this frequency as well. A wasted spark is no firing, but an inductive tachometer counts it.

    References
    ----------
    .. [1] Any text on piston engines; from memory.
    """
    n = within("rotation", rotation, 0, ROTATION_MOST, "rev/s")
    z = within("cylinders", cylinders, 1, 16)
    c = within("cycle_turns", cycle_turns, 1, 2)
    return n * z / c
