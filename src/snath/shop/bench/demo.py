"""A small shop of our own invention, so that a first look shows every state a job can be in.

Nothing here is a measurement or a recommendation: machines, people and figures are made up, and the
sheets they print say so.
"""

from dataclasses import dataclass, replace
from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from snath.decisions.job.job import Job
from snath.decisions.machine.parts import Condition
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.typed import typed_reading
from snath.quantities.units import from_rpm
from snath.shop.bench.jobs.kept import keep
from snath.shop.bench.jobs.page import with_reading
from snath.shop.bench.jobs.start import fresh_job, shelve
from snath.shop.bench.shelf.instruments import with_instrument
from snath.shop.records.instrument_checks import instrument_of
from snath.shop.records.models import (
    Customer,
    InstrumentRecord,
    JobRecord,
    MachineRecord,
    Person,
    StockPart,
)
from snath.shop.records.store import open_job, shop_settings

WALK_BEHIND = """name = "Orchard walk-behind"
kind = "walk-behind rotary mower"
made = 2019
serial = "OW-2117"
[engine]
code = "K160-2"
strokes = 4
cylinders = 1
ignition = "wasted spark"
rated_max = "3,600 rpm"
idle = "1,750 rpm"
[engine.maker_no_load]
speed = "3,100 rpm ± 100 rpm"
condition = "blades in air"
source = "demo handbook, 2nd edition, page 14"
[[member]]
name = "blade"
[member.blade]
arms = ["10 1/2 in ± 1/32 in", "10 15/32 in ± 1/32 in"]
"""
RIDER = """name = "Paddock rider, three spindles"
kind = "ride-on rotary mower"
made = 2012
serial = "PR-42-0083"
[engine]
code = "V2-620"
strokes = 4
cylinders = 2
firing = "even"
ignition = "wasted spark"
rated_max = "3,600 rpm"
clutch = true
[engine.maker_no_load]
speed = "3,350 rpm ± 100 rpm"
condition = "blades off"
source = "demo handbook, page 31"
{couplings}{members}"""
SPINDLE = """[[coupling]]
driven = "{name} spindle"
[coupling.belt]
section = "A"
driver_outside = "5 1/2 in"
driven_outside = "{driven}"
"""
DECK_BLADE = """[[member]]
name = "{name} blade"
shaft = "{name} spindle"
[member.blade]
length = "{length}"
measured = "corner to corner"
"""
TWIN = """name = "Long Row twin spindle"
kind = "commercial rotary mower"
use = "commercial"
made = 2021
serial = "TS-32-0417"
[engine]
code = "V2-480"
strokes = 4
cylinders = 2
rated_max = "3,600 rpm"
clutch = true
[engine.maker_no_load]
speed = "3,400 rpm ± 75 rpm"
condition = "blades in air"
source = "demo handbook, page 8"
[[coupling]]
driven = "left spindle"
[coupling.belt]
section = "A"
driver_outside = "5 1/2 in"
driven_outside = "4 1/2 in"
[[coupling]]
driven = "right spindle"
[coupling.belt]
section = "A"
driver_outside = "5 1/2 in"
driven_outside = "4 1/2 in"
[[member]]
name = "left blade"
shaft = "left spindle"
[member.blade]
length = "16 1/2 in"
measured = "corner to corner"
[[member]]
name = "right blade"
shaft = "right spindle"
[member.blade]
length = "16 1/2 in"
measured = "corner to corner"
"""
GENERATOR = """name = "Yard generator"
kind = "generator"
made = 2016
serial = "YG-3000-12"
[engine]
code = "K210-1"
strokes = 4
cylinders = 1
[engine.maker_no_load]
speed = "3,720 rpm ± 30 rpm"
condition = "blades in air"
source = "demo handbook, page 5"
[[member]]
name = "alternator"
[member.alternator]
poles = 2
frequency_max = "62.5 Hz"
frequency_min = "58.8 Hz"
source = "plate on the set"
"""
SAW = """name = "Kerb saw"
kind = "cut-off saw"
use = "commercial"
serial = "KS-350-31"
[engine]
code = "T74"
strokes = 2
cylinders = 1
rated_max = "11,000 rpm"
[[coupling]]
driven = "spindle"
[coupling.belt]
section = "A"
driver_outside = "3 in"
driven_outside = "6 in"
[[member]]
name = "wheel"
shaft = "spindle"
[member.wheel]
diameter = "350 mm"
surface_max = "100 m/s"
speed_max = "5,400 rpm"
source = "marked on the wheel"
"""


