"""Whatever is done to a machine in whatever order: does it pass only on what was read after the last thing done?

Against a ledger of events kept here, by hand: a reading speaks for the machine until something is turned or exchanged.
"""

import random
from dataclasses import replace

import pytest

from snath.decisions.behaviour.asked import BehaviourInput, ChecklistInput, Mark
from snath.decisions.job.job import Job, Stage
from snath.decisions.job.work import work
from snath.decisions.reading.reading import Reading, Withdrawal
from tests.machines import a_belt, deck, job, rpm

# By hand: 4.5 on 6.25 in allows 3,599.9 rpm with a 28 in blade, 3.5 on 6.25 in more; 3,000 and 3,300 pass with both.
SPEEDS, GONE = (3000.0, 3300.0, 3900.0), Withdrawal("misread", "second bench")
EVENTS = ("read", "read", "turn and read", "withdraw", "exchange", "fault", "put right", "check")


class Ledger:
    """What was done, and what still speaks."""

    def __init__(self) -> None:
        self.job: Job = job(deck({"spindle": (28, 4.5, 6.25)}))
        self.stage, self.since, self.faulty, self.checked = "as_found", [], False, {"as found", "as left"}

    def readings(self) -> tuple[Reading, ...]:
        return getattr(self.job, self.stage).readings

    def put(self, readings: tuple[Reading, ...]) -> None:
        self.job = replace(self.job, **{self.stage: Stage(readings)})

    def read(self, speed: float, *, turned: bool) -> None:
        one = Reading(value=rpm(speed, 5), decided=True, turned="half a turn" if turned else "")
        self.since = [*([] if turned else self.since), len(self.readings())]
        self.put((*self.readings(), one))

    def do(self, event: str, chance: random.Random) -> None:
        if "read" in event:
            self.read(chance.choice(SPEEDS), turned="turn" in event and bool(self.readings()))
        elif event == "withdraw" and self.readings():
            place = chance.randrange(len(self.readings()))
            self.put(
                tuple(replace(r, withdrawn=GONE) if n == place else r for n, r in enumerate(self.readings()))
            )
            self.since = [n for n in self.since if n != place]
        elif event == "exchange" and self.stage == "as_found" and self.readings():
            self.job = replace(self.job, drive_before=(a_belt("spindle", 3.5, 6.25),))
            self.stage, self.since = "as_left", []
        elif event in ("fault", "put right"):
            self.faulty = event == "fault"
        elif event == "check":
            self.checked = set(chance.sample(["as found", "as left"], chance.randrange(3)))
        fault = (Mark("kill", "fault", "does not stop"),) if self.faulty else ()
        lists = ChecklistInput(fault, in_order=tuple(sorted(self.checked)))
        self.job = replace(self.job, behaviour=BehaviourInput(checklist=lists))


@pytest.mark.parametrize("seed", range(40))
def test_it_passes_only_on_what_was_read_after_the_last_thing_done(seed):
    chance, ledger = random.Random(seed), Ledger()
    for event in chance.choices(EVENTS, k=12):
        ledger.do(event, chance)
        stands = work(ledger.job).stands
        speaks = [ledger.readings()[n].value.value for n in ledger.since]
        stage = ledger.stage.replace("_", " ")
        may_pass = bool(speaks) and max(speaks) < 3600 / 60 and stage in ledger.checked and not ledger.faulty
        assert stands.word != "pass" or may_pass, (seed, event)
        assert not stands.left_set or may_pass, (seed, event)
        assert (stands.word == "blocked") == ledger.faulty, (seed, event)
    # And nothing bars it for good: put right, checked, and set to a speed clearly apart from all before.
    ledger.faulty, ledger.checked = False, {"as found", "as left"}
    ledger.read(2800.0, turned=True)
    ledger.do("put right", chance)
    assert work(ledger.job).stands.word == "pass", seed


def test_with_another_drive_on_it_nothing_says_where_to_set_the_one_it_came_in_with():
    ledger, chance = Ledger(), random.Random(0)
    ledger.read(3900.0, turned=False)
    assert "verdict.read-as-it-is" not in {step.code for step in work(ledger.job).stands.settle}
    ledger.do("exchange", chance)
    stands = work(ledger.job).stands
    assert stands.word == "undecided"
    assert [step.code for step in stands.settle] == ["verdict.read-as-it-is"]
    assert stands.reasons[0].code == "verdict.other-drive"
