"""Does a quick answer stay lean: which modules does each command load?"""

import subprocess
import sys

import pytest

HEAVY = ("django", "av", "typst", "PIL", "granian", "distributed", "pyarrow", "cryptography")


def loaded_by(*arguments: str) -> set[str]:
    program = (
        "import sys; from snath.shop.cli.main import main\n"
        "try: main(sys.argv[1:], standalone_mode=False)\n"
        "except SystemExit: pass\n"
        "print('LOADED', *sorted(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments], capture_output=True, text=True, check=True
    )
    return set(done.stdout.rsplit("LOADED ", 1)[1].split())


@pytest.mark.parametrize(
    ("arguments", "kept_out"),
    [
        (["--help"], (*HEAVY, "numpy", "pydantic")),
        (["limit", "--blade", "22 in", "--json"], (*HEAVY, "pydantic")),
        (["window", "examples/jobs/sheets/walk_behind_21.toml", "--json"], HEAVY),
        (["judge", "examples/jobs/sheets/walk_behind_21.toml", "--reading", "3100 rpm", "--json"], HEAVY),
    ],
    ids=lambda value: value[0] if isinstance(value, list) else "",
)
def test_a_command_loads_only_what_it_needs(arguments, kept_out):
    loaded = loaded_by(*arguments)
    assert "snath.shop.cli.main" in loaded
    assert not [name for name in kept_out if name in loaded]
