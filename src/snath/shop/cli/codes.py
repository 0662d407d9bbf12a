"""Name the exit codes of every command, apart from anything that takes time to load."""

DONE, FAILED, WRONG_INPUT, UNDECIDED, OUR_FAULT = 0, 1, 2, 3, 4
EXIT_OF = {"pass": DONE, "fail": FAILED, "blocked": FAILED, "undecided": UNDECIDED}
