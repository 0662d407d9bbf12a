"""Where the demo's sheets, routes and stock lists lie: files beside this one, which say that they are invented."""

from pathlib import Path

DATA = Path(__file__).with_name("data")


def sheet_text(name: str) -> str:
    """A machine sheet of the demo shop."""
    return (DATA / "sheets" / f"{name}.toml").read_text("utf-8")


def route_text(name: str) -> str:
    """A belt's route of the demo shop."""
    return (DATA / "routes" / f"{name}.route.toml").read_text("utf-8")


def stock_table(name: str) -> str:
    """A stock list of the demo shop, CSV."""
    return (DATA / "stock" / f"{name}.csv").read_text("utf-8")
