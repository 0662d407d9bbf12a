"""Put a small shop of our own invention into an empty data folder, so that a first look is not at nothing."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext_noop

from snath.decisions.behaviour.asked import StageName
from snath.decisions.job.job import NOTHING_ASKED, Job
from snath.decisions.machine.parts import Condition
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.typed import typed_reading
from snath.quantities.units import from_rpm
from snath.shop.bench.demo.assets import route_text, sheet_text
from snath.shop.bench.demo.shelf import put_instruments, put_stock
from snath.shop.bench.demo.stories import STORIES, Story
from snath.shop.bench.drive.kept_route import with_route
from snath.shop.bench.jobs.kept import keep
from snath.shop.bench.jobs.looked_over import with_tick
from snath.shop.bench.jobs.page import with_reading
from snath.shop.bench.jobs.start import fresh_job, shelve
from snath.shop.bench.shelf.instruments import with_instrument
from snath.shop.records.models import Customer, JobRecord, MachineRecord, Person
from snath.shop.records.store import open_job, shop_settings


@dataclass(frozen=True, slots=True)
class Shop:
    """Who writes the records, with which tachometer, and whom and what they speak of so far."""

    who: Person
    tachometer: Instrument
    customers: dict[str, Customer] = field(default_factory=dict)
    machines: dict[str, MachineRecord] = field(default_factory=dict)


def fill_once() -> bool:
    """Put the demo shop into an empty one; a shop that has anything is left alone."""
    if JobRecord.objects.exists() or MachineRecord.objects.exists() or Customer.objects.exists():
        return False
    with transaction.atomic():
        _sign()
        shop = Shop(Person.objects.local_owner(), put_instruments())
        for story in STORIES:
            _tell(shop, story)
        put_stock()
    return True


def _sign() -> None:
    settings = shop_settings()
    settings.name, settings.market = "Demo shop (invented)", "US"
    settings.address = "Example Lane 1\nNowhere in particular"
    settings.save()


def _tell(shop: Shop, story: Story) -> None:
    """One job, version after version, as if it had been worked on that many days ago."""
    sheet = sheet_text(story.sheet)
    machine = read_sheet(sheet)
    customer = _customer(shop, story.customer)
    if story.sheet not in shop.machines:
        shop.machines[story.sheet] = shelve(machine, sheet, customer=customer)
    record = shop.machines[story.sheet]
    at = timezone.now() - timedelta(days=story.days_ago) - AN_HOUR
    opened = open_job(shop.who, machine=record, title=record.name, at=at)
    base = 0
    for note, job in _versions(fresh_job(machine), story, shop.tachometer, at):
        kept = keep(opened, job, base=base, who=shop.who, note=note, settled=story.settled, at=at)
        base, at = kept.version, at + A_WHILE


def _customer(shop: Shop, name: str) -> Customer:
    if name not in shop.customers:
        shop.customers[name] = Customer.objects.create(name=name, phone="555 0100")
    return shop.customers[name]


AN_HOUR, A_WHILE = timedelta(hours=1), timedelta(minutes=10)  # before now, and between two steps of the work
READINGS = {"as found": gettext_noop("reading as found"), "as left": gettext_noop("reading as left")}


def _versions(job: Job, story: Story, tachometer: Instrument, at: datetime) -> Iterator[tuple[str, Job]]:
    """The job as it grows, each step with the note it was saved with."""
    yield gettext_noop("opened"), job
    stages: tuple[tuple[StageName, tuple[float, ...]], ...] = (
        ("as found", story.found),
        ("as left", story.left),
    )
    for stage, speeds in stages:
        if speeds:
            job = with_tick(_read(job, stage, speeds, story.condition, tachometer, at), stage)
            yield READINGS[stage], job
    if story.behaviour != NOTHING_ASKED:
        job = replace(job, behaviour=story.behaviour)
        yield gettext_noop("governor, setting, stop, throw and balance looked at"), job
    if story.route:
        job = with_route(job, route_text(story.route))
        yield gettext_noop("route of the belt written down"), job
    if story.facts or story.outcome:
        yield (
            gettext_noop("sheet filled in"),
            replace(job, facts=(*job.facts, *story.facts), outcome=story.outcome),
        )


def _read(
    job: Job,
    stage: str,
    speeds: tuple[float, ...],
    condition: Condition,
    tachometer: Instrument,
    at: datetime,
) -> Job:
    when = timezone.localtime(at).isoformat(timespec="seconds")
    reading = typed_reading(
        [from_rpm(speed) for speed in speeds], condition=condition, instrument=tachometer, at=when
    )
    return with_reading(with_instrument(job, tachometer), stage, reading)
