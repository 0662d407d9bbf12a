"""The unit file is one the service manager takes, and what it starts is a command of this program."""

import configparser
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from snath.shop.cli.serve import serve

UNIT = Path(__file__).parents[3] / "examples" / "system" / "snath.service"


def test_what_it_starts_is_a_command_of_this_program():
    unit = configparser.RawConfigParser(strict=False)
    unit.optionxform = str
    unit.read(UNIT)
    program, command, *words = shlex.split(unit["Service"]["ExecStart"])
    assert (Path(program).name, command) == ("snath", "serve")
    given = serve.make_context("serve", list(words)).params
    assert given["behind_proxy"]
    assert given["name"]
    assert given["log"] == "lines"
    assert unit["Service"]["NoNewPrivileges"] == "yes"


@pytest.mark.skipif(shutil.which("systemd-analyze") is None, reason="no systemd here to ask")
def test_the_service_manager_takes_it(tmp_path):
    text = UNIT.read_text()
    there = tmp_path / UNIT.name
    there.write_text(text.replace("/opt/snath/bin/snath", sys.executable))  # it must be there to be verified
    done = subprocess.run(["systemd-analyze", "verify", there], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    there.write_text(
        text.replace("Restart=on-failure", "Restrat=on-failure").replace("/opt/snath/bin/snath", "/no")
    )
    assert subprocess.run(["systemd-analyze", "verify", there], capture_output=True, check=False).returncode
