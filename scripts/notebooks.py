"""Run each notebook of the manual as a notebook, and keep it with its answers: `make docs` calls this."""

import sys
from pathlib import Path

import jupytext
import nbformat
from nbclient import NotebookClient

ROOT = Path(__file__).parents[1]
LONGEST = 900  # s a cell, beside whatever else the machine does
TO_START = 300  # s


def run(source: Path, folder: Path) -> Path:
    """The notebook of that program, run from its first cell to its last; a fault in a cell stops it."""
    notebook = jupytext.read(source)
    NotebookClient(
        notebook, timeout=LONGEST, startup_timeout=TO_START, resources={"metadata": {"path": str(ROOT)}}
    ).execute()
    place = folder / f"{source.stem}.ipynb"
    nbformat.write(notebook, place)
    return place


if __name__ == "__main__":
    kept = Path(sys.argv[1])
    kept.mkdir(parents=True, exist_ok=True)
    for program in sorted((ROOT / "docs/notebooks").glob("*.py")):
        print(run(program, kept))
