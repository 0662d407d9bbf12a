"""Convert between droop, on either of its two bases, and the speeds at no load and under load.

4.17 % on the loaded speed and 4.00 % on the no-load speed are the same engine: a droop without its base
says nothing, so every name here carries it.
"""

from typing import Any

import numpy as np

from snath.quantities.errors import InputError, within
from snath.quantities.message import Amount, Message


def droop_on_loaded(*, no_load: Any, loaded: Any) -> Any:
    """Droop over the loaded (rated) speed, (n0 - n) / n, as generator standards count it.

    Parameters
    ----------
    no_load : array_like
        n0, over 0 and up to 500. [rev/s]
    loaded : array_like
        n, over 0 and not above `no_load`. [rev/s]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [1]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] ISO 8528-5, definition of frequency droop (from memory).
    """
    top, under = _speeds(no_load, loaded)
    return (top - under) / under


def droop_on_no_load(*, no_load: Any, loaded: Any) -> Any:
    """Droop over the no-load speed, (n0 - n) / n0.

    Parameters
    ----------
    no_load : array_like
        n0, over 0 and up to 500. [rev/s]
    loaded : array_like
        n, over 0 and not above `no_load`. [rev/s]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [1]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] The other usage of the word; common practice, no source.
    """
    top, under = _speeds(no_load, loaded)
    return (top - under) / top


def no_load_speed(*, loaded: Any, droop: Any) -> Any:
    """No-load speed over a loaded one, n0 = n (1 + d), droop on the loaded speed.

    Parameters
    ----------
    loaded : array_like
        n, over 0 and up to 500. [rev/s]
    droop : array_like
        d, on the loaded speed, 0 to 0.5. [1]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [rev/s]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] `droop_on_loaded` turned round.
    """
    under = within("loaded", loaded, 0, 500, "rev/s", open_low=True)
    return under * (1 + within("droop", droop, 0, 0.5))


def loaded_speed(*, no_load: Any, droop: Any) -> Any:
    """Loaded speed under a no-load one, n = n0 / (1 + d), droop on the loaded speed.

    Parameters
    ----------
    no_load : array_like
        n0, over 0 and up to 500. [rev/s]
    droop : array_like
        d, on the loaded speed, 0 to 0.5. [1]

    Returns
    -------
    ndarray or float
        Same shape as the broadcast inputs. [rev/s]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] `droop_on_loaded` turned round.
    """
    top = within("no_load", no_load, 0, 500, "rev/s", open_low=True)
    return top / (1 + within("droop", droop, 0, 0.5))


def _speeds(no_load: Any, loaded: Any) -> Any:
    top = within("no_load", no_load, 0, 500, "rev/s", open_low=True)
    under = within("loaded", loaded, 0, 500, "rev/s", open_low=True)
    if np.any(np.asarray(under) > np.asarray(top)):
        raise InputError(
            "loaded",
            f"{np.max(under):g} rev/s",
            Message("governor.loaded-above", no_load=Amount(float(np.min(top)), "rotation")),
        )
    return top, under
