"""Read the speed of a shaft from a recording: sound, film or a list of pulse times."""

from collections.abc import Iterable
from pathlib import Path
from typing import get_args

from snath.decisions.machine.parts import CRANKSHAFT
from snath.face.faults import condition_named, language_of, mark_of, one_of, plainly, text_of
from snath.face.files import File, name_of
from snath.face.sheet import Asked as AskedSheet
from snath.face.sheet import sheet_of
from snath.face.shown import Shown
from snath.quantities.message import Amount, Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.facts import answered_as
from snath.shop.answers.heads import RECORDING_CAUTION
from snath.shop.answers.reading_head import could_be, reading_head, reading_told
from snath.shop.answers.recording import RecordingAnswer, recording_answer
from snath.shop.answers.recording_asked import recording_asked
from snath.shop.media.comparisons import named_comparisons
from snath.shop.media.recording import read_recording
from snath.shop.media.request import Kind, ReadResult


class Recording(Shown, RecordingAnswer):
    __doc__ = RecordingAnswer.__doc__

    _found: ReadResult

    @property
    def working(self) -> str:
        """Every speed that fits with what speaks for it, and what the doubt is made of, line by line."""
        reading = self._found.reading
        lines = [could_be(one, why=True) for one in reading.candidates]
        lines += [
            Message("terminal.read-doubt", u=Amount(abs(line.u), "rotation"), source=line.source)
            for line in (reading.value.lines if reading.value else ())
        ]
        return "\n".join(self._said(lines))

    def _rows(self) -> Iterable[object]:
        return self.candidates

    def _head(self) -> Iterable[Message]:
        return reading_head(self._found.reading)

    def _foot(self) -> Iterable[Message | str]:
        found = self._found
        return (*reading_told(found.reading, found.notes), *found.reading.next_steps, RECORDING_CAUTION)

    def _picture(self) -> str:
        from snath.shop.pictures.track import track_picture

        track = self._found.track
        return "" if track is None else track_picture(track, self._voice()).svg


@plainly
def read(
    recording: File,
    machine: AskedSheet | None = None,
    *,
    at: str = CRANKSHAFT,
    condition: str = "blades in air",
    kind: Kind | None = None,
    per_turn: float | str | None = None,
    clock: float | None = None,
    marks: int | None = None,
    capture_rate: float | None = None,
    from_s: float | None = None,
    to_s: float | None = None,
    data: File | None = None,
    phone: str = "",
    decimal_mark: DecimalMark | None = None,
    language: str = "en",
) -> Recording:
    """The speed of a shaft by a recording of sound or light, or by a list of pulse times.

    Parameters
    ----------
    recording : str or path
        The file. It is decoded in a process of its own, which can open nothing else.
    machine : Sheet, str or path, optional
        As `read_sheet` gives it, or what `read_sheet` takes: its strokes, cylinders, firing and ratios are used.
    at, condition : str
        The shaft it was taken at, and while what.
    kind : str, optional
        How to read it where the file leaves a choice: "sound", "pulses" or "light".
    per_turn : float or "spark", optional
        Pulses or marks in a turn, 0.1 to 1000, or "spark" for what the sheet's ignition gives.
    clock : float, optional
        Counts a second of a pulse log that holds counts, 0 to 1e12. [Hz]
    marks : int, optional
        Alike marks or tips on the filmed part, 1 to 100; without it no film is decided.
    capture_rate : float, optional
        Frames a second at which a slow-motion film was taken, 1 to 10,000. [1/s]
    from_s, to_s : float, optional
        The stretch to read alone, on the recording, 0 to 7500. [s]
    data : str or path, optional
        Data folder with this shop's comparisons beside a tachometer, which must be there; none counts where left out.
    phone : str
        Which phone or pick-up it was; then only its own comparisons count.
    decimal_mark : str, optional
        How numbers are written and answered, "." or ",".
    language : str
        Of the answer: "en" or "de".

    Returns
    -------
    Recording
        `.rpm` and `.u_rpm`, None where several speeds fit; then `.candidates` has them.

    Raises
    ------
    InputError
        Naming what cannot be used, and what would do; also where the file is no recording.

    See Also
    --------
    judge : What readings prove of the speed.

    References
    ----------
    docs/sound.md, docs/pulses.md, docs/light.md: the methods with their sources, and what each was tried on.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import mkdtemp
    >>> log = Path(mkdtemp(), "pulses.csv")  # 55 pulses a second, one a turn
    >>> log.write_text("t_s\\n" + "".join(f"{i / 55:.6f}\\n" for i in range(100))) > 0
    True
    >>> round(snath.read(log, per_turn=1).rpm)
    3300
    """
    locale = language_of(language)
    mark = mark_of(decimal_mark) or "."
    known = None if machine is None else sheet_of("machine", machine, mark).machine
    asked = recording_asked(
        known,
        at=text_of("at", at),
        condition=condition_named(condition),
        kind=kind if kind is None else one_of("kind", kind, get_args(Kind)),
        per_turn=per_turn,
        clock=clock,
        marks=marks,
        capture_rate=capture_rate,
        from_s=from_s,
        to_s=to_s,
        comparisons=() if data is None else named_comparisons(Path(name_of("data", data))),
        phone=text_of("phone", phone),
    )
    found = read_recording(Path(name_of("recording", recording)), asked)
    locale = answered_as(locale, asked=None if decimal_mark is None else mark)
    return Recording._made(recording_answer(found, known, locale), locale, _found=found)
