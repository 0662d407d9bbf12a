"""Read what a drive is chosen from: the folder of a shop's stock, and where the belt of a sheet runs."""

import os
from pathlib import Path

from snath.decisions.drive.stock import Stock
from snath.decisions.drive.stock_csv import read_stock
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.media.text_file import read_text
from snath.shop.tables.stock_words import table_for_core


def stock_in(folder: str, decimal_mark: DecimalMark) -> Stock:
    """The shelf that `sheaves.csv` and `belts.csv` of a folder hold; either may be missing.

    Raises
    ------
    InputError
        Naming "stock" where it is no folder or holds neither.
    """
    place = Path(folder)
    if not os.path.isdir(folder):  # noqa: PTH112 - False, and no error, where no folder can be called that
        raise InputError("stock", folder, Message("stock.a-folder"))
    texts = {
        name: table_for_core(read_text(str(place / f"{name}.csv"), "stock"))
        if (place / f"{name}.csv").is_file()
        else ""
        for name in ("sheaves", "belts")
    }
    if not any(texts.values()):
        raise InputError("stock", folder, Message("stock.neither-file"))
    return read_stock(sheaves=texts["sheaves"], belts=texts["belts"], decimal_mark=decimal_mark)


def route_beside(sheet: str) -> str:
    """The route file that is called as the sheet is, beside it or in `routes`.

    Raises
    ------
    InputError
        Naming "route" where there is none.
    """
    path = Path(sheet)
    places = [path.with_suffix(".route.toml"), path.parent / "routes" / f"{path.stem}.route.toml"]
    for place in places:
        if place.is_file():
            return str(place)
    raise InputError("route", "nothing", Message("stock.route-beside", place=str(places[0])))
