"""`snath governor`: droop, hunting, response and class figures, what a wished-for speed takes, the next setting."""

from typing import Any, get_args

import click

from snath.decisions.behaviour.checklist import SETS, ChecklistInput, Mark, checklist, checks
from snath.decisions.behaviour.complaint import Complaint, from_loaded
from snath.decisions.behaviour.governor import Alternator, GovernorInput, GovernorResult, judge_governor
from snath.decisions.behaviour.setting import NextSetting, next_setting
from snath.decisions.behaviour.setting_input import SettingInput, SettingKind, SettingPoint
from snath.decisions.machine.maker_figure import assumed_tolerance
from snath.decisions.machine.parts import Engine, Machine
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark, parse_number
from snath.shop.cli.answer import answer, json_option, speaks_plainly
from snath.shop.cli.as_typed import as_typed
from snath.shop.cli.codes import DONE, FAILED, UNDECIDED
from snath.shop.cli.common import decimal_option, rule_book, rules_option
from snath.shop.cli.governor_words import governor_data, governor_text
from snath.shop.cli.typed import Typed
from snath.shop.media.track_file import read_track

OPTIONS = {
    "no_load": "no-load",
    "wanted_loaded": "wanted",
    "set_low": "set-between",
    "set_high": "set-between",
    "position": "tried",
    "speed": "tried",
    "load on": "load-on",
    "load off": "load-off",
}


@click.command()
@click.option("--no-load", help='Speed with no load, as "3750 rpm" or "3750 ± 5 rpm".')
@click.option("--loaded", help="Speed under load.")
@click.option("--track", "track_file", help="Speed over time: CSV of t_s, rpm and, if known, u_rpm.")
@click.option("--at", "shaft", default="crankshaft", show_default=True, help="Shaft of speeds and track.")
@click.option("--track-load", type=click.Choice(["no load", "loaded"]), default="no load", show_default=True)
@click.option("--load-on", help='When the load came on, as "15 s".')
@click.option("--load-off", help="When it went off.")
@click.option("--load", help='Load that was put on, as "5 kW".')
@click.option("--rated", help="Rated output of the set.")
@click.option("--poles", type=int, help="Poles of an alternator.")
@click.option("--frequency", default="60 Hz", show_default=True, help="Its rated frequency.")
@click.option("--inverter", is_flag=True, help="Its frequency is made electronically.")
@click.option("--wanted", help="Loaded speed the customer asks for.")
@click.option("--ceiling", help="Highest no-load speed any limit allows on that shaft.")
@click.option(
    "--tried", multiple=True, help='A setting and its no-load speed, as "1.5 = 3,150 rpm"; once for each.'
)
@click.option("--by", "kind", type=click.Choice(get_args(SettingKind)), default="turns", show_default=True)
@click.option("--target", help="No-load speed to set to.")
@click.option(
    "--set-between",
    nargs=2,
    help="The band to set in, low and high; without it ± 100 rpm, ± 3 % above 4,000, under the ceiling.",
)
@click.option("--checks-done", is_flag=True, help="All checks that come before setting are done.")
@rules_option
@decimal_option
@json_option
@speaks_plainly
def governor(rules: str | None, decimal_mark: DecimalMark, as_json: bool, **typed: Any) -> None:
    """Does the speed hold: droop on both bases, steady band, hunting, response; and where to set it next."""
    bench = _Bench(typed, decimal_mark)
    given, book = bench.given(), rule_book(rules, decimal_mark)
    with as_typed(OPTIONS):
        found = judge_governor(given, book)
        told = found, bench.wish(found), bench.ahead(found)
    answer(governor_data(*told), "\n".join(governor_text(*told)), as_json=as_json, code=_code(found))


def _code(found: GovernorResult) -> int:
    if found.hunts:
        return FAILED
    return UNDECIDED if found.hunts is None and found.droop_on_loaded is None else DONE


class _Bench:
    """What was typed, made into what the core asks for."""

    def __init__(self, typed: dict[str, Any], decimal_mark: DecimalMark) -> None:
        self.typed = Typed(typed, decimal_mark)

    def given(self) -> GovernorInput:
        marks = tuple(
            (name.replace("_", " "), self.typed.maybe(name, "time")) for name in ("load_on", "load_off")
        )
        file, tried = self.typed["track_file"], self.typed["tried"]
        no_load, loaded = (self.typed.measured(name, "rotation") for name in ("no_load", "loaded"))
        if tried and no_load is None and not file:
            no_load = self.point(tried[-1]).speed  # what was tried last is the no-load speed it has now
        return GovernorInput(
            no_load=no_load,
            loaded=loaded,
            track=read_track(file, shaft=self.typed["shaft"], marks=marks) if file else None,
            track_load=self.typed["track_load"],
            load_w=self.typed.maybe("load", "power"),
            rated_w=self.typed.maybe("rated", "power"),
            alternator=self.alternator(),
        )

    def alternator(self) -> Alternator | None:
        poles, inverter = self.typed["poles"], self.typed["inverter"]
        if poles is None and not inverter:
            return None
        return Alternator(poles or 2, self.typed.maybe("frequency", "frequency") or 0.0, inverter)

    def wish(self, found: GovernorResult) -> Complaint | None:
        wanted = self.typed.measured("wanted", "rotation")
        if wanted is None:
            return None
        if found.droop_on_loaded is None:
            raise InputError("wanted", self.typed["wanted"], "needs the droop: give no-load and loaded speed")
        return from_loaded(
            loaded=wanted, droop=found.droop_on_loaded, ceiling=self.typed.maybe("ceiling", "rotation")
        )

    def ahead(self, found: GovernorResult) -> NextSetting | None:
        if not self.typed["tried"]:
            return None
        target, ceiling = (self.typed.maybe(name, "rotation") for name in ("target", "ceiling"))
        if target is None or ceiling is None:
            raise InputError("tried", ", ".join(self.typed["tried"]), Message("governor.next-needs"))
        band = self.typed["set_between"]
        if band:
            low, high = (self.typed.read(text, "set-between", "rotation").value for text in band)
        else:
            by = assumed_tolerance(target)
            low, high = target - by, min(target + by, ceiling)
        asked = SettingInput(
            kind=self.typed["kind"],
            points=tuple(self.point(text) for text in self.typed["tried"]),
            target=target,
            set_low=low,
            set_high=high,
            ceiling=ceiling,
        )
        return next_setting(asked, hunts=found.hunts, checked=_checked(done=self.typed["checks_done"]))

    def point(self, text: str) -> SettingPoint:
        place, sign, speed = text.partition("=")
        if not sign:
            raise InputError("tried", text, 'must be a setting and its speed, as "1.5 = 3150 rpm"')
        position = float(parse_number(place.strip(), field="tried", decimal_mark=self.typed.decimal_mark))
        return SettingPoint(
            position, self.typed.read(speed.strip(), f"reading at {place.strip()}", "rotation")
        )


def _checked(*, done: bool) -> Any:
    """The checks that come first, all of them done or all still open: the terminal knows no more."""
    state: Any = "done" if done else "open"
    first = tuple(Mark(check.id, state) for check in checks() if check.when == SETS)
    ran = ChecklistInput(first, in_order=("as found",) if done else ())
    return checklist(Machine("", "other", Engine()), ran)
