"""Keep what belongs to the shop itself: its habits, its own rules, its instruments and its stock."""

import calendar
import uuid
from datetime import date

from django.db import models
from django.utils import timezone

from snath.shop.records.people import Person


def months_later(on: date, months: int) -> date:
    """The same day so many months later, or the last of a shorter month."""
    year, month = divmod(on.year * 12 + on.month - 1 + months, 12)
    return date(year, month + 1, min(on.day, calendar.monthrange(year, month + 1)[1]))


class ShopSettings(models.Model):
    """One row: what is asked once. An empty market means it has not been asked yet."""

    name = models.CharField(max_length=80, blank=True)
    address = models.TextField(max_length=400, blank=True)
    market = models.CharField(max_length=40, blank=True)
    decimal_mark = models.CharField(max_length=1, default=".", choices=[(".", "."), (",", ",")])
    paper = models.CharField(max_length=10, default="letter", choices=[("letter", "US Letter"), ("a4", "A4")])
    decision = models.CharField(max_length=30, default="one-sided 95 %")
    language = models.CharField(max_length=10, default="en")
    units = models.CharField(  # in which lengths are typed and shown; empty until the shop has said
        max_length=10, blank=True, default="", choices=[("inch", "inches"), ("metric", "millimetres")]
    )
    one_person = models.BooleanField(default=False)  # nobody is there to countersign

    def __str__(self) -> str:
        return self.name or "this shop"


class ShopRule(models.Model):
    """A rule of the shop's own, kept as the TOML text of one row of the rule book."""

    rule_id = models.CharField(max_length=80, unique=True)
    text = models.TextField(max_length=4000)
    in_force = models.BooleanField(default=True)
    changed_at = models.DateTimeField(default=timezone.now)
    changed_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True)

    def __str__(self) -> str:
        return self.rule_id


class InstrumentRecord(models.Model):
    """One instrument; the fields are those of decisions.reading.instruments.Instrument, in SI."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    code = models.CharField(max_length=40, unique=True)  # the id jobs name it by
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=20, default="optical")
    accuracy = models.FloatField(default=0.0)
    digits = models.FloatField(default=0.0)
    resolution = models.FloatField(default=0.0)
    per_turn = models.FloatField(default=1.0)
    checked_on = models.DateField(null=True, blank=True)
    due_on = models.DateField(null=True, blank=True)  # set by a check; without one it is as it was bought
    bought_on = models.DateField(null=True, blank=True)
    check_every_months = models.PositiveSmallIntegerField(default=12)
    correction = models.FloatField(default=0.0)
    u_correction = models.FloatField(default=0.0)
    retired = models.BooleanField(default=False)
    note = models.TextField(max_length=2000, blank=True)

    @property
    def check_by(self) -> date | None:
        """When it is to be held beside a reference: as its last check says, else a while after it was bought."""
        if self.due_on is None and self.bought_on is not None:
            return months_later(self.bought_on, self.check_every_months)
        return self.due_on

    def __str__(self) -> str:
        return self.name


class InstrumentCheck(models.Model):
    """One check of an instrument beside a reference: both figures as read. [rev/s]"""

    instrument = models.ForeignKey(InstrumentRecord, on_delete=models.PROTECT, related_name="checks")
    on = models.DateField()
    reference = models.CharField(max_length=120)  # which reference, with its certificate
    read_rev_s = models.FloatField()
    reference_rev_s = models.FloatField()
    u_reference_rev_s = models.FloatField(default=0.0)
    drift = models.FloatField(null=True)  # change of the error since the check before, as a fraction
    who = models.CharField(max_length=60, blank=True)

    def __str__(self) -> str:
        return f"{self.instrument} on {self.on}"


class StockPart(models.Model):
    """A part on the shelf; `data` holds what its kind needs, as JSON text in SI."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    kind = models.CharField(max_length=40, db_index=True)
    name = models.CharField(max_length=120)
    maker_part = models.CharField(max_length=60, blank=True)
    count = models.PositiveIntegerField(default=1)
    place = models.CharField(max_length=60, blank=True)
    data = models.TextField(max_length=10_000, default="{}")

    def __str__(self) -> str:
        return self.name
