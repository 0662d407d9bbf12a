"""Every table, gathered here because the database layer looks for them under this name."""

from snath.shop.records.api_keys import ApiKey
from snath.shop.records.fleet import FleetEntry
from snath.shop.records.jobs import (
    Attachment,
    ChainHead,
    Draft,
    JobRecord,
    JobTouch,
    JobVersion,
    SearchWord,
    Waits,
)
from snath.shop.records.machines import Customer, EarlierSheet, MachineRecord
from snath.shop.records.people import Attempt, AuditEntry, Kind, Pairing, Person, Role
from snath.shop.records.recordings import HeardPiece, HeldClip, Progress, RecordingAsk
from snath.shop.records.shop import InstrumentCheck, InstrumentRecord, ShopRule, ShopSettings, StockPart

__all__ = [
    "ApiKey",
    "Attachment",
    "Attempt",
    "AuditEntry",
    "ChainHead",
    "Customer",
    "Draft",
    "EarlierSheet",
    "FleetEntry",
    "HeardPiece",
    "HeldClip",
    "InstrumentCheck",
    "InstrumentRecord",
    "JobRecord",
    "JobTouch",
    "JobVersion",
    "Kind",
    "MachineRecord",
    "Pairing",
    "Person",
    "Progress",
    "RecordingAsk",
    "Role",
    "SearchWord",
    "ShopRule",
    "ShopSettings",
    "StockPart",
    "Waits",
]
