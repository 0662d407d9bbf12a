"""Draw the figures of the manual with the pictures the program draws; `print_docs.py` keeps them."""

import tomllib
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.drive.installed import installed_drive
from snath.decisions.job.assemble import job_for
from snath.decisions.job.work import work
from snath.decisions.machine.sheet import read_sheet
from snath.rules.load import shipped_rules
from snath.shop.media.track_file import read_track
from snath.shop.pictures import svg
from snath.shop.pictures.route import route_picture
from snath.shop.pictures.track import track_picture
from snath.shop.pictures.train import train_picture
from snath.shop.pictures.voice import speaking
from snath.shop.pictures.window import window_picture

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
BELT = "belt_28_inch.toml"
ROOM_WIDTH, ROOM_HEIGHT, BETWEEN = 104, 64, 16


def window() -> str:
    """What a belt-driven machine allows."""
    machine = read_sheet((EXAMPLES / BELT).read_text("utf-8"))
    return window_picture(work(job_for(machine, shipped_rules())).window, speaking()).svg


def train() -> str:
    """The same machine from crankshaft to blade, at its maker's speed."""
    return train_picture(read_sheet((EXAMPLES / BELT).read_text("utf-8")), speaking(), rev_s=55.0).svg


def route() -> str:
    """The belt of a deck, laid to scale."""
    frame = installed_drive(read_frame((EXAMPLES / "routes/deck_52_inch.route.toml").read_text("utf-8")))
    found, one = frame.route, frame.frame
    return route_picture(
        found, speaking(), name=one.name, belt=one.belt.name, clockwise=one.clockwise, way=one.way
    ).svg


def track(name: str) -> str:
    """Speed over time of an example."""
    return track_picture(
        read_track(str(EXAMPLES / f"jobs/tracks/{name}.csv"), shaft="crankshaft"), speaking()
    ).svg


def rooms() -> str:
    """The rooms of the program in the order the import contracts hold."""
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"][
        "contracts"
    ]
    (layers,) = (contract["layers"] for contract in contracts if contract["type"] == "layers")
    names = [name.removeprefix("snath.") for name in reversed(layers)]
    lefts = [8 + place * (ROOM_WIDTH + BETWEEN) for place in range(len(names))]
    boxes = [
        svg.element("rect", look="part", x=left, y=8, width=ROOM_WIDTH, height=ROOM_HEIGHT) for left in lefts
    ]
    words = [
        svg.element("text", name, look="text", x=left + ROOM_WIDTH / 2, y=8 + ROOM_HEIGHT / 2 + 5,
                    text_anchor="middle", font_size=14)
        for name, left in zip(names, lefts, strict=True)
    ]  # fmt: skip
    ways = [
        svg.element("line", look="heavy", x1=one + ROOM_WIDTH, x2=other, y1=40, y2=40)
        for one, other in pairwise(lefts)
    ]
    return svg.document(
        *ways, *boxes, *words,
        width=lefts[-1] + ROOM_WIDTH + 8, height=ROOM_HEIGHT + 16,
        title="The rooms of the program",
        description=f"Facts go from left to right: {', '.join(names)}. A room imports only from those before it.",
        kind="rooms",
    )  # fmt: skip


FIGURES: dict[str, Callable[[], str]] = {
    "rooms": rooms,
    "window": window,
    "train": train,
    "route": route,
    "surging": lambda: track("surging_found"),
    "stop": lambda: track("stop_left"),
}
