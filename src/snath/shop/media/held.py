"""The speeds a recording holds one after the other, as JSON and tables have them."""

from typing import Any

from snath.decisions.reading.reading import Reading
from snath.decisions.reading.steady_states import held_name
from snath.words.render import ENGLISH, Locale, say


def held_speeds(reading: Reading, locale: Locale = ENGLISH) -> list[dict[str, Any]]:
    """Each with the name its candidate has, its times on the recording and its doubt; none where one is held.

    A speed is told in rpm, with its standard uncertainty.
    """
    return [
        {
            "name": say(held_name(one), locale),
            "from_s": round(one.begin, 1),
            "to_s": round(one.end, 1),
            "rpm": round(one.rev_s * 60, 4),
            "u_rpm": float(f"{one.u * 60:.4g}"),
        }
        for one in reading.plateaus
    ]
