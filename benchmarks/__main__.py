"""Run every benchmark of this folder, or those named: `python -m benchmarks sound light --share 0.1`.

Rows that are done stay in out/bench/, so that a stopped run goes on where it was; `--fresh` forgets them.
"""

import argparse
import inspect
import os
import platform
import shutil
import sys
import time
import traceback
from importlib import import_module
from pathlib import Path

from benchmarks.kept import COUNT_VARIABLE, FOLDER_VARIABLE, KEPT, SEED_VARIABLE, SHARE_VARIABLE

HERE = Path(__file__).parent


def names() -> list[str]:
    """Modules that have a `main` without arguments, by name."""
    found = []
    for path in sorted(HERE.glob("*.py")):
        if path.stem.startswith("_"):
            continue
        main_of = getattr(import_module(f"benchmarks.{path.stem}"), "main", None)
        if main_of is not None and not inspect.signature(main_of).parameters:
            found.append(path.stem)
    return found


def main() -> int:
    """Run them one after the other; one that fails is told and does not stop the rest."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    parser.add_argument("only", nargs="*", help="names; all where left out")
    parser.add_argument("--share", type=float, default=1.0, help="share of the clips, for a quick look")
    parser.add_argument("--fresh", action="store_true", help="forget rows kept by an earlier run")
    parser.add_argument("--count", help="clips a family of `families`, in place of the share")
    parser.add_argument("--seed", help="of fresh clips, films, logs and tracks, to make them again")
    asked = parser.parse_args()
    os.environ[SHARE_VARIABLE] = str(asked.share)
    os.environ |= {
        name: text for name, text in ((COUNT_VARIABLE, asked.count), (SEED_VARIABLE, asked.seed)) if text
    }
    if asked.fresh:
        shutil.rmtree(KEPT, ignore_errors=True)
    if asked.only[:1] in (["laws"], ["recordings"]) and len(asked.only) == 2:
        os.environ[FOLDER_VARIABLE] = asked.only.pop()
    every = names()
    if unknown := set(asked.only) - set(every):
        parser.error(f"no benchmark {', '.join(sorted(unknown))}; there are {', '.join(every)}")
    print(f"{platform.platform()}, Python {platform.python_version()}, {os.cpu_count()} processors")
    failed = []
    for name in asked.only or every:
        print(f"\n==== {name} ".ljust(100, "="), flush=True)
        begun = time.monotonic()
        try:
            import_module(f"benchmarks.{name}").main()
        except Exception:
            traceback.print_exc(file=sys.stdout)
            failed.append(name)
        print(f"({name}: {time.monotonic() - begun:.0f} s)", flush=True)
    print(
        f"\n{len(failed)} of {len(asked.only or every)} benchmarks failed{': ' + ', '.join(failed) if failed else ''}"
    )
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
