"""Random sheets, each as the text a shop would write and as what the second implementation works from."""

import math
from dataclasses import dataclass, field

import numpy as np

from tests.decisions.second.plain import (
    BAR,
    CRANK,
    TIP,
    WORN,
    Figure,
    Joint,
    Limit,
    Machine,
    Read,
    belt,
    larger,
    length,
)

MOWERS = ("walk-behind rotary mower", "ride-on rotary mower", "commercial rotary mower")
OTHERS = ("generator", "pressure washer", "cut-off saw", "chipper", "snow thrower", "other")


@dataclass
class Sheet:
    """What is being drawn."""

    rng: np.random.Generator
    kind: str = ""
    engine: dict[str, object] = field(default_factory=dict)
    text: list[str] = field(default_factory=list)
    joints: list[Joint] = field(default_factory=list)
    limits: list[Limit] = field(default_factory=list)
    open_members: int = 0

    def chance(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    def pick(self, *choices: object) -> object:
        return choices[self.rng.integers(len(choices))]

    def between(self, low: float, high: float, grain: float) -> float:
        return round(float(self.rng.uniform(low, high)) / grain) * grain


def drawn(rng: np.random.Generator) -> tuple[str, Machine]:
    """A machine with its engine, up to two joints and up to three parts."""
    sheet = Sheet(rng)
    sheet.kind = str(sheet.pick(*(MOWERS if sheet.chance(0.6) else OTHERS)))
    _engine(sheet)
    if sheet.chance(0.65):
        _joint(sheet, CRANK, "one")
        if sheet.chance(0.4):
            _joint(sheet, str(sheet.pick(CRANK, "one")), "two")
    shafts = [CRANK, *(joint.driven for joint in sheet.joints)]
    for place in range(int(rng.integers(1, 4))):
        _member(sheet, f"part {place}", str(sheet.pick(*shafts)))
    top = any(limit.side == "ceiling" for limit in sheet.limits)
    machine = Machine(sheet.engine, sheet.joints, sheet.limits, uncovered=bool(sheet.open_members) or not top)
    head = [f'name = "drawn"\nkind = "{sheet.kind}"']
    return "\n".join((*head, *sheet.text)) + "\n", machine


def _engine(sheet: Sheet) -> None:
    clutch = str(sheet.pick("none", "by hand", "centrifugal" if sheet.kind not in MOWERS else "by hand"))
    sheet.engine = {"clutch": clutch}
    lines = ["[engine]", "strokes = 4", "cylinders = 1", f'clutch = "{clutch}"']
    if sheet.chance(0.3):
        sheet.engine["governor"] = sheet.pick("air vane", "none")
        lines.append(f'governor = "{sheet.engine["governor"]}"')
    if sheet.chance(0.4):
        sheet.engine["droop"] = sheet.between(0, 0.12, 0.01)
        lines.append(f'droop = "{100 * float(sheet.engine["droop"]):.0f} %"')
    low, high = sheet.between(1500, 2900, 50), sheet.between(3000, 4200, 50)
    if sheet.chance(0.3):
        lines.append(f'rated_min = "{low:.0f} rpm"')
        sheet.limits.append(Limit("engine", CRANK, "floor", [(Figure(low), 0.0)], True, True, False))
    if sheet.chance(0.8):
        lines.append(f'rated_max = "{high:.0f} rpm"')
        sheet.limits.append(Limit("engine", CRANK, "ceiling", [(Figure(high), 0.0)], True, True, False))
    if sheet.chance(0.5):
        _figure(sheet, lines, clutch)
    sheet.text += lines


def _figure(sheet: Sheet, lines: list[str], clutch: str) -> None:
    condition = str(sheet.pick("blades off", "blades in air"))
    lines += ["[engine.maker_no_load]", f'condition = "{condition}"', 'source = "drawn"']
    if sheet.chance(0.7):
        speed = sheet.between(1800, 4600, 25)
        tolerance = float(sheet.pick(0, 25, 50, 100))
        printed = f" ± {tolerance:.0f} rpm" if tolerance else ""
        lines.append(f'speed = "{speed:.0f} rpm{printed}"')
        if tolerance or sheet.kind != "generator":
            usual = 100.0 if speed <= 4000 else 0.03 * speed
            sheet.engine["figure"] = (speed, tolerance or usual, condition)
    if sheet.chance(0.4) or not lines[-1].startswith("speed"):
        most = sheet.between(2600, 4400, 25)
        lines.append(f'at_most = "{most:.0f} rpm"')
        off = clutch == "by hand" and condition == "blades off"
        name = "engine" if off else "machine"
        sheet.limits.append(Limit(name, CRANK, "ceiling", [(Figure(most), 0.0)], off, True, False))


def _joint(sheet: Sheet, driver: str, driven: str) -> None:
    kind = str(sheet.pick("belt", "belt", "belt", "counted", "gear", "variable"))
    sheet.text += ["[[coupling]]", f'driver = "{driver}"', f'driven = "{driven}"']
    slip: float | None = 0.0
    if kind in ("belt", "variable"):
        slip = sheet.between(0.01, 0.04, 0.01) if sheet.chance(0.6) else None
        if slip is not None:
            sheet.text.append(f'slip_max = "{100 * slip:.0f} %"')
    sheet.text.append(f"[coupling.{kind}]")
    if kind == "belt":
        ratios = _belt(sheet, driven)
    elif kind == "counted":
        turns, out, fine = 100, sheet.between(40, 160, 1), float(sheet.pick(0.02, 0.05, 0.25))
        sheet.text += [
            f'turns_in = "{turns} turns"',
            f'turns_out = "{out:.0f} turns"',
            f'resolution = "{fine} turns"',
        ]
        ratios = [Figure(out / turns, {f"count {driven}": fine / turns / math.sqrt(3)})]
    elif kind == "gear":
        first, second = (int(sheet.rng.integers(9, 30)) for _ in range(2))
        sheet.text += [f"driver_teeth = {first}", f"driven_teeth = {second}"]
        ratios = [Figure(first / second)]
    else:
        least = sheet.between(0.3, 0.7, 0.01)
        most = least + sheet.between(0.05, 0.6, 0.01)
        sheet.text += [f"least = {least:.2f}", f"most = {most:.2f}"]
        ratios = [Figure(round(least, 2)), Figure(round(most, 2))]
    if kind == "counted":
        slip = 0.0 if slip is None else slip
    sheet.joints.append(Joint(driver, driven, ratios, slip))


def _belt(sheet: Sheet, driven: str) -> list[Figure]:
    section = str(sheet.pick("A", "B"))
    page = sheet.chance(0.3)
    sheet.text.append(f'section = "{section}"')
    if page:
        sheet.text.append('sizes_from = "parts list"')
    circles, rides = [], []
    for end in ("driver", "driven"):
        outside = sheet.between(3.5, 7, 0.25)
        half = None if sheet.chance(0.5) else float(sheet.pick(1 / 64, 1 / 32))
        written = f"{outside:.2f} in" + (f" ± {half:.6f} in" if half else "")
        sheet.text.append(f'{end}_outside = "{written}"')
        circles.append(length(outside, f"{driven} {end}", half and round(half, 6), page=page))
        how = str(sheet.pick("flush", "not looked", "sunk"))
        sheet.text.append(f'{end}_rides = "{how}"')
        if how == "sunk":
            by = sheet.between(0.02, 0.12, 0.01)
            sheet.text.append(f'{end}_by = "{by:.2f} in ± 0.010 in"')
            rides.append([length(by, f"{driven} {end} ride", 0.01)])
        else:
            rides.append([Figure(0.0)] if how == "flush" else [Figure(0.0), Figure(WORN)])
    return belt(section, circles[0], circles[1], (rides[0], rides[1]))


def _member(sheet: Sheet, name: str, shaft: str) -> None:
    blade = sheet.kind in MOWERS and sheet.chance(0.8)
    sheet.text += ["[[member]]", f'name = "{name}"', f'shaft = "{shaft}"']
    if blade:
        _blade(sheet, name, shaft)
    elif sheet.kind == "generator" and sheet.chance(0.7):
        _alternator(sheet, name, shaft)
    elif sheet.kind == "cut-off saw":
        _wheel(sheet, name, shaft)
    else:
        _driven(sheet, name, shaft)


def _add(
    sheet: Sheet, name: str, shaft: str, side: str, met: list[tuple[Figure, float]], **more: bool
) -> None:
    with_engine = more.get("with_engine", shaft == CRANK)
    no_load = side == "ceiling" or more.get("both", False)
    sheet.limits.append(Limit(name, shaft, side, met, with_engine, no_load, side == "floor"))


def _at(speed: float, diameter: Figure) -> Figure:
    """n = v / (pi D). [rpm of ft/min and in]"""
    n = speed / (math.pi * diameter.value / 12)
    return Figure(n, {k: -u * n / diameter.value for k, u in diameter.causes.items()})


def _blade(sheet: Sheet, name: str, shaft: str) -> None:
    sheet.text.append("[member.blade]")
    page = sheet.chance(0.3)
    if page:
        sheet.text.append('sizes_from = "parts list"')
    half = None if sheet.chance(0.5) else 1 / 32
    plus = " ± 1/32 in" if half else ""
    how = str(sheet.pick("arms", "corner to corner", "square across", "unsaid"))
    long = sheet.between(15, 28, 0.25)
    longer = 0.0
    if how == "arms":
        other = long / 2 - float(sheet.pick(0, 0, 1 / 16))
        sheet.text.append(f'arms = ["{long / 2:.4f} in{plus}", "{other:.4f} in{plus}"]')
        arms = [
            length(round(a, 4), f"{name} arm {n}", half, page=page) for n, a in enumerate((long / 2, other))
        ]
        if all(arm.causes for arm in arms):
            arm, longer = larger(*arms)
        else:
            arm = Figure(max(a.value for a in arms))
        tips, longer = (
            Figure(2 * arm.value, {f"{name} {k}": 2 * u for k, u in arm.causes.items()}),
            2 * longer,
        )
    else:
        sheet.text.append(f'length = "{long:.2f} in{plus}"')
        tips = length(long, f"{name} length", half, page=page)
        wide = Figure(BAR)
        if how == "square across":
            width = sheet.between(2, 3, 0.25)
            sheet.text.append(f'width = "{width:.2f} in{plus}"')
            wide = length(width, f"{name} width", half, page=page)
        if how != "unsaid":
            sheet.text.append(f'measured = "{how}"')
        if how != "corner to corner":
            across = math.hypot(tips.value, wide.value)
            shares = {k: u * tips.value / across for k, u in tips.causes.items()}
            tips = Figure(across, shares | {k: u * wide.value / across for k, u in wide.causes.items()})
    met = [(_at(TIP, tips), 0.0)]
    if longer:
        n = met[0][0].value
        met = [(met[0][0], -n * longer / (tips.value + longer))]
    if sheet.chance(0.2):
        new = long + sheet.between(0, 1, 0.25)
        sheet.text.append(f'new_largest = "{new:.2f} in"')
        met.append((_at(TIP, Figure(new)), 0.0))
    _add(sheet, name, shaft, "ceiling", met, with_engine=False)


def _alternator(sheet: Sheet, name: str, shaft: str) -> None:
    poles = int(sheet.pick(2, 4))
    low, high = sheet.between(45, 59, 0.5), sheet.between(60, 65, 0.5)
    sheet.text += ["[member.alternator]", f"poles = {poles}", f'frequency_min = "{low:.1f} Hz"']
    _add(sheet, name, shaft, "floor", [(Figure(120 * low / poles), 0.0)], both=True)
    if sheet.chance(0.85):
        sheet.text.append(f'frequency_max = "{high:.1f} Hz"')
        _add(sheet, name, shaft, "ceiling", [(Figure(120 * high / poles), 0.0)])
    else:
        sheet.open_members += 1


def _wheel(sheet: Sheet, name: str, shaft: str) -> None:
    size, speed = sheet.between(200, 400, 10), float(sheet.pick(50, 63, 80, 100))
    sheet.text += ["[member.wheel]", f'diameter = "{size:.0f} mm"', f'marked_class = "{speed:.0f} m/s"']
    sheet.text.append('sizes_from = "marked"')
    n = speed / (math.pi * size / 1000) * 60
    _add(sheet, name, shaft, "ceiling", [(Figure(n), 0.0)])
    if sheet.chance(0.5):
        marked = sheet.between(2500, 6000, 100)
        sheet.text.append(f'speed_max = "{marked:.0f} rpm"')
        _add(sheet, name, shaft, "ceiling", [(Figure(marked), 0.0)])


def _driven(sheet: Sheet, name: str, shaft: str) -> None:
    sheet.text.append("[member.pump]")
    if sheet.chance(0.6):
        low = sheet.between(800, 2800, 50)
        sheet.text.append(f'speed_min = "{low:.0f} rpm"')
        _add(sheet, name, shaft, "floor", [(Figure(low), 0.0)])
    if sheet.chance(0.75):
        high = sheet.between(2900, 5000, 50)
        sheet.text.append(f'speed_max = "{high:.0f} rpm"')
        _add(sheet, name, shaft, "ceiling", [(Figure(high), 0.0)])
    elif sheet.chance(0.5):
        sheet.text.append('unlimited = "its maker says so"')
    else:
        if not sheet.text[-1].startswith("speed_min"):
            sheet.text.append('speed_min = "900 rpm"')
            _add(sheet, name, shaft, "floor", [(Figure(900.0), 0.0)])
        sheet.open_members += 1


def read_of(rng: np.random.Generator, machine: Machine) -> Read:
    """How it is read: where, while what, with what."""
    shafts = [CRANK, CRANK, *(joint.driven for joint in machine.joints)]
    condition = "blades off" if machine.hand and rng.random() < 0.4 else "blades in air"
    shaft = str(rng.choice(shafts))
    kind = rng.integers(4)
    if kind == 0:
        return Read(shaft, condition, u=float(rng.choice([1, 5, 20])))
    if kind == 1:
        return Read(shaft, condition, plate=0.001)
    return Read(shaft, condition, kind="optical" if kind == 2 else "other")
