"""Build the wheel twice from what is committed, in two folders: one hash, or it is no release."""

import hashlib
import io
import os
import shutil
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
DIST = ROOT / "dist"


def told(*command: str) -> str:
    """What a command prints."""
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout.strip()


def built(folder: Path) -> Path:
    """The wheel of the newest commit, built in that folder; times in it are the commit's."""
    packed = subprocess.run(["git", "archive", "HEAD"], cwd=ROOT, capture_output=True, check=True).stdout
    with tarfile.open(fileobj=io.BytesIO(packed)) as tree:
        tree.extractall(folder, filter="data")
    moment = told("git", "log", "-1", "--format=%ct")
    command = [sys.executable, "-m", "build", "--wheel", "--outdir", str(folder / "dist"), str(folder)]
    clean = {**os.environ, "SOURCE_DATE_EPOCH": moment}
    done = subprocess.run(command, env=clean, capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(done.stdout + done.stderr)
    return next((folder / "dist").glob("*.whl"))


def fingerprint(file: Path) -> str:
    """SHA-256 of a file."""
    return hashlib.sha256(file.read_bytes()).hexdigest()


def strangers(wheel: Path) -> list[str]:
    """What is in the wheel and is not the program."""
    names = zipfile.ZipFile(wheel).namelist()
    return [name for name in names if not name.startswith(("snath/", "snath-"))]


def main() -> Path:
    """The wheel in dist/, or an exit that says what is wrong with it."""
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as other:
        wheel, again = built(Path(one)), built(Path(other))
        if fingerprint(wheel) != fingerprint(again):
            sys.exit("Two builds of one commit differ: it is no release.")
        if found := strangers(wheel):
            sys.exit(f"In the wheel, and not of the program: {', '.join(found[:5])}")
        DIST.mkdir(exist_ok=True)
        place = DIST / wheel.name
        shutil.copyfile(wheel, place)
    print(f"{place.relative_to(ROOT)}  {place.stat().st_size / 2**20:.1f} MB  sha256 {fingerprint(place)}")
    return place


if __name__ == "__main__":
    main()
