"""Every address of the API: what it takes, does and answers, and the least a key must be allowed."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from inspect import cleandoc
from typing import Any, Literal

from snath.shop.answers.limit import LimitAnswer
from snath.shop.answers.recording import RecordingAnswer
from snath.shop.answers.verdict_types import AskedVerdict
from snath.shop.answers.window_types import AskedWindow
from snath.shop.records.api_keys import Scope
from snath.shop.records.held_clips import LARGEST
from snath.shop.site.api import lists, made, recordings, schemas, works
from snath.shop.site.api.asker import Asker

ROOT = "/api/1/"
JSON, FORM = "application/json", "multipart/form-data"
MOST_BYTES = {JSON: 500_000, FORM: LARGEST + 500_000}  # of a body: a recording, and what is said of it


@dataclass(frozen=True)
class Address:
    """One address with one method.

    Attributes
    ----------
    method, name : str
        How and where it is asked; a part in braces is a field of what it takes.
    takes : type of Sent
        What may be sent; its docstring says what it is for.
    answers : type
        What comes back with 200.
    does : callable
        Answers, of who asks and what was asked.
    scope : Scope
        The least a key must be allowed.
    body : str
        Media type of what is sent; empty where it stands in the address.
    also : mapping of int to type
        What comes back with other statuses that are no refusal.
    """

    method: Literal["GET", "POST"]
    name: str
    takes: type[schemas.Sent]
    answers: type
    does: Callable[[Asker, Any], object]
    scope: Scope = Scope.WORK
    body: str = ""
    also: Mapping[int, type] = field(default_factory=dict)

    @property
    def path(self) -> str:
        """Where it is asked."""
        return ROOT + self.name

    @property
    def purpose(self) -> str:
        """What it is for."""
        return cleandoc(self.takes.__doc__ or "")

    @property
    def pattern(self) -> re.Pattern[str]:
        """What its path looks like, with a group for each part in braces."""
        return re.compile(ROOT + re.sub(r"\{(\w+)\}", r"(?P<\1>[^/]+)", self.name) + "/?")


def post(name: str, takes: Any, answers: type, does: Callable[[Asker, Any], object], **more: Any) -> Address:
    """An address something is sent to."""
    return Address("POST", name, takes, answers, does, **{"body": JSON, **more})


ADDRESSES = (
    post("ask", schemas.Ask, LimitAnswer, works.ask),
    post("window", schemas.WindowAsked, AskedWindow, works.window),
    post("judge", schemas.JudgeAsked, AskedVerdict, works.judge),
    post(
        "read",
        schemas.ReadAsked,
        RecordingAnswer,
        recordings.read,
        body=FORM,
        also={202: recordings.WaitingAnswer},
    ),
    Address(
        "GET",
        "readings/{number}",
        schemas.ReadingAsked,
        RecordingAnswer,
        recordings.reading,
        also={202: recordings.WaitingAnswer},
    ),
    post(
        "jobs",
        schemas.JobAsked,
        lists.ListedJob,
        made.open_job,
        scope=Scope.MAKE,
        also={201: lists.ListedJob},
    ),
    Address("GET", "jobs", schemas.JobsListed, lists.JobsAnswer, lists.jobs, Scope.READ),
    Address("GET", "machines", schemas.MachinesListed, lists.MachinesAnswer, lists.machines, Scope.READ),
    Address("GET", "fleet", schemas.FleetListed, lists.FleetListAnswer, lists.fleet, Scope.READ),
)
