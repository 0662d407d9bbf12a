"""Which rules speak of this part, and which one a quick answer rests on."""

import pytest

from snath.rules.book import Rule, Scope
from snath.rules.load import shipped_rules, with_shop_rules
from snath.rules.scope import MACHINE_KINDS, MARKETS, PRODUCTS, USES, design_of
from snath.rules.select import applicable, rule_by_id
from tests.told import refused

BOOK = shipped_rules()


def ids(**asked):
    return [rule.id for rule in applicable(BOOK, **asked)]


MOWER = {"machine_kind": "walk-behind rotary mower", "member_kind": "blade", "product": "consumer"}


def strictest(rules, *, kind):
    """The row of that kind with the lowest ceiling, another road than the window's: by its figure alone."""
    ceilings = [rule for rule in rules if rule.kind == kind and rule.at_most is not None and rule.binds]
    return min(ceilings, key=lambda rule: rule.at_most, default=None)


def test_a_home_mower_answers_to_the_consumer_limit_and_the_blade_stop():
    assert ids(**MOWER, use="at home", market="US") == [
        "mower-tip-speed-consumer",
        "us-walk-behind-blade-stop",
    ]


def test_the_same_mower_at_work_answers_to_the_workplace_rule_besides_and_keeps_its_blade_stop():
    # 16 CFR 1205.1(b) (read) follows the consumer product, whoever uses it.
    assert ids(**MOWER, use="at work", market="US") == [
        "mower-tip-speed-consumer",
        "us-workplace-mower-tip-speed",
        "us-walk-behind-blade-stop",
        "us-workplace-blade-stop",
    ]


def test_a_mower_designed_for_commercial_use_answers_to_its_own_limit_even_at_home():
    asked = {**MOWER, "product": "commercial"}
    assert ids(**asked, use="at home", market="US") == ["mower-tip-speed-commercial"]
    assert ids(**asked, use="at work", market="US/California") == [
        "mower-tip-speed-commercial",
        "us-workplace-mower-tip-speed",
        "us-california-mower-tip-speed-commercial",
        "us-workplace-blade-stop",
    ]


def test_state_rows_hold_in_their_state_for_employers_only():
    washington = "us-washington-mower-tip-speed-consumer"
    assert washington in ids(**MOWER, use="at work", market="US/Washington", made=2010)
    assert washington not in ids(**MOWER, use="at home", market="US/Washington", made=2010)
    assert washington not in ids(**MOWER, use="at work", market="US", made=2010)
    assert washington not in ids(**MOWER, use="at work", market="US/California", made=2010)
    # WAC 296-807-16005 (read): mowers made since 1 August 2003.
    held = {
        made
        for made in (2002, "2003-07", "2003-08", 2003, 2004)
        if washington in ids(**MOWER, use="at work", market="US/Washington", made=made)
    }
    assert held == {"2003-08", 2003, 2004}


def test_the_blade_stop_holds_for_machines_made_after_june_1982():
    # 16 CFR 1205 (read): in force 30 June 1982. A machine of 1982 may be on either side, so it is held to it.
    held = [
        made
        for made in (1981, "1982-06", 1982, "1982-07", 1983, None)
        if "us-walk-behind-blade-stop" in ids(**MOWER, market="US", made=made)
    ]
    assert held == [1982, "1982-07", 1983, None]


POUND = 0.45359237
HORSEPOWER = 550 * 0.3048 * 0.45359237 * 9.80665  # 550 ft lbf/s


@pytest.mark.parametrize(
    ("sizes", "holds"),
    [
        ({}, True),
        ({"cutting_width": 0.5334}, True),
        ({"cutting_width": 11.9 * 0.0254}, False),  # 16 CFR 1205.1 (read): 12 in or more
        ({"cutting_width": 0.3048}, True),
        # 16 CFR 1205.1(c) (from memory): 30 in, 200 lb and 8 hp or more, all three.
        ({"cutting_width": 0.762, "weight": 200 * POUND, "power": 8 * HORSEPOWER}, False),
        ({"cutting_width": 0.762, "weight": 199 * POUND, "power": 8 * HORSEPOWER}, True),
        ({"cutting_width": 0.762, "weight": 200 * POUND}, True),
        ({"cutting_width": 0.75, "weight": 200 * POUND, "power": 8 * HORSEPOWER}, True),
    ],
)
def test_the_size_of_a_machine_may_take_it_out_of_the_blade_stop(sizes, holds):
    found = "us-walk-behind-blade-stop" in ids(**MOWER, market="US", made=2010, sizes=sizes)
    assert found == holds


def test_what_is_not_known_does_not_narrow():
    found = ids(machine_kind="walk-behind rotary mower", member_kind="blade", market="US")
    assert set(found) == {
        "mower-tip-speed-consumer",
        "mower-tip-speed-commercial",
        "us-workplace-mower-tip-speed",
        "us-walk-behind-blade-stop",
        "us-workplace-blade-stop",
    }


