"""Draw an answer into a file, as SVG or PNG by the file's name."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.cli.answer import reader
from snath.shop.cli.common import write_bytes

if TYPE_CHECKING:  # what is behind a picture is loaded where one is asked for
    from snath.shop.pictures.picture import Picture
    from snath.shop.pictures.voice import Voice

plot_option = click.option("--plot", "plot_file", help="Draw it into this file, SVG or PNG by its name.")


def write_plot(path: str | None, draw: Callable[["Voice"], "Picture | None"]) -> None:
    """Draw what was worked out in the reader's words; nothing where no file was named.

    Parameters
    ----------
    path : str or None
        Ends with .svg or .png.
    draw : callable
        Makes the picture; None where there is nothing to draw.

    Raises
    ------
    InputError
        For another kind of file, for nothing to draw, and where it cannot be written.
    """
    if path is None:
        return
    kind = Path(path).suffix.lower()
    if kind not in (".svg", ".png"):
        raise InputError("plot", path, Message("terminal.plot-kind"))
    from snath.shop.pictures.voice import speaking

    picture = draw(speaking(reader().language, reader().length))
    if picture is None:
        raise InputError("plot", path, Message("terminal.plot-of-track"))
    if kind == ".svg":
        write_bytes(path, picture.svg.encode("utf-8"), "plot")
        return
    from snath.shop.paper.press import as_png

    write_bytes(path, as_png(picture.svg), "plot")
