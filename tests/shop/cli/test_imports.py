"""Does a quick answer stay lean: which modules does each command load?"""

import os
import subprocess
import sys

import pytest

HEAVY = ("django", "av", "typst", "PIL", "granian", "distributed", "pyarrow", "cryptography")
# each of these takes longer to load than the whole answer; what needs one loads it when it is called
SCIENCE = tuple(
    f"scipy.{part}"
    for part in (
        "optimize",
        "stats",
        "signal",
        "ndimage",
        "interpolate",
        "linalg",
        "fft",
        "sparse",
        "spatial",
    )
)
UNASKED = ("snath.decisions.job", "snath.decisions.behaviour", "snath.decisions.verdict")  # of a quick ask
SHEET = "examples/jobs/sheets/walk_behind_21.toml"
TYPED = ("governor", "--no-load", "3750 rpm", "--loaded", "3600 rpm", "--json")
BIT = ("--blade-mass", "0.8 kg", "--missing", "10 g", "--from-centre", "250 mm", "--speed", "3000 rpm")


def loaded_by(*arguments: str) -> set[str]:
    program = (
        "import sys; from snath.shop.cli.main import main\n"
        "try: main(sys.argv[1:], standalone_mode=False)\n"
        "except SystemExit as end: assert end.code in (None, 0, 1, 3), end.code\n"
        "print('LOADED', *sorted(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments], capture_output=True, text=True, check=True
    )
    return set(done.stdout.rsplit("LOADED ", 1)[1].split())


@pytest.mark.parametrize(
    ("arguments", "kept_out"),
    [
        (["--help"], (*HEAVY, *SCIENCE, "numpy", "scipy", "pydantic", "importlib.metadata")),
        (["limit", "--blade", "22 in", "--json"], (*HEAVY, *UNASKED, "numpy", "scipy", "pydantic")),
        (["limit", "--blade", "22 in", "--width", "2.5 in"], ("numpy", "scipy", "pydantic")),
        (["window", SHEET], (*HEAVY, "numpy", "scipy")),
        (["window", SHEET, "--json"], (*HEAVY, *SCIENCE)),
        (["judge", SHEET, "--reading", "3100 rpm", "--json"], (*HEAVY, *SCIENCE)),
        ([*TYPED], (*HEAVY, *SCIENCE)),
        (["balance", "--blade", "21 in", *BIT, "--json"], (*HEAVY, *SCIENCE)),
        (["throw", "--blade", "21 in", "--found", "3100 rpm", "--json"], (*HEAVY, *SCIENCE)),
    ],
    ids=lambda value: value[0] if isinstance(value, list) else "",
)
def test_a_command_loads_only_what_it_needs(arguments, kept_out):
    loaded = loaded_by(*arguments)
    assert "snath.shop.cli.main" in loaded
    assert not [name for name in kept_out if name in loaded]


@pytest.mark.parametrize(("set_before", "asked"), [("", "1"), ("3", "3")])
def test_a_command_asks_for_one_thread_of_linear_algebra_before_numpy_is_there(set_before, asked):
    # Property: asked for after numpy was loaded it changes nothing; what somebody set himself stays.
    said = "print('numpy' in sys.modules, os.environ['OMP_NUM_THREADS'])"
    code = f"import os, sys; from snath.shop.cli import main; {said}"
    kept = {k: v for k, v in os.environ.items() if not k.endswith("_NUM_THREADS")}
    kept |= {"OMP_NUM_THREADS": set_before} if set_before else {}
    done = subprocess.run([sys.executable, "-c", code], env=kept, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", asked]
