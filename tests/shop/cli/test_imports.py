"""Does a quick answer stay lean: which modules does each command load?"""

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
        (["limit", "--blade", "22 in", "--json"], (*HEAVY, *SCIENCE, "pydantic")),
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
