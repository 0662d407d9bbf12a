# Every command sets up what it needs first. `make run` and `make test` work from a bare clone.
PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
STAMP  := $(VENV)/.stamp-setup

.PHONY: run test setup check bench format system clean

run: setup
	$(BIN)/snath serve --demo

test: setup system
	PATH="$(CURDIR)/$(BIN):$$PATH" sh scripts/test.sh

setup: $(STAMP)

$(STAMP): pyproject.toml constraints.txt scripts/venv.sh
	PYTHON=$(PYTHON) sh scripts/venv.sh $(VENV)
	touch $(STAMP)

system:
	sh scripts/system.sh

check: setup
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m pytest tests/house

bench: setup
	$(BIN)/pip install -q -c constraints.txt -e '.[bench]'
	$(BIN)/python -m benchmarks

format:
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

clean:
	rm -rf $(VENV) build dist *.egg-info
