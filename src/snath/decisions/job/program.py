"""Name the program and version that worked a job out; stands on every sheet."""

VERSION = "0.1.0"  # the package takes it from here: asking the installed one takes as long as a quick answer
PROGRAM = f"snath {VERSION}"
