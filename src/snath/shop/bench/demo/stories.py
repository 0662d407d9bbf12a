"""List the jobs of the demo shop, so that a first look shows every state a job can be in.

Nothing here is a measurement or a recommendation: machines, people and figures are made up, and the sheets
they print say so.
"""

from dataclasses import dataclass, field

from snath.decisions.behaviour.asked import BehaviourInput
from snath.decisions.job.job import NOTHING_ASKED
from snath.decisions.machine.parts import Condition
from snath.shop.bench.demo.running import surging_mower

Words = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Story:
    """One demo job: what was read as found and as left, how long ago, and what was written down."""

    sheet: str
    customer: str
    days_ago: int
    found: tuple[float, ...] = ()
    left: tuple[float, ...] = ()
    condition: Condition = "blades in air"
    facts: Words = ()
    outcome: str = ""
    settled: bool = False
    route: str = ""
    behaviour: BehaviourInput = field(default=NOTHING_ASKED)


READ: Words = (("read_by", "the day's mechanic"),)
SIGNED: Words = (*READ, ("countersigned_by", "the owner"), ("hours", "212"))
ORCHARD = "Example Orchard"

STORIES = (  # in the order in which they are numbered
    Story(
        "orchard_walk_behind",
        ORCHARD,
        days_ago=740,
        found=(3310, 3305, 3312),
        left=(3120, 3118, 3121),
        facts=SIGNED,
        settled=True,
    ),
    Story(
        "orchard_walk_behind",
        ORCHARD,
        days_ago=366,
        found=(3215, 3220, 3212),
        left=(3105, 3102, 3108),
        facts=SIGNED,
        settled=True,
    ),
    Story(
        "orchard_walk_behind",
        ORCHARD,
        days_ago=2,
        found=(3620, 3615, 3624),
        left=(3098, 3102, 3100),
        facts=READ,
    ),
    Story("paddock_rider", "Example House", days_ago=1, found=(3345, 3352, 3349), condition="blades off"),
    Story("long_row_twin", "Example Allotments", days_ago=0),
    Story("yard_generator", "Example Tent Hire", days_ago=5, found=(3725, 3722, 3728)),
    Story(
        "kerb_saw",
        "Example Paving",
        days_ago=9,
        found=(9650, 9655, 9648),
        condition="blades off",
        outcome="customer declined",
    ),
    Story("weir_rider", "Example Farm", days_ago=4, found=(3318, 3322, 3320), route="weir_rider"),
    Story(
        "brook_walk_behind",
        "Example School",
        days_ago=6,
        found=(3884, 3871, 3886),
        left=(3101, 3098, 3100),
        facts=READ,
        behaviour=surging_mower(),
    ),
)
