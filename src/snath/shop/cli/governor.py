"""`snath governor`: droop, hunting, response and class figures, what a wished-for speed takes, the next setting."""

from typing import Any

import click

from snath.decisions.behaviour.asked import ChecklistInput, Mark
from snath.decisions.behaviour.checklist import SETS, checklist, checks
from snath.decisions.behaviour.complaint import Complaint, from_loaded
from snath.decisions.behaviour.from_tables import governor_input, setting_input, si
from snath.decisions.behaviour.governor import GovernorResult, judge_governor
from snath.decisions.behaviour.setting import next_setting
from snath.decisions.behaviour.tables import BehaviourTables, GovernorTable, SettingTable
from snath.decisions.machine.parts import Engine, Machine
from snath.decisions.machine.sheet_fields import named
from snath.decisions.machine.sheet_validation import entries
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.heads import RUNNING_CAUTION
from snath.shop.cli.answer import answer, answers_plainly, said
from snath.shop.cli.codes import DONE, FAILED, UNDECIDED
from snath.shop.cli.common import decimal_option, rules_option
from snath.shop.cli.governor_words import governor_data, governor_text
from snath.shop.cli.plot import plot_option, write_plot
from snath.shop.cli.typed import as_typed, options_given, options_of, track_file
from snath.shop.files.shop_rules import rule_book
from snath.shop.pictures.track import track_picture

SETTING = ("kind", "target", "ceiling", "set_between")

of_governor, of_setting = options_of(GovernorTable), options_of(SettingTable)


@click.command()
@of_governor("--no-load", help='Speed with no load, as "3750 rpm" or "3750 ± 5 rpm".')
@of_governor("--loaded", help="Speed under load.")
@of_governor("--track", help="Speed over time: CSV of t_s, rpm and, if known, u_rpm.")
@of_governor("--at", "shaft", help="Shaft of speeds and track.")
@of_governor("--track-load", help="Under which load a track without a mark was taken.")
@of_governor("--load-on", help='When the load came on, as "15 s"; once for each time.')
@of_governor("--load-off", help="When it went off.")
@of_governor("--load", help='Load that was put on, as "5 kW".')
@of_governor("--rated", help="Rated output of the set.")
@of_governor("--poles", help="Poles of an alternator.")
@of_governor("--frequency", help="Its rated frequency.")
@of_governor("--inverter", help="Its frequency is made electronically.")
@click.option("--wanted", "wanted_loaded", help="Loaded speed the customer asks for.")
@of_setting("--ceiling", help="Highest no-load speed any limit allows on that shaft.")
@click.option(
    "--tried", multiple=True, help='A setting and its no-load speed, as "1.5 = 3,150 rpm"; once for each.'
)
@of_setting("--by", "kind", required=False, default="turns", show_default=True, help="What is turned.")
@of_setting("--target", help="No-load speed to set to.")
@click.option(
    "--set-between",
    nargs=2,
    help="The band to set in, low and high; without it ± 100 rpm, ± 3 % above 4,000, under the ceiling.",
)
@click.option("--checks-done", is_flag=True, help="All checks that come before setting are done.")
@rules_option
@plot_option
@decimal_option
@answers_plainly
def governor(
    wanted_loaded: str | None,
    tried: tuple[str, ...],
    checks_done: bool,
    rules: str | None,
    plot_file: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
    **typed: Any,
) -> None:
    """Does the speed hold: droop on both bases, steady band, hunting, response; and where to set it next."""
    told, book = options_given(typed), rule_book(rules, decimal_mark)
    setting = {name: told.pop(name) for name in SETTING if name in told}
    if tried and not ("target" in setting and "ceiling" in setting):
        raise InputError("tried", ", ".join(tried), Message("governor.next-needs"))
    with as_typed(position="tried", speed="tried", set_low="set-between", set_high="set-between"):
        setting["point"] = [_point(text) for text in tried]
        if tried and not {"no_load", "track"} & told.keys():
            told["no_load"] = setting["point"][-1]["speed"]  # tried last: the no-load speed it has now
        asked = entries(
            options_given({"governor_left": told, "setting": setting, "wanted_loaded": wanted_loaded}),
            BehaviourTables,
            decimal_mark=decimal_mark,
        )
        assert asked.governor_left is not None
        assert asked.setting is not None
        looked_at = governor_input(asked.governor_left, "governor", None, track_file)
        found = judge_governor(looked_at, book)
        wish = _wish(found, asked)
        ahead = None
        if tried:
            first = _checked(done=checks_done)
            ahead = next_setting(setting_input(asked.setting), hunts=found.hunts, checked=first)
    write_plot(plot_file, lambda voice: track_picture(looked_at.track, voice) if looked_at.track else None)
    answer(
        governor_data(found, wish, ahead),
        "\n".join([*governor_text(found, wish, ahead), said(RUNNING_CAUTION)]),
        as_json=as_json,
        code=_code(found),
    )


def _code(found: GovernorResult) -> int:
    if found.hunts:
        return FAILED
    return UNDECIDED if found.hunts is None and found.droop_on_loaded is None else DONE


def _wish(found: GovernorResult, asked: BehaviourTables) -> Complaint | None:
    wanted = asked.wanted_loaded
    if wanted is None or asked.setting is None:
        return None
    if found.droop_on_loaded is None:
        raise InputError("wanted", wanted.text, Message("records.droop-needed"))
    return from_loaded(
        loaded=named(wanted, "wanted_loaded"), droop=found.droop_on_loaded, ceiling=si(asked.setting.ceiling)
    )


def _point(text: str) -> dict[str, str]:
    place, sign, speed = text.partition("=")
    if not sign:
        raise InputError("tried", text, Message("records.setting-and-speed"))
    return {"position": place.strip(), "speed": speed.strip()}


def _checked(*, done: bool) -> Any:
    """The checks that come first, all of them done or all still open: the terminal knows no more."""
    state: Any = "done" if done else "open"
    first = tuple(Mark(check.id, state) for check in checks() if check.when == SETS)
    ran = ChecklistInput(first, in_order=("as found",) if done else ())
    return checklist(Machine("", "other", Engine()), ran)
