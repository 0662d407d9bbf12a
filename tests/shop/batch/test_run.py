import json
import logging
from concurrent.futures import Future
from contextlib import suppress
from socket import SHUT_RDWR, socket
from threading import Thread

import numpy as np
import pyarrow.parquet
import pytest
from click.testing import CliRunner

from benchmarks.simulator.files import sound_file
from snath.shop.batch import spread
from snath.shop.batch.row import COLUMNS, lost, row_of, tasks
from snath.shop.batch.run import run_batch
from snath.shop.cli.main import main
from snath.shop.media.request import ReadRequest
from tests.shop import ladder
from tests.told import refused

ASKED = ReadRequest(per_turn=1.0)


@pytest.fixture
def folder(tmp_path):
    """Four pulse logs at 40, 50, 60 and 70 pulses a second, and three files nobody can read."""
    place = tmp_path / "clips"
    (place / "deeper").mkdir(parents=True)
    for i, rate in enumerate((40, 50, 60, 70)):
        name = place / ("deeper" if i == 3 else ".") / f"log{rate}.csv"
        name.write_text("t_s\n" + "".join(f"{k / rate:.9f}\n" for k in range(60)))
    (place / "empty.wav").write_bytes(b"")
    (place / "junk.m4a").write_bytes(np.random.default_rng(1).bytes(3000))
    (place / "silence.wav").write_bytes(sound_file(np.zeros(8000, np.float32), 8000, "wav"))
    (place / "notes.md").write_text("not a recording")
    return place


def table(path):
    return pyarrow.parquet.read_table(path).to_pylist()


@pytest.mark.slow
def test_both_engines_give_the_same_rows_and_bad_files_their_reason(folder, tmp_path):
    for on in ("here", "dask"):
        done = run_batch(folder, tmp_path / f"{on}.parquet", ASKED, spread.Crew(on, workers=2))
        assert (done.files, done.decided, done.undecided, done.not_read) == (7, 4, 1, 2)
    rows = table(tmp_path / "here.parquet")
    assert rows == table(tmp_path / "dask.parquet")
    assert [row["file"] for row in rows] == sorted(row["file"] for row in rows)
    # By hand: pulses a second at one a turn, times 60.
    assert {r["file"]: round(r["rpm"], 3) for r in rows if r["decided"]} == {
        "log40.csv": 2400, "log50.csv": 3000, "log60.csv": 3600, "deeper/log70.csv": 4200,
    }  # fmt: skip
    reasons = {r["file"]: r["error"] for r in rows if r["error"]}
    assert reasons["empty.wav"] == "recording: is empty"
    assert "that can be opened" in reasons["junk.m4a"]


def run_here(work, lost, tasks, workers):
    """An engine without processes, so that a test may look inside."""
    return map(work, tasks)


def test_a_stopped_batch_goes_on_where_it_was(folder, tmp_path, monkeypatch):
    out = tmp_path / "t.parquet"

    def stops_after_three(work, lost, tasks, workers):
        for i, task in enumerate(tasks):
            if i == 3:
                raise KeyboardInterrupt
            yield row_of(task)

    monkeypatch.setattr("snath.shop.batch.spread.here", stops_after_three)
    with pytest.raises(KeyboardInterrupt):
        run_batch(folder, out, ASKED)
    assert not out.exists()
    seen = []

    def counts(work, lost, tasks, workers):
        seen.extend(tasks)
        return run_here(work, lost, tasks, workers)

    monkeypatch.setattr("snath.shop.batch.spread.here", counts)
    done = run_batch(folder, out, ASKED)
    # By hand: seven files, three rows written down; the empty one among them is cheap and tried again.
    assert done.taken_over + len(seen) == 7
    assert done.taken_over >= 2
    assert len(table(out)) == 7


def test_a_changed_file_or_another_sheet_is_read_again(folder, tmp_path, monkeypatch):
    out = tmp_path / "t.parquet"
    monkeypatch.setattr("snath.shop.batch.spread.here", run_here)
    run_batch(folder, out, ASKED)
    (folder / "log40.csv").write_text("t_s\n" + "".join(f"{k / 45:.9f}\n" for k in range(60)))
    again = run_batch(folder, out, ASKED)
    assert again.files - again.taken_over == 1
    assert {r["file"]: round(r["rpm"]) for r in table(out) if r["decided"]}["log40.csv"] == 2700
    other = run_batch(folder, out, ReadRequest(per_turn=2.0))
    assert other.taken_over == 0


def test_a_recording_of_several_held_speeds_has_them_in_a_column_and_others_have_none(folder):
    # By construction, see `ladder`.
    (folder / "ladder.csv").write_bytes(ladder.as_pulses())
    rows = {task.name: row_of(task) for task in tasks(folder, ASKED)}
    held = json.loads(rows["ladder.csv"]["held_speeds"])
    assert [one["rpm"] for one in held] == pytest.approx(list(ladder.RPM), rel=1e-3)
    assert {name: row["held_speeds"] for name, row in rows.items() if name != "ladder.csv"} == {
        name: "[]" for name in rows if name != "ladder.csv"
    }


def test_a_fault_of_the_program_becomes_a_row(folder, monkeypatch):
    def broken(*_):
        raise ZeroDivisionError("boom")

    monkeypatch.setattr("snath.shop.batch.row.read_recording", broken)
    row = row_of(next(tasks(folder, ASKED)))
    assert row["error"] == "not worked, a fault of the program: ZeroDivisionError: boom"
    assert set(row) == set(COLUMNS)


