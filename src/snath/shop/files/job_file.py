"""A job file as a shop writes it by hand: a machine sheet, readings and recordings beside it, facts for the paper."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Evidence, Job, Stage
from snath.decisions.machine.clutch import allowed_condition
from snath.decisions.machine.parts import Engine, Machine
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_validation import validate
from snath.decisions.reading.flashed import flashed_reading
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading, Withdrawal
from snath.decisions.reading.shown import shown_reading
from snath.formulas.signals.candidates import Track
from snath.quantities.errors import InputError
from snath.quantities.toml_text import Fault, read_toml
from snath.quantities.units import Quantity
from snath.shop.files.behaviour_file import behaviour_of
from snath.shop.files.job_schema import FactsTable, InstrumentTable, JobTable, ReadingTable
from snath.shop.files.shop_rules import rule_book
from snath.shop.media.recording import read_recording
from snath.shop.media.request import ReadRequest
from snath.shop.media.text_file import read_text

WAYS = ("reading", "flash_runs", "recording")


@dataclass(frozen=True, slots=True)
class JobFile:
    """The job, and what only the paper needs."""

    job: Job
    facts: FactsTable


def read_job_file(path: str) -> JobFile:
    """The job a file describes, its recordings read.

    Parameters
    ----------
    path : str
        The job file; other files are named from its folder.

    Raises
    ------
    InputErrors
        With every fault of the file or its sheet, each with its line.
    """
    toml = read_toml(read_text(path, "job"), field="job")
    table = validate(toml, JobTable)
    folder = Path(path).parent
    machine = read_sheet(read_text(str(folder / table.sheet), "sheet"), decimal_mark=table.decimal_mark)
    if faults := _stage_faults(table, machine):
        raise toml.errors(faults)
    job = _job(table, machine, folder)
    behaved = behaviour_of(table, job, folder)
    if behaved.faults:
        raise toml.errors(behaved.faults)
    job = replace(job, behaviour=behaved.given, evidence=(*job.evidence, *behaved.evidence))
    return JobFile(job, table.facts)


def _job(table: JobTable, machine: Machine, folder: Path) -> Job:
    """The job without what it asks of the machine's behaviour."""
    instruments = tuple(_instrument(row) for row in table.instrument)

    def stage(rows: list[ReadingTable]) -> Stage:
        found = [_told(row, *_reading(row, machine, instruments, folder)) for row in rows]
        return Stage(tuple(reading for reading, _ in found), tuple(track for _, track in found if track))

    found, left = stage(table.as_found), stage(table.as_left)
    rules = str(folder / table.rules) if table.rules else None
    job = job_for(machine, rule_book(rules, table.decimal_mark), market=table.market, only=table.rule or None)
    return replace(
        job,
        id=table.id,
        judged_on=table.judged_on,
        decimal_mark=table.decimal_mark,
        decision=table.decision,
        outcome=table.outcome,
        only_checked=table.only_checked,
        aim=_si(table.aim),
        aim_reason=table.aim_reason,
        instruments=instruments,
        as_found=found,
        as_left=left,
        evidence=tuple(_evidence((*found.readings, *left.readings))),
        setting_step=job.setting_step if table.setting_step is None else table.setting_step.measured.value,
    )


def _stage_faults(table: JobTable, machine: Machine) -> list[Fault]:
    """Names that point at nothing, and readings that are neither typed nor recorded."""
    known = {row.id for row in table.instrument}
    faults: list[Fault] = []
    for stage in ("as_found", "as_left"):
        for place, row in enumerate(getattr(table, stage)):
            path = (stage, place)
            given = [name for name in WAYS if getattr(row, name)]
            if len(given) != 1:
                say = f"needs exactly one of {', '.join(WAYS)}"
                faults.append(Fault(path, " and ".join(given) or "none", say))
            if row.shaft not in machine.shafts:
                say = f"must be a shaft of the sheet: {', '.join(machine.shafts)}"
                faults.append(Fault((*path, "shaft"), row.shaft, say))
            try:
                allowed_condition(machine, row.condition)
            except InputError as fault:
                faults.append(Fault((*path, "condition"), row.condition, fault.allowed))
            if row.instrument and row.instrument not in known:
                say = f"must be the id of an instrument of this file: {', '.join(sorted(known)) or 'it has none'}"
                faults.append(Fault((*path, "instrument"), row.instrument, say))
    return faults


def _instrument(row: InstrumentTable) -> Instrument:
    return Instrument(
        id=row.id,
        name=row.name,
        kind=row.kind,
        accuracy=row.accuracy,
        digits=_si(row.digits) or 0.0,
        resolution=_si(row.resolution) or 0.0,
        per_turn=row.per_turn,
        checked_on=row.checked_on,
        bought_on=row.bought_on,
        due_on=row.due_on,
    )


def _reading(
    row: ReadingTable,
    machine: Machine,
    instruments: tuple[Instrument, ...],
    folder: Path,
) -> tuple[Reading, Track | None]:
    if row.recording:
        return _recorded(row, machine, folder)
    instrument = next((one for one in instruments if one.id == row.instrument), None)
    return _from_instrument(row, machine.engine, instrument), None


def _told(row: ReadingTable, reading: Reading, track: Track | None) -> tuple[Reading, Track | None]:
    """The reading with what was turned before it, and why it was withdrawn."""
    gone = row.withdrawn
    withdrawn = None if gone is None else Withdrawal(gone.reason, gone.by, gone.at)
    return replace(reading, turned=row.turned, withdrawn=withdrawn), track


def _from_instrument(row: ReadingTable, engine: Engine, instrument: Instrument | None) -> Reading:
    if row.flash_runs is not None:
        runs = [[rate.measured.value for rate in run] for run in row.flash_runs]
        return flashed_reading(
            runs,
            instrument=instrument,
            alike=row.alike,
            shaft=row.shaft,
            condition=row.condition,
            at=row.at,
        )
    return shown_reading(
        [one.measured.value for one in row.reading or []],
        engine=engine,
        instrument=instrument,
        shaft=row.shaft,
        condition=row.condition,
        stated_u=_si(row.u),
        at=row.at,
        hunting=_si(row.hunting),
    )


def _recorded(row: ReadingTable, machine: Machine, folder: Path) -> tuple[Reading, Track | None]:
    per_turn: Any = "spark" if row.per_turn == "spark" else float(row.per_turn) if row.per_turn else None
    asked = ReadRequest(
        machine=machine,
        shaft=row.shaft,
        condition=row.condition,
        per_turn=per_turn,
        clock=row.clock,
        marks=row.marks,
    )
    read = read_recording(folder / row.recording, asked)
    return replace(read.reading, at=row.at), read.track


def _evidence(readings: tuple[Reading, ...]) -> list[Evidence]:
    return [Evidence(reading.evidence, reading.method) for reading in readings if reading.evidence]


def _si(quantity: Quantity | None) -> float | None:
    return None if quantity is None else quantity.measured.value
