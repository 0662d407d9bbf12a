"""Say how far from the maker's figure a governor may be left, where the maker prints a figure and no tolerance.

Most manuals print none. What is taken is common practice without a source; the shop may set its own on the sheet.
"""

UP_TO = 4000 / 60  # rev/s
TOLERANCE = 100 / 60  # rev/s, of a figure up to that
SHARE = 0.03  # of a faster one


def assumed_tolerance(figure: float) -> float:
    """Plus or minus of a figure printed without one. [rev/s]"""
    return TOLERANCE if figure <= UP_TO else SHARE * figure
