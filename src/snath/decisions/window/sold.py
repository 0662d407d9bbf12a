"""Give the next sheave size that is sold: inch sheaves by outside diameter, metric ones by datum diameter.

Which sizes a shelf holds is common practice, no source: quarters of an inch to 6 in, halves to 10 in, whole inches
above. Metric datum diameters follow the R40 series of preferred numbers, as ISO 4183 does (from memory).
"""

from collections.abc import Iterator

INCH = 0.0254
METRIC = ("SPZ", "SPA", "SPB", "SPC", "Z")  # sections whose sheaves are called by their datum diameter
# R40: 10 to 100 in forty steps, as rounded by ISO 3 (from memory).
R40 = (
    *(100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300),
    *(315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950),
)


def next_sold(outside: float, *, section: str, offset: float, direction: int) -> float | None:
    """The nearest size sold at or past this one, on the side of `direction`; None beyond the series. [m]

    Parameters
    ----------
    outside : float
        Outside diameter. [m]
    section : str
        Of its groove.
    offset : float
        Outside less datum diameter. [m]
    direction : int
        -1 for no larger, +1 for no smaller.
    """
    slack = 1e-9 * -direction
    sizes = sizes_sold(section, offset=offset)
    fitting = [size for size in sizes if (size - outside) * direction >= slack * direction]
    return min(fitting, key=lambda size: abs(size - outside), default=None)


def sizes_sold(section: str, *, offset: float) -> list[float]:
    """Outside diameters sheaves of a section are sold in. [m]"""
    return [size + offset for size in _datum()] if section in METRIC else list(_inch())


def _inch() -> Iterator[float]:
    steps = (
        [(n / 4) for n in range(6, 24)] + [n / 2 for n in range(12, 20)] + [float(n) for n in range(10, 41)]
    )
    return (size * INCH for size in steps)


def _datum() -> Iterator[float]:
    return (size * scale / 1000 for scale in (0.1, 1.0) for size in R40 if size * scale >= 45)
