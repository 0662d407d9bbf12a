"""What has no ceiling blocks a pass, whatever it is; the sheet may state that nothing limits it, and why."""

from dataclasses import replace

import pytest

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Stage
from snath.decisions.job.work import work
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputErrors
from snath.quantities.message import Message
from snath.rules.load import shipped_rules
from tests.decisions.verdict.test_decide import reading
from tests.machines import CHECKED

HEAD = 'name = "set"\nkind = "{kind}"\n[engine]\nrated_max = "4,000 rpm"\n[[member]]\nname = "part"\n'
ALTERNATOR = '[member.alternator]\npoles = 2\nfrequency_min = "59 Hz"\n'
PUMP = '[member.pump]\nspeed_min = "3,000 rpm"\n'
OTHER = '[member.other]\nspeed_min = "2,000 rpm"\n'
READ = (reading(3600, 3), reading(3590, 3, condition="cutting"))


def stands(part, kind="other"):
    job = job_for(read_sheet(HEAD.format(kind=kind) + part), shipped_rules())
    return work(replace(job, as_found=Stage(READ), behaviour=CHECKED)).as_found.stands


@pytest.mark.parametrize("part", [ALTERNATOR, PUMP, OTHER])
def test_without_a_ceiling_nothing_passes(part):
    found = stands(part)
    assert found.word == "undecided"
    assert Message("verdict.unlimited", member="part") in found.reasons


@pytest.mark.parametrize("part", [ALTERNATOR, PUMP, OTHER])
def test_a_part_stated_to_be_unlimited_blocks_nothing(part):
    found = stands(part + 'unlimited = "its plate gives a lowest speed only, asked of the maker"\n')
    assert found.word == "pass"


def test_the_reason_is_told():
    text = HEAD.format(kind="other") + PUMP + 'unlimited = "maker\'s letter"\n'
    found = work(job_for(read_sheet(text), shipped_rules()))
    assert Message("machine.unlimited", name="part", why="maker's letter") in found.notes


@pytest.mark.parametrize(
    ("part", "message"),
    [
        (PUMP + 'speed_max = "3,500 rpm"\nunlimited = "x"\n', "sheet.limited(by='speed_max')"),
        (
            '[member.alternator]\npoles = 2\nfrequency_max = "62 Hz"\nunlimited = "x"\n',
            "sheet.limited(by='frequency_max')",
        ),
        ('[member.blade]\narms = ["9 in", "9 in"]\nunlimited = "x"\n', "fault.unknown-key("),
        ('[member.wheel]\nspeed_max = "4,000 rpm"\nunlimited = "x"\n', "fault.unknown-key("),
        ('[member.pump]\nunlimited = ""\n', "sheet.needs-limit("),
    ],
)
def test_only_what_may_be_unlimited_can_be_said_to_be(part, message):
    with pytest.raises(InputErrors) as caught:
        read_sheet(HEAD.format(kind="other") + part)
    assert message in str(caught.value)


def test_an_edger_blade_has_the_speed_marked_on_it_or_no_ceiling():
    # No tip-speed row speaks of edgers (blade marked with its rpm, ISO 11806 family, from memory).
    blade = '[member.blade]\nlength = "9 in"\nmeasured = "corner to corner"\n'
    assert stands(blade, kind="edger").word == "undecided"
    assert stands(blade + 'speed_max = "4,500 rpm"\n', kind="edger").word == "pass"
