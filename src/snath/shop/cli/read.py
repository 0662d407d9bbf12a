"""`snath read`: shaft speed from a recording of sound or light, or from a pulse log."""

import time
from fractions import Fraction
from pathlib import Path
from typing import Any, get_args

import click

from snath.decisions.machine.clutch import allowed_condition
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.reading.from_sound import orders_from_machine
from snath.formulas.signals.candidates import Track
from snath.formulas.signals.film.shutter import Shutter
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.heads import RECORDING_CAUTION
from snath.shop.answers.reading_head import reading_head, reading_told
from snath.shop.answers.recording import per_turn_of, recording_answer
from snath.shop.answers.spoken_reading import known_shaft
from snath.shop.cli.answer import answer, answers_plainly, reader, said
from snath.shop.cli.codes import DONE, UNDECIDED
from snath.shop.cli.common import decimal_option, write_bytes
from snath.shop.cli.reading_options import condition_option
from snath.shop.media.comparisons import kept_comparisons, named_comparisons
from snath.shop.media.read_sound import sound_for_picture
from snath.shop.media.recording import read_recording
from snath.shop.media.request import Kind, ReadRequest, ReadResult
from snath.shop.media.text_file import read_text
from snath.shop.pictures.combs import combs
from snath.shop.pictures.evidence import evidence_picture
from snath.shop.pictures.track import track_picture
from snath.shop.pictures.voice import speaking
from snath.shop.site.data_folder import data_folder

