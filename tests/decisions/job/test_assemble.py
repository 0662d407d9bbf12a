"""Which rows of the book go along with a job?"""

from snath.decisions.job.assemble import job_for
from snath.decisions.machine.parts import CRANKSHAFT, Engine, Machine, Member
from snath.rules.load import shipped_rules
from tests.machines import direct, inches, job


def test_a_mower_takes_its_tip_speed_and_stop_rows_and_no_wheels():
    ids = {rule.id for rule in job(direct(inches(21)), market="US").rules}
    assert {"mower-tip-speed-consumer", "us-walk-behind-blade-stop"} <= ids
    assert not any(name.startswith(("cut-off", "generator")) for name in ids)


def test_a_set_takes_every_class_of_figures_and_its_window_uses_none():
    alternator = Member("alternator", CRANKSHAFT, "alternator", poles=2, frequency_max=63)
    machine = Machine("set", "generator", Engine(), (), (alternator,))
    ids = {rule.id for rule in job_for(machine, shipped_rules()).rules}
    assert {"generator-droop-g1", "generator-droop-g2", "generator-droop-g3"} <= ids


def test_a_chosen_row_stands_in_place_of_the_surface_speeds_in_scope():
    rows = job(direct(inches(21)), only="mower-tip-speed-before-1968").rules
    assert [row.id for row in rows if row.kind == "surface speed"] == ["mower-tip-speed-before-1968"]
    assert any(row.kind == "stopping time" for row in rows)
