"""How much of the setting band do the shop's instruments use up, and which of them may be trusted for it?"""

from collections.abc import Iterator

from snath.decisions.job.job import Job
from snath.decisions.reading.budget import typed_budget
from snath.decisions.reading.instruments import Instrument, accuracy_known, overdue
from snath.decisions.window.solve import Room
from snath.quantities.units import show


def room_of(job: Job) -> Room:
    """What a setting needs between target and ceiling: one reading's doubt by the best instrument, and a step."""
    best = _best(job)
    return Room(instrument_u=_u(job, best) if best else 0.0, step=job.setting_step)


def room_notes(job: Job) -> Iterator[str]:
    """What the sheet must say of that room; nothing where no maker's figure gives a band."""
    if job.machine.engine.maker_no_load is None:
        return
    best = _best(job)
    if best is None:
        yield "The setting band leaves no room for an instrument: none is on the job."
    elif not accuracy_known(best):
        yield (
            f"The setting band leaves no room for what {best.name} may be off by: neither its plate nor a check "
            "says how far that is."
        )
    elif _late(job, best):
        yield (
            f"The setting band leaves room for {best.name} by its plate, but it is overdue for its check: how far "
            "it has drifted is not known, so the band may be too wide."
        )
    yield (
        f"Room of {show(job.setting_step, 'rpm', digits=0)} is kept for setting the governor "
        "(common practice, no source)."
    )


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
    return typed_budget([figure.rev_s if figure else 0.0], instrument=instrument, stated_u=None, what="").u
