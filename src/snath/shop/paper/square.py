"""The square code of a tag: a machine-readable address, drawn by our own writer so that paper can show it."""

import segno

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.pictures import svg

QUIET = 4  # modules of white round the code, as the standard asks (ISO/IEC 18004, from memory)
LONGEST = 200  # characters of an address; more makes squares too fine for a greasy lens


def square_code(address: str) -> str:
    """The address as an SVG of black modules on white.

    Raises
    ------
    InputError
        Where the address is longer than such a tag can bear.
    """
    if not 0 < len(address) <= LONGEST:
        raise InputError("address", address, Message("records.text-length", most=LONGEST))
    rows = [list(row) for row in segno.make(address, error="q", micro=False).matrix]
    strokes = "".join(
        f"M{x + QUIET} {y + QUIET}h1v1h-1z"
        for y, row in enumerate(rows)
        for x, dark in enumerate(row)
        if dark
    )
    size = len(rows) + 2 * QUIET
    ground = svg.element("rect", x=0, y=0, width=size, height=size, fill="#ffffff")
    modules = svg.element("path", d=strokes, fill="#000000")
    return svg.document(ground, modules, width=size, height=size, title=address, description=address)