@dataclass(frozen=True, slots=True)
class Story:
    """One demo job: what was read as found and as left, how long ago, and what was written down."""

    sheet: str
    customer: str
    days_ago: int
    found: tuple[float, ...] = ()
    left: tuple[float, ...] = ()
    condition: Condition = "blades in air"
    facts: tuple[tuple[str, str], ...] = ()
    outcome: str = ""
    settled: bool = False


def rider(odd: str) -> str:
    """The rider; one of its spindles may have another pulley than the others."""
    names = ("left", "middle", "right")
    couplings = "".join(
        SPINDLE.format(name=name, driven=odd if name == "middle" else "5 1/2 in") for name in names
    )
    members = "".join(DECK_BLADE.format(name=name, length="14 1/2 in") for name in names)
    return RIDER.format(couplings=couplings, members=members)


SIGNED = (("read_by", "the day's mechanic"), ("countersigned_by", "the owner"), ("hours", "212"))
STORIES = (
    Story(
        WALK_BEHIND,
        "Orchard by the Weir",
        740,
        (3310, 3305, 3312),
        (3120, 3118, 3121),
        facts=SIGNED,
        settled=True,
    ),
    Story(
        WALK_BEHIND,
        "Orchard by the Weir",
        366,
        (3215, 3220, 3212),
        (3105, 3102, 3108),
        facts=SIGNED,
        settled=True,
    ),
    Story(WALK_BEHIND, "Orchard by the Weir", 2, (3620, 3615, 3624), (3098, 3102, 3100), facts=SIGNED[:1]),
    Story(rider("3 3/4 in"), "Paddock House", 1, (3345, 3352, 3349), condition="blades off"),
    Story(TWIN, "Long Row allotments", 0),
    Story(GENERATOR, "Tent hire, Mill Lane", 5, (3725, 3722, 3728)),
    Story(SAW, "Paving gang", 9, (9650, 9655, 9648), condition="blades off", outcome="customer declined"),
)
STOCK = (
    ("pulley", "A pulley, 5 1/2 in outside", "AP-55", 3, "rack 2"),
    ("pulley", "A pulley, 5 3/4 in outside", "AP-575", 1, "rack 2"),
    ("belt", "A belt, 54 in", "A52", 4, "hook 7"),
    ("blade", "21 in blade, high lift", "B21-H", 6, "drawer 1"),
)


def fill_once() -> bool:
    """Put the demo shop into an empty one; a shop that has anything is left alone."""
    if JobRecord.objects.exists() or MachineRecord.objects.exists() or Customer.objects.exists():
        return False
    with transaction.atomic():
        _fill(Person.objects.local_owner())
    return True


def _fill(who: Person) -> None:
    settings = shop_settings()
    settings.name, settings.market = "Demo shop (invented)", "US"
    settings.address = "Example Lane 1\nNowhere in particular"
    settings.save()
    tachometer = _instruments()
    machines: dict[str, MachineRecord] = {}
    customers: dict[str, Customer] = {}
    for story in STORIES:
        if story.customer not in customers:
            customers[story.customer] = Customer.objects.create(name=story.customer, phone="555 0100")
        _job(who, story, customers[story.customer], machines, tachometer)
    for kind, name, number, count, place in STOCK:
        StockPart.objects.create(kind=kind, name=name, maker_part=number, count=count, place=place)


def _instruments() -> Instrument:
    """One that may pass a machine, one whose check is overdue."""
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


def _job(
    who: Person, story: Story, customer: Customer, machines: dict[str, MachineRecord], tachometer: Instrument
) -> None:
    machine = read_sheet(story.sheet)
    record = machines.get(machine.serial)
    if record is None:
        record = machines[machine.serial] = shelve(machine, story.sheet, customer=customer)
    opened = open_job(who, machine=record, title=record.name)
    job = fresh_job(machine)
    base = keep(opened, job, base=0, who=who, note="opened").version
    for stage, speeds in (("as found", story.found), ("as left", story.left)):
        if speeds:
            job = _read(job, stage, speeds, story.condition, tachometer)
            base = keep(opened, job, base=base, who=who, note=f"reading {stage}").version
    if story.facts or story.outcome:
        job = replace(job, facts=story.facts, outcome=story.outcome)
        keep(opened, job, base=base, who=who, note="sheet filled in", settled=story.settled)
    then = timezone.now() - timedelta(days=story.days_ago)
    JobRecord.objects.filter(pk=opened.pk).update(opened_at=then, changed_at=then)


def _read(
    job: Job, stage: str, speeds: tuple[float, ...], condition: Condition, tachometer: Instrument
) -> Job:
    at = timezone.localtime().isoformat(timespec="seconds")
    reading = typed_reading(
        [from_rpm(speed) for speed in speeds], condition=condition, instrument=tachometer, at=at
    )
    return with_reading(with_instrument(job, tachometer), stage, reading)