def test_a_file_that_ends_its_worker_is_named_and_the_rest_is_read(folder, monkeypatch):
    from concurrent.futures.process import BrokenProcessPool

    class Dies:
        """A pool whose worker dies of one file."""

        def __init__(self, workers, **_):
            self.workers = workers

        def __enter__(self):
            return self

        def __exit__(self, *_):
            return False

        def submit(self, work, task):
            future = Future()
            if task.name == "junk.m4a" or (self.workers > 1 and task.name > "junk.m4a"):
                future.set_exception(BrokenProcessPool())
            else:
                future.set_result(work(task))
            return future

    monkeypatch.setattr(spread, "ProcessPoolExecutor", Dies)
    found = {row["file"]: row for row in spread.here(row_of, lost, list(tasks(folder, ASKED)), 2)}
    assert len(found) == 7
    assert found["junk.m4a"] == lost(next(t for t in tasks(folder, ASKED) if t.name == "junk.m4a"))
    assert found["silence.wav"]["error"] is None


@pytest.mark.parametrize("name", ["missing", "none"])
def test_a_folder_without_recordings_is_refused(name, tmp_path):
    (tmp_path / "none").mkdir()
    with refused(r"a folder with recordings|holds no recording"):
        run_batch(tmp_path / name, tmp_path / "t.parquet", ASKED)


def test_the_command_counts_and_names_its_table(folder, tmp_path, monkeypatch):
    monkeypatch.setattr("snath.shop.batch.spread.here", run_here)
    out = tmp_path / "t.parquet"
    done = CliRunner().invoke(main, ["batch", str(folder), "--out", str(out), "--per-turn", "1", "--json"])
    assert done.exit_code == 0, done.output
    assert json.loads(done.stdout) == {
        "files": 7, "taken_over": 0, "decided": 4, "undecided": 1, "not_read": 2, "unread": [], "out": str(out),
    }  # fmt: skip
    wrong = CliRunner().invoke(main, ["batch", str(folder), "--out", str(tmp_path / "no" / "t"), "--json"])
    assert wrong.exit_code == 2


class Gone:
    """A cluster whose scheduler dies after so many files."""

    def __init__(self, after: int) -> None:
        self.left, self.status, self.asked = after, "running", []

    def submit(self, work, task, **_):
        future = Future()
        future.status, future.release = "finished", lambda: None
        self.asked.append(future)
        future.work = (work, task)
        return future

    def add(self, future) -> None: ...

    def has_ready(self) -> bool:
        if not self.left:
            self.status = "closed"
        return bool(self.left)

    def __next__(self):
        self.left -= 1
        future = self.asked.pop(0)
        work, task = future.work
        future.set_result(work(task))
        return future


def test_a_lost_scheduler_leaves_what_is_unread_and_a_repeat_goes_on(folder, tmp_path, monkeypatch):
    def dies(work, lost, tasks, workers, *, scheduler=None):
        cluster = Gone(after=4)
        return spread._spread(cluster, lambda: cluster, work, lost, tasks)

    out = tmp_path / "t.parquet"
    words = ["batch", str(folder), "--out", str(out), "--per-turn", "1", "--on", "dask", "--json"]
    monkeypatch.setattr("snath.shop.batch.spread.dask", dies)
    done = CliRunner().invoke(main, words)
    told = json.loads(done.stdout)
    assert (done.exit_code, told["files"], len(told["unread"])) == (1, 4, 3)
    assert not out.exists()
    monkeypatch.setattr("snath.shop.batch.spread.dask", lambda *given, **_: run_here(*given))
    again = CliRunner().invoke(main, words)
    told_again = json.loads(again.stdout)
    assert (again.exit_code, told_again["files"], told_again["unread"]) == (0, 7, [])
    assert told_again["taken_over"] >= 3  # the empty file among them is cheap and tried again


def test_only_so_many_files_are_asked_for_at_once(folder, monkeypatch):
    monkeypatch.setattr(spread, "AT_ONCE", 2)
    cluster, most = Gone(after=99), []
    made = spread._spread(cluster, lambda: cluster, row_of, lost, list(tasks(folder, ASKED)))
    for _ in made:
        most.append(len(cluster.asked))
    assert len(most) == 7
    assert max(most) <= 2


def test_another_program_on_the_schedulers_port_is_told_in_words(folder, tmp_path):
    pytest.importorskip("distributed")
    with socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()

        def answer() -> None:
            with suppress(OSError):
                while True:
                    line, _ = other.accept()
                    with line:
                        line.sendall(b"HTTP/1.1 400 Bad Request\r\nContent-Length: 0\r\n\r\n" * 4)

        Thread(target=answer, daemon=True).start()
        address = f"tcp://127.0.0.1:{other.getsockname()[1]}"
        with refused("a dask scheduler that answers"):
            run_batch(folder, tmp_path / "t.parquet", ASKED, spread.Crew("dask", scheduler=address))
        # Its own program would say so again as a traceback.
        assert not logging.getLogger("distributed.client").isEnabledFor(logging.ERROR)
        other.shutdown(SHUT_RDWR)


def test_a_table_is_written_by_its_ending_and_by_no_other(folder, tmp_path):
    # Nothing is read before: a CSV by name held Parquet, and nobody's spreadsheet opened it.
    with refused("must end in one of .csv, .xlsx, .parquet, .json"):
        run_batch(folder, tmp_path / "t.txt", ASKED)
    assert list(tmp_path.glob("t.*")) == []
