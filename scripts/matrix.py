"""The wheel on every Python found here: bare, then with the shop's extra and the quick tests.

README claims the versions and systems that this has run on, and no others.
"""

import json
import os
import platform
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from build_wheel import ROOT, main

QUICK = ("tests/quantities", "tests/rules", "tests/words", "tests/decisions/test_cases.py", "tests/pins")
TESTS_NEED = ("pytest", "hypothesis", "uncertainties")
ASKS = (  # what a bare wheel must answer, and with which exit code
    (("limit", "--blade", "22 in"), 0),
    (("window", "examples/belt_28_inch.toml"), 0),
    (("judge", "examples/belt_28_inch.toml", "--reading", "3,190 rpm", "--u", "5 rpm"), 3),
    (("chart", "--from", "16 in", "--to", "30 in", "--pdf", os.devnull), 2),
    (("serve",), 2),
)


def interpreters() -> dict[str, str]:
    """By version, each Python that is new enough: on the path, or where pyenv keeps them."""
    folders = [Path(folder) for folder in os.get_exec_path()]
    folders += sorted((Path.home() / ".pyenv/versions").glob("*/bin"))
    named = [p for f in folders for p in f.glob("python3.*") if re.fullmatch(r"python3\.\d+", p.name)]
    found: dict[str, str] = {}
    for program in (*named, Path(sys.executable)):
        ask = "import sys, platform; print(sys.version_info >= (3, 11), platform.python_version())"
        said = subprocess.run(
            [program, "-c", ask], capture_output=True, text=True, check=False
        ).stdout.split()
        if said[:1] == ["True"]:
            found.setdefault(said[1], str(program))
    return dict(sorted(found.items()))


def environment(python: str, folder: Path) -> str:
    """A new virtual environment; the path of its Python."""
    subprocess.run([python, "-m", "venv", folder], check=True)
    return str(folder / "bin" / "python")


def install(python: str, *what: str) -> None:
    """Install into an environment, by the versions we hold to."""
    pip = [python, "-m", "pip", "install", "-q", "--disable-pip-version-check"]
    subprocess.run([*pip, "-c", str(ROOT / "constraints.txt"), *what], check=True, stderr=subprocess.DEVNULL)


def bare(python: str, wheel: Path) -> str:
    """What the wheel alone needs, and whether it answers."""
    clean = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    before = size(python)
    install(python, str(wheel))
    listed = subprocess.run(
        [python, "-m", "pip", "list", "--format", "json"], capture_output=True, check=True
    )
    packages = [one["name"] for one in json.loads(listed.stdout) if one["name"] not in ("pip", "setuptools")]
    for words, code in ASKS:
        done = subprocess.run(
            [Path(python).with_name("snath"), *words], cwd=ROOT, env=clean, capture_output=True, text=True,
            check=False,
        )  # fmt: skip
        if done.returncode != code:
            sys.exit(f"snath {' '.join(words)}: exit {done.returncode}, not {code}\n{done.stderr}")
    begun = time.perf_counter()
    subprocess.run([python, "-c", "import snath.shop.cli.limit"], env=clean, check=True)
    loading = time.perf_counter() - begun
    return f"{len(packages)} packages, {size(python) - before} MB, its first command loads in {loading:.2f} s"


def size(python: str) -> int:
    """Megabytes in the folder of an environment."""
    files = Path(python).parents[1].rglob("*")
    return sum(file.lstat().st_size for file in files if file.is_file()) // 2**20


def quick(python: str, wheel: Path) -> str:
    """The quick tests against the installed wheel."""
    install(python, f"{wheel}[shop]", *TESTS_NEED)
    run = [python, "-m", "pytest", "-p", "no:cacheprovider", *QUICK]
    clean = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    done = subprocess.run(run, cwd=ROOT, env=clean, capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(done.stdout[-3000:] + done.stderr[-1000:])
    return done.stdout.strip().splitlines()[-1]


if __name__ == "__main__":
    wheel = main()
    for version, program in interpreters().items():
        place = Path(tempfile.mkdtemp(prefix="snath-matrix-"))
        try:
            python = environment(program, place)
            here = f"{platform.system()} Python {version}"
            print(f"{here}, wheel alone: {bare(python, wheel)}", flush=True)
            print(f"{here}, quick tests: {quick(python, wheel)}", flush=True)
        finally:
            shutil.rmtree(place, ignore_errors=True)
