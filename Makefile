# Two commands do all the set-up: `make demo` runs the main job, `make test` passes the tests.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
DEMO := cases/pinholes/thick_by_afternoon.yaml

.PHONY: demo test lint types unit review docs wheel fuzz bench clean

demo: $(VENV)/.run
	$(BIN)/flawtree diagnose $(DEMO)

test: lint types review unit docs wheel

lint: $(VENV)/.test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(VENV)/.test
	$(BIN)/mypy

review: $(VENV)/.test
	$(BIN)/flawtree review

unit: $(VENV)/.test
	$(BIN)/python -m pytest -q --ignore=tests/docs

# The README's commands are run and compared with what it shows.
docs: $(VENV)/.test
	$(BIN)/python -m pytest -q tests/docs

# The wheel is built, installed in a clean environment elsewhere, and the main job run from `/`.
wheel: $(VENV)/.test
	$(BIN)/python tests/wheel_elsewhere.py

fuzz: $(VENV)/.test
	$(BIN)/python -m benchmarks.fuzz

bench: $(VENV)/.test
	$(BIN)/python -m benchmarks.all

$(VENV)/.run: pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip
	$(BIN)/python -m pip install --quiet -e .
	touch $@

$(VENV)/.test: pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip
	$(BIN)/python -m pip install --quiet -e '.[test]'
	touch $@ $(VENV)/.run

clean:
	rm -rf $(VENV) build dist .mypy_cache .ruff_cache .pytest_cache .hypothesis
