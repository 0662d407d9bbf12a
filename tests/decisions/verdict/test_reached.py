"""What a member reached is told in the unit of its own limit, in the alternative that counts."""

from dataclasses import replace

import pytest

from snath.decisions.job.assemble import job_for
from snath.decisions.job.work import work
from snath.rules.load import shipped_rules
from tests.shop.paper.conftest import machine, taken


def test_a_tip_is_told_as_a_surface_speed_by_the_worse_way_to_reckon():
    # By hand: pi x 19.5 in x 1.2 x 3,408.33 rpm = pi x 0.4953 m x 68.1667 rev/s = 106.07 m/s; the spindle
    # turns 4,090 rpm = 68.167 rev/s.
    job = job_for(machine(figure=3000), shipped_rules(), market="US")
    job = replace(
        job, as_found=replace(job.as_found, readings=(replace(taken(3405, 3412, 3408), instrument=""),))
    )
    stands = work(job).as_found.stands
    blade = next(m for m in stands.members if m.member == "deck blade")
    assert blade.kind == "surface speed"
    assert blade.reached == pytest.approx(106.07, abs=0.005)
    assert blade.speed == pytest.approx(68.1667, abs=0.00005)
    engine = next(m for m in stands.members if m.member == "engine")
    assert engine.reached == pytest.approx(3408.33 / 60, abs=0.005 / 60)
