# Every command sets up what it needs first. `make run` and `make test` work from a bare clone.
PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
ALL    := $(VENV)/.stamp-setup
SHOP   := $(VENV)/.stamp-shop
NEEDS  := pyproject.toml constraints.txt scripts/venv.sh

.PHONY: run test setup hooks check coverage bench docs pictures matrix wheel format system clean

run: $(SHOP)
	$(BIN)/snath serve --demo

test: setup system
	PATH="$(CURDIR)/$(BIN):$$PATH" sh scripts/test.sh

setup: $(ALL)

$(ALL): $(NEEDS)
	@PYTHON=$(PYTHON) sh scripts/venv.sh $(VENV) dev
	@touch $(SHOP) $(ALL)

$(SHOP): $(NEEDS)
	@PYTHON=$(PYTHON) sh scripts/venv.sh $(VENV) shop
	@touch $(SHOP)

system:
	sh scripts/system.sh

check: setup
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m pytest tests/house

coverage: setup system
	$(BIN)/python -m pytest -n 2 --dist loadfile --cov --cov-report=
	$(BIN)/coverage report

bench: setup
	$(BIN)/pip install -q -c constraints.txt -e '.[bench]'
	$(BIN)/python -m benchmarks

hooks: setup
	git config core.hooksPath scripts/hooks

docs: setup
	$(BIN)/pip install -q --disable-pip-version-check -c constraints.txt -e '.[docs]'
	$(BIN)/python scripts/print_docs.py
	$(BIN)/python -m sphinx -q -E -W --keep-going -b html docs build/docs
	$(BIN)/python scripts/notebooks.py build/docs/notebooks
	@echo "build/docs/index.html"

pictures: setup system
	$(BIN)/python scripts/pictures.py

matrix: setup
	$(BIN)/python scripts/matrix.py

wheel: setup
	$(BIN)/python scripts/build_wheel.py

format:
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

clean:
	rm -rf $(VENV) build dist *.egg-info
