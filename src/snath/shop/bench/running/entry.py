"""How every page on what a machine does takes its entry: form, one try through the core, a new version of the job."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, ClassVar, TypeVar

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.functional import Promise

from snath.decisions.behaviour.asked import BehaviourInput
from snath.decisions.job.job import Evidence, Job
from snath.decisions.job.work import work
from snath.decisions.machine.sheet_fields import Table
from snath.decisions.machine.sheet_validation import entries
from snath.quantities.errors import InputError, InputErrors
from snath.shop.bench.drafts import draft_of, fill
from snath.shop.bench.fields import ShopForm, fault_words
from snath.shop.bench.jobs.kept import OpenJob, newest
from snath.shop.bench.jobs.page import page
from snath.shop.bench.jobs.saving import save_change
from snath.shop.bench.measure.in_line import waits_in_line
from snath.shop.bench.preferences import Preferences, preferences_of
from snath.shop.records.models import Attachment

Group = tuple[str | Promise, tuple[str, ...]]
Asked = TypeVar("Asked", bound=Table)


class RunningForm(ShopForm):
    """A form of one entry of a job; `GROUPS` says which boxes stand together, `MORE` which are tucked away."""

    GROUPS: ClassVar[tuple[Group, ...]] = ()
    MORE: ClassVar[Group | None] = None
    FAULTS: ClassVar[dict[str, str]] = {}  # which box a fault of the core belongs to, where names differ

    def __init__(self, *args: Any, job: OpenJob, preferences: Preferences, **kwargs: Any) -> None:
        self.job = job
        # the framework copies this on making a form; set on the instance, the class keeps its own
        self.base_fields = {**self.base_fields, **self.added(job, preferences)}  # type: ignore[misc]
        super().__init__(*args, preferences=preferences, initial=self.before(job, preferences), **kwargs)

    def before(self, job: OpenJob, preferences: Preferences) -> dict[str, Any]:
        """What the boxes hold when nobody has typed yet."""
        del job, preferences
        return {}

    def added(self, job: OpenJob, preferences: Preferences) -> dict[str, forms.Field]:
        """Boxes of which there are as many as the job asks for."""
        del job, preferences
        return {}

    @property
    def grouped(self) -> list[dict[str, Any]]:
        """Boxes by group, for the page."""
        return [{"title": title, "fields": [self[name] for name in names]} for title, names in self.GROUPS]

    @property
    def more(self) -> dict[str, Any] | None:
        """What is tucked away; open where something stands in it."""
        if self.MORE is None:
            return None
        boxes = [self[name] for name in self.MORE[1]]
        return {
            "title": self.MORE[0],
            "fields": boxes,
            "open": any(box.errors or box.value() for box in boxes),
        }

    def filled(self, table: type[Table], *but: str) -> dict[str, Any]:
        """What stands in the boxes that are named as entries of that table."""
        given = ((name, self.cleaned_data.get(name)) for name in table.model_fields if name not in but)
        return {name: value for name, value in given if value not in (None, "", False)}

    def read(self, table: type[Asked], given: Mapping[str, Any] | None = None) -> Asked:
        """The boxes by the table of their question.

        Raises
        ------
        InputErrors
            With every fault by its path.
        """
        return entries(self.filled(table) if given is None else given, table)

    def box(self, entry: str) -> str:
        """The box of an entry of the table."""
        name = re.sub(r"[ -]", "_", entry.rsplit(".", 1)[-1].split("[")[0])
        return self.FAULTS.get(name, name)

    def mark(self, fault: InputError) -> None:
        """A fault of the core at the box it belongs to, else at the form as a whole."""
        box = self.box(fault.field)
        self.add_error(box if box in self.fields else None, fault_words(fault, self.preferences.decimal_mark))


@dataclass(frozen=True, slots=True)
class Made:
    """What a form amounts to: a change to what is asked, and the recording it was read from."""

    change: Callable[[BehaviourInput], BehaviourInput]
    note: str
    recording: Attachment | None = None

    def on(self, job: Job) -> Job:
        """The job with the change, and the recording's hash kept once."""
        job = replace(job, behaviour=self.change(job.behaviour))
        kept = self.recording
        if kept is None or any(one.sha256 == kept.sha256 for one in job.evidence):
            return job
        return replace(job, evidence=(*job.evidence, Evidence(kept.sha256, kept.media, note=kept.name)))


@dataclass(frozen=True, slots=True)
class RunningEntry:
    """One page: its name, form, what the form amounts to, and what it shows of the answer."""

    key: str
    form: type[RunningForm]
    make: Callable[[HttpRequest, Any, OpenJob], Made]
    shown: Callable[[OpenJob, Preferences], dict[str, Any]]
    more: dict[str, Any] = field(default_factory=dict)


@waits_in_line
def show_entry(request: HttpRequest, number: int, entry: RunningEntry) -> HttpResponse:
    """The page of one entry: its form, and the answer as the job holds it."""
    job, preferences = newest(number), preferences_of(request)
    draft = draft_of(request, f"job:{number}:{entry.key}")
    form = entry.form(request.POST or None, request.FILES or None, preferences=preferences, job=job)
    if request.method != "POST":
        fill(form, draft)
    elif form.is_valid():
        made = tried(request, form, job, entry)
        if made is not None:
            then = f"bench:job-{entry.key}"
            return save_change(request, job, made.on, note=made.note, then=then, form=form, draft=draft)
    context = page(
        request,
        job,
        "",
        form=form,
        draft_key=draft.key,
        draft_at=draft.at,
        **entry.more,
        **entry.shown(job, preferences),
    )
    template = f"bench/running/{entry.key}.html"
    return render(request, template, context, status=422 if form.errors else 200)


def tried(request: HttpRequest, form: RunningForm, job: OpenJob, entry: RunningEntry) -> Made | None:
    """What the form amounts to, worked once before it is saved; None with the fault marked on the form."""
    try:
        made = entry.make(request, form, job)
        work(made.on(job.job))
    except (InputError, InputErrors) as found:
        for fault in found.faults:
            form.mark(fault)
        return None
    return made
