"""Is a save that was acknowledged still there after the program was killed in the middle of others?

Two processes save as fast as they can and say which version has been saved; both are killed with SIGKILL at a
random moment; then every acknowledged version must be there, whole, in the chain, with its attachment.

    python -m benchmarks.kills                     100 times on SQLite, 40 on PostgreSQL
    python -m benchmarks.kills --times 5 --kind sqlite --json
"""

import argparse
import json
import os
import random
import select
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import asdict, dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
SAVERS = 2
LONGEST_LIFE = 0.12  # seconds after the first acknowledged save
FULL = {"sqlite": 100, "postgresql": 40}


@dataclass
class Tally:
    """What happened over all the kills; everything but the first three must be zero."""

    kind: str
    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    half_written: int = 0
    broken_chain: int = 0


def trials(kind: str, times: int, seed: int) -> Tally:
    """Kill the savers that often, and look at everything after each time."""
    from django.db import connections

    tally, chance = Tally(kind), random.Random(seed)
    for _ in range(times):
        connections.close_all()
        acknowledged = _killed_at_random(chance)
        tally.kills += 1
        tally.acknowledged += len(acknowledged)
        _examine(acknowledged, tally)
    return tally


def _killed_at_random(chance: random.Random) -> list[dict[str, str]]:
    """Let the savers run for a moment, kill them, and return what they had said."""
    out, into = os.pipe()
    children = [_start_saver(out, into) for _ in range(SAVERS)]
    os.close(into)
    said = b""
    end = None
    while end is None or time.monotonic() < end:
        if select.select([out], [], [], 0.001)[0]:  # a saver that dies closes its end
            more = os.read(out, 65536)
            if not more:
                raise SystemExit("the savers died by themselves")
            said += more
        if end is None and b"\n" in said:
            end = time.monotonic() + chance.uniform(0, LONGEST_LIFE)
    for child in children:
        os.kill(child, signal.SIGKILL)
    for child in children:
        os.waitpid(child, 0)
    while more := os.read(out, 65536):
        said += more
    os.close(out)
    return [json.loads(line) for line in said.decode().splitlines(keepends=True) if line.endswith("\n")]


def _start_saver(out: int, into: int) -> int:
    child = os.fork()
    if child == 0:
        os.close(out)
        try:
            _save_for_ever(into)
        finally:
            os._exit(1)
    return child


def _save_for_ever(into: int) -> None:
    from snath.shop.records import store
    from snath.shop.records.attachments import keep_recording
    from snath.shop.records.people import Person

    who = Person.objects.local_owner()
    job, count = store.open_job(who), 0
    while True:
        text = json.dumps({"schema": "snath-job-1", "fill": "x" * 20_000, "pid": os.getpid(), "count": count})
        version = store.save_version(job, text, json.dumps({"fill": "y" * 20_000}), count, who)
        said = {"sequence": version.pk, "hash": version.hash, "job": str(job.pk), "version": version.version}
        if count % 3 == 0:
            kept = keep_recording([os.urandom(5000)], "sound.wav", who, job=job)
            said["attachment"] = kept.sha256
        os.write(into, (json.dumps(said) + "\n").encode())  # under PIPE_BUF: whole or not at all
        count += 1


def _examine(acknowledged: list[dict[str, str]], tally: Tally) -> None:
    from snath.shop.records.attachments import hash_of_file, place_of
    from snath.shop.records.chain import hash_of, verify_chain
    from snath.shop.records.jobs import Attachment, JobRecord, JobVersion

    there = {
        version.pk: version
        for version in JobVersion.objects.filter(pk__in=[a["sequence"] for a in acknowledged])
    }
    for said in acknowledged:
        version = there.get(said["sequence"])
        tally.lost += version is None or version.hash != said["hash"] or hash_of(version) != said["hash"]
        wanted = said.get("attachment")
        tally.lost += bool(wanted) and not Attachment.objects.filter(sha256=wanted).exists()
    for attachment in Attachment.objects.all():
        tally.half_written += hash_of_file(place_of(attachment.sha256)) != attachment.sha256
    for job in JobRecord.objects.prefetch_related("versions"):
        versions = sorted(version.version for version in job.versions.all())
        tally.half_written += versions != list(range(1, job.version + 1))
    tally.broken_chain += len(verify_chain())


def run(kind: str, times: int, seed: int) -> Tally:
    """Everything on one kind of database, in a folder and a server of its own."""
    with tempfile.TemporaryDirectory(prefix="snath-kills-", dir="/tmp") as folder:
        server = Path(folder) / "pg"
        address = ""
        try:
            if kind == "postgresql":
                Path(folder).chmod(0o755)  # the server is another user when this is run as root
                address = _server("start", server)
            os.environ["SNATH_DATABASE"] = address
            from snath.shop.site.data_folder import DataFolder
            from snath.shop.site.serve import bring_up_to_date, start_django

            start_django(DataFolder(Path(folder) / "data"))
            bring_up_to_date()
            from snath.shop.records.people import Person

            Person.objects.local_owner()
            return trials(kind, times, seed)
        finally:
            if address:
                _server("stop", server)


def _server(doing: str, folder: Path) -> str:
    done = subprocess.run(
        ["sh", str(ROOT / "scripts" / "postgres.sh"), doing, str(folder)],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise SystemExit(done.stderr)
    return done.stdout.strip()


def main() -> None:
    """Every kind of database in full, each in a process of its own."""
    for kind in FULL:
        subprocess.run([sys.executable, "-m", "benchmarks.kills", "--kind", kind], check=True)


def asked_for() -> None:
    """What the command line asks for; leaves with 1 when anything was lost."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--kind", choices=FULL)
    asked.add_argument("--times", type=int)
    asked.add_argument("--seed", type=int, default=5)
    asked.add_argument("--json", action="store_true")
    given = asked.parse_args()
    if given.kind is None:
        main()
        return
    tally = run(given.kind, given.times or FULL[given.kind], given.seed)
    if given.json:
        print(json.dumps(asdict(tally)))
    else:
        print(
            f"{tally.kind}: {tally.kills} kills, {tally.acknowledged} acknowledged saves, {tally.lost} lost, "
            f"{tally.half_written} half written, {tally.broken_chain} breaks in the chain"
        )
    sys.exit(bool(tally.lost or tally.half_written or tally.broken_chain))


if __name__ == "__main__":
    asked_for()