def test_words_of_kept_jobs_still_mean_the_same():
    # Before, one word stood for both: consumer (at home) and commercial (anybody at work runs it).
    assert ids(**MOWER, use="commercial", market="US") == ids(**MOWER, use="at work", market="US")
    old = Rule("x", "x", "surface speed", "", at_most=1.0, scope=Scope(uses=("commercial",)))
    assert applicable((old,), machine_kind="", member_kind="", use="at work")
    assert not applicable((old,), machine_kind="", member_kind="", use="at home")


def test_no_start_value_of_a_sheet_raises_a_ceiling():
    # Property: what a sheet may leave out (use at home, design by kind) never allows more than any other word does.
    for kind in MACHINE_KINDS:
        for market in ("", *MARKETS):
            start = {"machine_kind": kind, "member_kind": "blade", "market": market}
            left_out = strictest(
                applicable(BOOK, **start, use="at home", product=design_of(kind, "")), kind="surface speed"
            )
            for use in USES:
                for product in PRODUCTS:
                    said = strictest(
                        applicable(BOOK, **start, use=use, product=product), kind="surface speed"
                    )
                    assert said is None or (left_out is not None and left_out.at_most <= said.at_most), start


def test_a_blade_never_borrows_the_limit_of_a_wheel():
    # A wheel marked 100 m/s may run so; a mower blade may not (trade trap: limit kinds must not be shared).
    for machine in MACHINE_KINDS:
        for marked in ("", "100 m/s"):
            found = applicable(BOOK, machine_kind=machine, member_kind="blade", marked_class=marked)
            assert not any(rule.id.startswith("cut-off-wheel") for rule in found)


def test_a_wheel_answers_only_to_the_class_it_is_marked():
    asked = {"machine_kind": "cut-off saw", "member_kind": "wheel"}
    assert ids(**asked, marked_class="80 m/s") == ["cut-off-wheel-80"]
    assert ids(**asked) == []


def test_a_set_of_no_stated_class_is_held_to_none():
    asked = {"machine_kind": "generator", "member_kind": "alternator"}
    assert ids(**asked) == []
    assert len(ids(**asked, marked_class="G2")) == 5


def test_every_mower_blade_has_a_ceiling_in_every_market_and_use():
    mowers = [kind for kind in MACHINE_KINDS if "mower" in kind]
    assert len(mowers) == 4
    for kind in mowers:
        for market in ("", *MARKETS):
            for use in USES:
                for made in (None, 1950, 2020):
                    asked = {
                        "machine_kind": kind,
                        "member_kind": "blade",
                        "use": use,
                        "market": market,
                        "made": made,
                    }
                    assert strictest(applicable(BOOK, **asked), kind="surface speed") is not None, asked


def test_an_old_machine_is_held_to_the_figure_in_force_and_the_old_one_only_explains():
    asked = {"machine_kind": "walk-behind rotary mower", "member_kind": "blade", "market": "US", "made": 1965}
    assert "mower-tip-speed-before-1968" not in ids(**asked)
    assert "mower-tip-speed-before-1968" in ids(**asked, explaining=True)
    assert "mower-tip-speed-before-1968" not in ids(**{**asked, "made": 1990}, explaining=True)
    assert "us-walk-behind-blade-stop" not in ids(**asked)


def test_the_first_and_the_last_year_of_a_scope_belong_to_it():
    row = Rule(
        id="x",
        limits="x",
        kind="surface speed",
        printed="",
        at_most=1.0,
        scope=Scope(made_from=1982, made_to=1990),
    )
    held = [
        year for year in range(1980, 1993) if applicable((row,), machine_kind="", member_kind="", made=year)
    ]
    assert held == list(range(1982, 1991))
    assert applicable((row,), machine_kind="", member_kind="")


def test_the_strictest_row_is_taken_whoever_wrote_it():
    own = """
[[rule]]
id = "ours"
limits = "blade tip speed"
kind = "surface speed"
at_most = "18,000 ft/min"
source = "own"
"""
    book = with_shop_rules(BOOK, own)
    held = applicable(book, machine_kind="walk-behind rotary mower", member_kind="blade")
    assert strictest(held, kind="surface speed").id == "ours"


def test_an_unknown_rule_id_names_the_nearest():
    assert rule_by_id(BOOK, "pto-540").nominal == 9.0  # by hand: 540 / 60
    with refused("nearest: mower-tip-speed-consumer"):
        rule_by_id(BOOK, "mower-tip-speed-consumr")
    with refused("it has cut-off-wheel-100"):
        rule_by_id(BOOK, "zzzz")
