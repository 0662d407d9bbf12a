"""What lies on the demo shop's shelf: two tachometers, and pulleys, belts and blades with and without sizes."""

from datetime import timedelta

from django.utils import timezone

from snath.decisions.drive.stock_csv import read_stock
from snath.decisions.reading.instruments import Instrument
from snath.quantities.units import from_rpm
from snath.shop.bench.demo.assets import stock_table
from snath.shop.bench.drive.stock_rows import BELT, PULLEY, put_on_shelf
from snath.shop.records.instrument_checks import instrument_of
from snath.shop.records.models import InstrumentRecord, StockPart

# Parts that were only counted so far: kind, name, maker's number, how many, where.
COUNTED = (
    (PULLEY, "A pulley, 5 1/2 in outside", "AP-55", 3, "rack 2"),
    (PULLEY, "A pulley, 5 3/4 in outside", "AP-575", 1, "rack 2"),
    (BELT, "A belt, 54 in", "A52", 4, "hook 7"),
    ("blade", "21 in blade, high lift", "B21-H", 6, "drawer 1"),
)


def put_instruments() -> Instrument:
    """One that may pass a machine, which is handed back, and one whose check is overdue."""
    today = timezone.localdate()
    good = InstrumentRecord.objects.create(
        code="tach-1",
        name="Optical tachometer",
        kind="optical",
        accuracy=0.0005,
        digits=from_rpm(1),
        resolution=from_rpm(1),
        checked_on=today - timedelta(days=90),
        due_on=today + timedelta(days=275),
    )
    InstrumentRecord.objects.create(
        code="reed-1",
        name="Vibrating reed",
        kind="reed",
        accuracy=0.02,
        resolution=from_rpm(50),
        checked_on=today - timedelta(days=500),
        due_on=today - timedelta(days=135),
    )
    return instrument_of(good)


def put_stock() -> None:
    """Parts a drive may be built from, and parts nobody has measured yet."""
    for kind, name, number, count, place in COUNTED:
        StockPart.objects.create(kind=kind, name=name, maker_part=number, count=count, place=place)
    put_on_shelf(read_stock(sheaves=stock_table("sheaves"), belts=stock_table("belts")))
