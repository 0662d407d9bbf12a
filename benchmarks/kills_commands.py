"""Commands that carry a whole shop over, killed in the middle: does a repeat finish, with every version in its chain?

    python -m benchmarks.kills_commands                        20 kills of restore, 20 of import, 20 of move
    python -m benchmarks.kills_commands --kind move --times 5

Each time the command is killed with SIGKILL at a random moment of the time it takes, then given again. A repeat must
end well, or say that the work was done already, and `snath verify` must then count every version and break nowhere.
"""

import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from benchmarks._commands import ask, environment, killed
from benchmarks.kills import _server
from benchmarks.web import SNATH

KINDS = ("restore", "import", "move")
TIMES, VERSIONS = 20, 400


def killed_after(seconds: float, *words: object) -> bool:
    """Whether the command was still at work when it was killed."""
    with subprocess.Popen(
        [*SNATH, *map(str, words), "--json"],
        env=environment(),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    ) as process:
        try:
            process.wait(seconds)
        except subprocess.TimeoutExpired:
            process.kill()
            return True
    return False


def filled(folder: Path) -> None:
    """A shop of some hundred versions."""
    code = (
        "import json, sys; from pathlib import Path; from snath.shop.site.data_folder import DataFolder\n"
        "from snath.shop.site.serve import bring_up_to_date, start_django\n"
        "start_django(DataFolder(Path(sys.argv[1]))); bring_up_to_date()\n"
        "from snath.shop.records import store; from snath.shop.records.people import Person\n"
        "who = Person.objects.local_owner(); job = store.open_job(who)\n"
        "for n in range(int(sys.argv[2])):\n"
        "    text = json.dumps({'schema': 'snath-job-1', 'n': n})\n"
        "    store.save_version(job, text, json.dumps({'fill': 'y' * 3000}), n, who)\n"
    )
    subprocess.run([sys.executable, "-c", code, str(folder), str(VERSIONS)], env=environment(), check=True)


def trial(kind: str, place: Path, file: Path, chance: random.Random, longest: float) -> str:
    """One kill and one repeat; what came of it."""
    folder = place / "shop"
    server = place / "pg"
    words: tuple[object, ...] = (kind, file, "--data", folder)
    if kind == "move":
        filled(folder)
        words = ("move", _server("start", server), "--data", folder)
    try:
        if not killed_after(chance.uniform(0, longest), *words):
            return "had finished"
        code, said = ask(*words)
        if code and not (kind == "move" and "already" in str(said)):
            return f"repeat ended with {code}: {str(said)[:300]}"
        code, found = ask("verify", "--data", folder)
        if code or found["versions"] != VERSIONS or found["breaks"]:
            return f"after the repeat: exit code {code}, {found.get('versions')} versions"
        return "finished by the repeat" if not said.get("already") else "had finished its work"
    finally:
        if kind == "move":
            _server("stop", server)


def run(kind: str, times: int, seed: int) -> Counter[str]:
    """That many kills of one kind."""
    found: Counter[str] = Counter()
    with tempfile.TemporaryDirectory(prefix="snath-kills-", dir="/tmp", ignore_cleanup_errors=True) as top:
        Path(top).chmod(0o755)  # the server of a database is another user when this is run as root
        source, file = Path(top) / "source", Path(top) / "file"
        filled(source)
        assert ask("export" if kind == "import" else "backup", file, "--data", source)[0] == 0
        begun = time.monotonic()
        assert ask("restore", file, "--data", Path(top) / "whole")[0] == 0
        longest, chance = time.monotonic() - begun, random.Random(seed)
        while sum(count for what, count in found.items() if what != "had finished") < times:
            with tempfile.TemporaryDirectory(dir=top, ignore_cleanup_errors=True) as place:
                Path(place).chmod(0o755)
                found[trial(kind, Path(place), file, chance, longest)] += 1
    return found


def main() -> None:
    """All kinds."""
    subprocess.run([sys.executable, "-m", "benchmarks.kills_commands"], check=True)


def asked_for() -> None:
    """What the command line asks for; leaves with 1 where anything was lost."""
    killed(__doc__, KINDS, TIMES, run, well=lambda what: "finished" in what)


if __name__ == "__main__":
    asked_for()
