"""What a shell offers where somebody presses the tabulator, and what that costs."""

import subprocess
import sys

import pytest
from click.shell_completion import ShellComplete

from snath.shop.cli.main import COMMANDS, main


def offered(args: list[str], begun: str) -> list[str]:
    shell = ShellComplete(main, {}, "snath", "_SNATH_COMPLETE")
    return [item.value for item in shell.get_completions(args, begun)]


@pytest.mark.parametrize(
    ("args", "begun", "expected"),
    [
        ([], "wi", ["window"]),
        ([], "ba", ["batch", "balance", "backup"]),
        (["limit"], "--wid", ["--width"]),
        (["judge", "sheet.toml"], "--cond", ["--condition"]),
        (["no-such-word"], "", []),
    ],
)
def test_words_and_options_are_offered(args, begun, expected):
    assert offered(args, begun)[: len(expected)] == expected


def test_every_command_is_offered():
    assert set(offered([], "")) >= set(COMMANDS)


def test_a_shell_that_asks_for_words_loads_no_command():
    code = (
        "import sys; from click.shell_completion import ShellComplete; from snath.shop.cli.main import main\n"
        "print(len(ShellComplete(main, {}, 'snath', 'X').get_completions([], '')), 'numpy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    count, numpy = done.stdout.split()
    assert int(count) >= len(COMMANDS)
    assert numpy == "False"
