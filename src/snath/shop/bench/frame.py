"""What every page carries round its work: the shop tasks, and the cautions of the moment."""

from dataclasses import dataclass
from functools import cache

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext, gettext_lazy

from snath.shop.bench.help.pages import OF_TASK


@dataclass(frozen=True, slots=True)
class Task:
    """One shop task as the frame shows it; `mark` is a path on a 24 by 24 grid."""

    url: str
    name: str | Promise
    mark: str
    here: bool


ASK = "bench:ask"
# First page, word, where its addresses start, mark.
TASKS = (
    (ASK, gettext_lazy("Ask"), ("/ask", "/liking"), "M3 18a9 9 0 1 1 18 0M12 18l5-7M3 18h18"),
    ("bench:today", gettext_lazy("Today"), ("/today",), "M4 5h16v15H4zM4 10h16M8 2v5M16 2v5"),
    ("bench:jobs", gettext_lazy("Jobs"), ("/jobs", "/tag"), "M5 3h14v18H5zM8 8h8M8 12h8M8 16h5"),
    ("bench:measure", gettext_lazy("Measure"), ("/measure",), "M2 12h3l2-7 4 14 4-12 2 5h5"),
    ("bench:shelf", gettext_lazy("Shelf"), ("/shelf",), "M3 9h18M3 20h18M6 9V4h5v5M14 20v-6h5v6M7 20v-5"),
    ("bench:teach", gettext_lazy("Teach"), ("/teach",), "M3 4h18v12H3zM12 16v5M7 21h10M7 12l3-4 3 2 4-3"),
)


def task_at(path: str) -> str:
    """The first page of the task that owns this address; empty where none does."""
    return next(
        (view for view, _, starts, _ in TASKS if path.startswith(starts) or (view == ASK and path == "/")), ""
    )


def tasks(here: str) -> tuple[Task, ...]:
    """The tasks, with the one at hand marked."""
    return tuple(Task(reverse(view), name, mark, view == here) for view, name, _, mark in TASKS)


@cache
def help_at(task: str) -> str:
    """Address of the page of the manual for a task; of their list where it is none."""
    return reverse("bench:help-page", args=[OF_TASK[task]]) if task else reverse("bench:help")


def cautions() -> dict[str, tuple[str, ...]]:
    """The usual cautions by the moment at which they bite: said in one place, shown in many."""
    return {
        "blade": (
            gettext(
                "Every spark plug lead off and grounded, key out, fuel off; battery out where there is one, "
                "a mains plug pulled."
            ),
            gettext("Tip it with the carburettor and air filter up. Never work under a jack alone."),
            gettext("Block the blade before a spanner goes on it, and wear gloves."),
        ),
        "running": (
            gettext("Outdoors, on level ground, guards and covers back on before it starts."),
            gettext("Stand to the side: never in front, never at the chute. Eyes and ears covered."),
            gettext(
                "Make running adjustments from the side, hands, sleeves and cords clear of belts and fan."
            ),
            gettext("Muffler and exhaust are hot enough to burn: gloves on for what is set while it runs."),
            gettext("Nobody looks, films or points a strobe under a running deck."),
        ),
        "light": (
            gettext("A part that looks stopped is turning."),
            gettext("Flashing light can trigger seizures: ask everyone near before you switch it on."),
            gettext("Mark only what shows from above with the guards on: flywheel screen or pulley top."),
        ),
        "last": (
            gettext(
                "The maker's manual, local codes and licensed practice come before anything on this page."
            ),
        ),
    }
