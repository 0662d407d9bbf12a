"""Which program and version worked a job out; stands on every sheet."""

from importlib.metadata import version

PROGRAM = f"snath {version('snath')}"
