"""What does a first answer cost in a fresh process: beside a bare `import numpy`, and a bare interpreter?"""

import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence

from benchmarks.kept import ROOT, share_of, table, verdict

SHEET = "examples/belt_28_inch.toml"
NUMPY = "import numpy"
BARE = "pass"
COMMAND = "from snath.shop.cli.main import main; main({})"
ASKED = {  # in words: (program, beside what, at most so many times its time)
    "snath.limit": ('import snath; snath.limit("22 in")', NUMPY, 3.0),
    "snath.judge": (f'import snath; snath.judge("{SHEET}", "3,190 rpm", u="5 rpm")', NUMPY, 6.0),
    "snath limit": (COMMAND.format(["limit", "--blade", "22 in"]), BARE, 3.0),
    "snath window": (COMMAND.format(["window", SHEET]), BARE, 5.0),
}


def spent(program: str, environment: Mapping[str, str]) -> float:
    """Processor time of one fresh interpreter, its children none. [s]"""
    process = subprocess.Popen(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    _, _, used = os.wait4(process.pid, 0)
    process.returncode = 0  # it is waited for: nothing is left to ask
    return used.ru_utime + used.ru_stime


def least(programs: Sequence[str], rounds: int, environment: Mapping[str, str]) -> dict[str, float]:
    """The least of several rounds, each program once a round, so that all of them meet the same load. [s]"""
    for program in programs:
        spent(program, environment)  # compiles what is not compiled yet
    found = [[spent(program, environment) for program in programs] for _ in range(rounds)]
    return dict(zip(programs, map(min, zip(*found, strict=True)), strict=True))


def main() -> None:
    """Fresh processes, compiled files kept."""
    with tempfile.TemporaryDirectory() as folder:
        kept_out = ("PYTHONDONTWRITEBYTECODE",)
        environment = {name: value for name, value in os.environ.items() if name not in kept_out}
        environment |= {"PYTHONPYCACHEPREFIX": folder, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        took = least([NUMPY, BARE, *(program for program, _, _ in ASKED.values())], share_of(15), environment)
    ratios = {name: took[program] / took[peer] for name, (program, peer, _) in ASKED.items()}
    table(
        ("first answer of a fresh process", "ms", "beside", "ms", "ratio", "asked"),
        [
            (
                name,
                f"{1000 * took[program]:.0f}",
                f'python -c "{peer}"',
                f"{1000 * took[peer]:.0f}",
                f"{ratios[name]:.1f}",
                f"{most:g}",
            )
            for name, (program, peer, most) in ASKED.items()
        ],
    )
    for name, (_, peer, most) in ASKED.items():
        verdict(f'{name} over python -c "{peer}"', ratios[name], most)


if __name__ == "__main__":
    main()
