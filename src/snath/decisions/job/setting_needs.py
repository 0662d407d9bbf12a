"""Tell what of the setting band the shop's instruments use up, and which of them may be trusted for it."""

from collections.abc import Iterator

from snath.decisions.job.job import Job
from snath.decisions.reading.budget import typed_budget
from snath.decisions.reading.instruments import Instrument, accuracy_known, overdue
from snath.decisions.window.solve import SettingNeeds
from snath.quantities.message import Amount, Message


def setting_needs(job: Job) -> SettingNeeds:
    """What a setting needs between target and ceiling: one reading's doubt by the best instrument, and a step."""
    best = _best(job)
    return SettingNeeds(instrument_u=_u(job, best) if best else 0.0, step=job.setting_step)


def setting_notes(job: Job) -> Iterator[Message]:
    """What the sheet must say of them; nothing where no maker's figure gives a band."""
    if job.machine.engine.maker_no_load is None:
        return
    best = _best(job)
    if best is None:
        yield Message("job.room-no-instrument")
    elif not accuracy_known(best):
        yield Message("job.room-not-known", instrument=best.name)
    elif _late(job, best):
        yield Message("job.room-overdue", instrument=best.name)
    yield Message("job.room-step", step=Amount(job.setting_step, "rotation"))


def _best(job: Job) -> Instrument | None:
    """The finest instrument that can pass a machine: known, and not overdue. Without one, the finest known."""
    known = [one for one in job.instruments if accuracy_known(one)]
    in_date = [one for one in known if not _late(job, one)]
    return min(in_date or known or job.instruments, key=lambda one: _u(job, one), default=None)


def _late(job: Job, instrument: Instrument) -> bool:
    return bool(job.judged_on) and overdue(instrument, job.judged_on)


def _u(job: Job, instrument: Instrument) -> float:
    """Standard uncertainty of one reading at the maker's figure. [rev/s]"""
    figure = job.machine.engine.maker_no_load
    return typed_budget([figure.rev_s if figure else 0.0], instrument=instrument, stated_u=None, taken={}).u
