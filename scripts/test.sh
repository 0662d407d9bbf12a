#!/bin/sh
# Every test, in two workers; the checks of `make check` first, because they are quick.
set -eu
ruff format --check -q .
ruff check -q .
mypy
lint-imports --no-cache
python -m pytest -n 2 --dist loadfile
