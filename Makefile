# Two commands: `make run` and `make test`. Everything else is for those who build corebath.
SHELL := /bin/bash
.ONESHELL:
.SHELLFLAGS := -eu -o pipefail -c
.DEFAULT_GOAL := help
PYTHON ?= python3
VENV   ?= .venv
BIN    := $(VENV)/bin
READY  := $(VENV)/.ready

.PHONY: help run test setup check bench audit docs agreement clean

help:   ## list the targets
	@grep -E '^[a-z]+: .*##' $(MAKEFILE_LIST) | sed -E 's/: .*## /\t/' | expand -t 10

$(READY): pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit("corebath needs Python 3.11 or later; set PYTHON=..." if sys.version_info < (3, 11) else 0)'
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --upgrade pip
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[dev]'
	touch $@

setup: $(READY)  ## make the virtual environment

run: $(READY)  ## set up and open the Plan screen with the demo kitchen
	$(BIN)/corebath serve --demo --open

check: $(READY)  ## lint, types and import contracts
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

test: $(READY)  ## set up and pass every test, browser tests included
	$(MAKE) --no-print-directory check
	.ci/browser
	.ci/services
	$(BIN)/pytest -n 2 --dist loadscope

bench: $(READY)  ## print the performance table
	$(BIN)/python -m benchmarks

audit: $(READY)  ## ask for known vulnerabilities of what is installed
	$(BIN)/python .ci/audit

docs: $(READY)  ## build the documentation into docs/_build
	$(BIN)/sphinx-build -W --keep-going -n -q docs docs/_build

agreement: $(READY)  ## measure how far the models lie from published figures
	$(BIN)/pytest tests/published -q --agreement docs/science/agreement.csv

clean:  ## remove the virtual environment and caches
	rm -rf $(VENV) docs/_build .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
