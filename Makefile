# Bare "make" lists what there is to do.
.DEFAULT_GOAL := help
SHELL := /bin/sh
BIN := .venv/bin
CODE := src tests $(wildcard benchmarks)
# Templates lie beside what they show; wherever that is, they are found.
TEMPLATES = $(shell find src -path '*/templates/*.html')
# A run starts scores of Pythons: what one has compiled is kept for the others, beside
# the environment, whatever the shell says of it.
PYTEST := PYTHONDONTWRITEBYTECODE= PYTHONPYCACHEPREFIX="$(CURDIR)/.venv/compiled" \
	$(BIN)/python -m pytest --numprocesses auto --dist worksteal
EXTRA ?=

.PHONY: help
help: ## list these targets
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-13s %s\n", $$1, $$2 }' Makefile

# ------------------------------------------------------------ use

.PHONY: setup
setup: ## install the tool into .venv (needs only python3 and make)
	@scripts/setup.sh run

.PHONY: demo
demo: setup ## start Lumenkeep with an invented hospital to look round in
	@$(BIN)/lumenkeep demo

.PHONY: serve
serve: setup ## start Lumenkeep with your own data
	@$(BIN)/lumenkeep serve

.PHONY: policy-check
policy-check: setup ## check and prove the shipped policies
	@for set in quillmere us-guideline uk-guideline; do $(BIN)/lumenkeep policy check $$set || exit 1; done

.PHONY: ways-back
ways-back: setup ## walk the way back from every slip of the shipped policies, by a second table too (an hour)
	@for set in quillmere us-guideline uk-guideline; do $(BIN)/lumenkeep rehearse $$set --ways-back || exit 1; done
	@$(BIN)/python -m tests.never_over_all

.PHONY: agreement
agreement: setup-dev ## hold answers, due times and supplies against engines written apart, 100,000 cases each (minutes)
	LUMENKEEP_AGREEMENT_CASES=100000 $(PYTEST) tests/property/test_agreement.py tests/property/test_every_task_and_supply.py

# ------------------------------------------------------------ develop

.PHONY: setup-dev
setup-dev: ## install what developers need on top
	@scripts/setup.sh dev

.PHONY: test
test: setup-dev ## run all tests (EXTRA="-k word" passes options to pytest)
	@scripts/browser.sh
	@javascript=0; $(MAKE) --no-print-directory test-javascript || javascript=1; \
	    echo "$(PYTEST) $(EXTRA)"; $(PYTEST) $(EXTRA) || exit $$?; \
	    [ $$javascript = 0 ] || { echo "A test of the JavaScript failed: see above pytest's." >&2; exit 1; }

.PHONY: test-javascript
test-javascript: ## run the tests of the guide's own modules, in Node.js (a second)
	@scripts/javascript.sh node
	node --test --test-reporter=spec tests/javascript/*.test.js

.PHONY: test-fast
test-fast: setup-dev ## run what answers soon: no browser, no proof of whole sets, no laws
	$(PYTEST) -m "not browser and not thorough" $(EXTRA)

.PHONY: cover
cover: setup-dev ## run all tests but the browser's, and say which lines they miss
	$(PYTEST) -m "not browser" --cov --cov-report=term-missing $(EXTRA)

.PHONY: lint
lint: setup-dev ## check style, templates, layers and types, changing nothing
	$(BIN)/ruff check $(CODE)
	$(BIN)/ruff format --check $(CODE)
	$(BIN)/djade --target-version 5.2 --check $(TEMPLATES)
	@$(MAKE) --no-print-directory imports types javascript

.PHONY: fmt
fmt: setup-dev ## format code and templates, and mend what can be mended
	$(BIN)/ruff format $(CODE)
	@$(BIN)/djade --target-version 5.2 $(TEMPLATES) || $(BIN)/djade --target-version 5.2 --check $(TEMPLATES)
	$(BIN)/ruff check --fix $(CODE)

.PHONY: types
types: setup-dev ## check types
	$(BIN)/mypy

.PHONY: imports
imports: setup-dev ## check which package imports which
	$(BIN)/lint-imports

.PHONY: javascript
javascript: ## check style and types of the JavaScript
	@scripts/javascript.sh tools
	node_modules/.bin/biome lint --error-on-warnings
	node_modules/.bin/tsc --project tsconfig.json
	node_modules/.bin/tsc --project tsconfig.worker.json

.PHONY: bench
bench: ## run every benchmark, one after the other
	@scripts/setup.sh bench
	@scripts/browser.sh
	@set -e; for file in benchmarks/bench_*.py; do \
	    echo; echo "== $$file"; $(BIN)/python "$$file"; \
	done

.PHONY: bench-small
bench-small: ## run every benchmark small, to see that it still runs (its figures mean nothing)
	@scripts/setup.sh bench
	@scripts/browser.sh
	@ls benchmarks/bench_*.py | LUMENKEEP_BENCH=small xargs -P 2 -I FILE sh -c \
	    'told=$$($(BIN)/python FILE 2>&1); status=$$?; printf "\n== FILE\n%s\n" "$$told"; exit $$status'

.PHONY: lock
lock: setup ## write the lock files anew (EXTRA=--upgrade for newer versions of Python's)
	@scripts/lock.sh $(EXTRA)

.PHONY: proved-page
proved-page: setup-dev ## write docs/for-hospitals/what-is-proved.md anew from the readers' own tables
	@$(BIN)/python -m lumenkeep.text.policy.coverage_page > docs/for-hospitals/what-is-proved.md

.PHONY: clean
clean: ## remove .venv, caches and builds; no data
	rm -rf .venv node_modules .pytest_cache .mypy_cache .ruff_cache .import_linter_cache \
	    .hypothesis .coverage .coverage.* htmlcov mutants build dist
	find src tests -name __pycache__ -type d -prune -exec rm -rf {} +
