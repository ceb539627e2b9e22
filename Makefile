.DEFAULT_GOAL := help
.PHONY: help run test bench pictures clean

PYTHON ?= python3
HOLDING ?= demo
BIN := .venv/bin

help:  ## list the targets
	@grep -E '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/'

.venv/.ready: requirements.lock pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Python 3.11 or newer is needed: install it, or name it with make PYTHON=..."; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { [ "$$(id -u)" = 0 ] && apt-get update -q && apt-get install -qy python3-venv; } || { echo "Python's venv is missing: install Debian's package python3-venv."; exit 1; }
	@$(PYTHON) -m venv .venv
	@$(BIN)/python -m pip install -q "uv==0.13.9"
	@$(BIN)/uv pip install -q --python $(BIN)/python --require-hashes --compile-bytecode -r requirements.lock
	@$(BIN)/uv pip install -q --python $(BIN)/python --no-deps -e .
	@$(BIN)/python -m compileall -q src
	@touch $@

run: .venv/.ready var/$(HOLDING)-is-in  ## plan the demo holding and print its season; outputs go to out/; then show it in the browser until Ctrl-C
	@$(BIN)/perennate serve --store var

# Done once: what is in the store since then is the grower's own, and stays as it was changed.
var/$(HOLDING)-is-in: | .venv/.ready
	@test -d out/$(HOLDING)-holding || $(BIN)/perennate example $(HOLDING) out/$(HOLDING)-holding
	@$(BIN)/perennate plan out/$(HOLDING)-holding --out out
	@$(BIN)/perennate import out/$(HOLDING)-holding --plan out/plan.json --as $(HOLDING) --store var
	@touch $@

.PHONY: chromium
chromium:
	@command -v chromium >/dev/null || { [ "$$(id -u)" = 0 ] && apt-get update -q && apt-get install -qy --no-install-recommends chromium fonts-dejavu-core; } || { echo "The tests of the pages need a browser: install Debian's package chromium."; exit 1; }

test: .venv/.ready chromium  ## format, lint, types, floors and all tests
	@$(BIN)/ruff format --check .
	@$(BIN)/ruff check .
	@$(BIN)/mypy
	@$(BIN)/lint-imports
	@$(BIN)/pytest -n 2 --dist worksteal

bench: .venv/.ready  ## print the ratios against their named alternatives
	@$(BIN)/python bench

pictures: .venv/.ready chromium  ## take the README's pictures of the pages anew
	@$(BIN)/python bench/pictures.py

clean:  ## remove the environment and what was written; the store in var/ stays
	rm -rf .venv out