TELL_EVERY = 2.0  # s between words on standard error while a long file is read


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--sheet", help="Machine sheet: its strokes, cylinders, firing and ratios are used, no limit.")
@click.option("--at", "shaft", default=CRANKSHAFT, show_default=True, help="Shaft it was taken at.")
@condition_option
@click.option(
    "--as", "kind", type=click.Choice(get_args(Kind)), help="How to read it, where the file leaves a choice."
)
@click.option(
    "--per-turn", help='Pulses or marks in a turn, as "1", or "spark" for what the sheet\'s ignition gives.'
)
@click.option("--clock", type=float, help="Counts a second of a pulse log that holds counts.")
@click.option(
    "--marks", type=int, help="Alike marks or tips on the filmed part; without it no film is decided."
)
@click.option("--capture-rate", type=float, help="Frames a second at which a slow-motion film was taken.")
@click.option(
    "--clock-in-view",
    nargs=2,
    type=float,
    help="Seconds between two pictures by the film, and by a clock seen in it.",
)
@click.option("--exposure", help='How long each picture was exposed, in seconds, as "1/1000".')
@click.option(
    "--readout",
    type=float,
    help="Milliseconds from the first row of a picture to the last, of a film as it came from the camera; "
    "less than 0 where the last row is taken first.",
)
@click.option(
    "--lit-at-once",
    is_flag=True,
    help="What flickers stands still under a flash, in place of a mark that goes round.",
)
@click.option("--data", type=click.Path(path_type=Path), help="Data folder with this shop's comparisons.")
@click.option(
    "--phone", default="", help="Which phone or pick-up it was; then only its own comparisons count."
)
@click.option(
    "--from", "begin", type=float, help="Second of the recording at which the stretch to read begins."
)
@click.option("--to", "end", type=float, help="Second of the recording at which it ends.")
@click.option(
    "--plot", "plot_file", help="Draw what speaks for the answer and its runner-up into this SVG file."
)
@click.option("--track", "track_file", help="Write speed over time to this CSV file.")
@decimal_option
@answers_plainly
def read(
    file: Path,
    sheet: str | None,
    shaft: str,
    condition: Condition,
    kind: Kind | None,
    per_turn: str | None,
    clock: float | None,
    marks: int | None,
    capture_rate: float | None,
    clock_in_view: tuple[float, float] | None,
    exposure: str | None,
    readout: float | None,
    lit_at_once: bool,
    data: Path | None,
    phone: str,
    begin: float | None,
    end: float | None,
    plot_file: str | None,
    track_file: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Shaft speed from FILE: sound, film or a list of pulse times. Exit code 3 where several speeds fit."""
    machine = read_sheet(read_text(sheet, "sheet"), decimal_mark=decimal_mark) if sheet else None
    asked = ReadRequest(
        kind=kind,
        machine=machine,
        shaft=shaft if machine is None else known_shaft(machine, shaft, "at"),
        condition=condition if machine is None else allowed_condition(machine, condition),
        per_turn=per_turn_of(per_turn),
        clock=clock,
        marks=marks,
        capture_rate=capture_rate,
        clock_in_view=clock_in_view or None,
        shutter=Shutter(
            exposure_s=_seconds(exposure),
            readout_s=None if readout is None else readout / 1000,
            lit_at_once=lit_at_once,
        ),
        comparisons=kept_comparisons(data_folder(None).path)
        if data is None
        else named_comparisons(Path(data)),
        recorder=phone,
        begin_s=begin,
        end_s=end,
    )
    found = read_recording(file, asked, progress=_teller())
    if track_file:
        write_bytes(track_file, track_csv(found.track).encode(), "track")
    if plot_file:
        write_bytes(plot_file, picture_of(file, found, machine, begin, end).encode(), "plot")
    code = DONE if found.reading.decided else UNDECIDED
    told = recording_answer(found, machine, reader())
    answer(told, read_text_lines(found), as_json=as_json, code=code)


def read_text_lines(found: ReadResult) -> str:
    """The reading in a few lines."""
    steps = (f"-> {said(step)}" for step in found.reading.next_steps)
    lines = (
        *reading_head(found.reading),
        *reading_told(found.reading, found.notes),
        *steps,
        RECORDING_CAUTION,
    )
    return "\n".join(said(line) for line in lines)


def picture_of(
    file: Path,
    found: ReadResult,
    machine: Machine | None,
    begin: float | None = None,
    end: float | None = None,
) -> str:
    """The evidence of a sound, the course of anything else."""
    voice = speaking()
    if isinstance(found.result, SoundResult):
        answer_comb, runner_up = combs(found.result, orders_from_machine(machine))
        samples, rate = sound_for_picture(file, begin, end)
        return evidence_picture(samples, rate, answer_comb, runner_up, voice, begin_s=found.begin_s).svg
    if found.track is None:
        raise InputError("plot", "no speed", Message("records.needs-speed"))
    return track_picture(found.track, voice).svg


def track_csv(track: Track | None) -> str:
    """Speed over time in seconds and rpm, 1 where it was heard, and found moments in rows without a speed."""
    points = zip(track.t_s, track.rev_s, track.u, strict=True) if track else ()
    heard = int(track is not None and track.heard)
    rows = [(t, f"{t:.4f},{n * 60:.3f},{u * 60:.3f},{heard}") for t, n, u in points]
    if track is None or not track.events:
        return "\n".join(["t_s,rpm,u_rpm,heard", *(row for _, row in rows), ""])
    rows = [(t, f"{row},") for t, row in rows]
    rows += [(event.t_s, f"{event.t_s:.4f},,,{heard},{event.kind}") for event in track.events]
    return "\n".join(["t_s,rpm,u_rpm,heard,event", *(row for _, row in sorted(rows)), ""])


def _seconds(text: str | None) -> float | None:
    if text is None:
        return None
    try:
        value = float(Fraction(text.strip()))
    except (ValueError, ZeroDivisionError):
        raise InputError("exposure", text, Message("records.seconds")) from None
    return float(within("exposure", value, 0, 10, "s", open_low=True))


def _teller() -> Any:
    """Says on standard error how far a long file has been read."""
    begun = said = time.monotonic()

    def tell(done: float, total: float | None) -> None:
        nonlocal said
        now = time.monotonic()
        if now - said > TELL_EVERY and now - begun > TELL_EVERY:
            said = now
            click.echo(f"read {done:.0f} s" + (f" of {total:.0f} s" if total else ""), err=True)

    return tell
