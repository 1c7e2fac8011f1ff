# `make` alone lists what can be made. Each target is one or two plain commands; DEVELOPERS.md shows them too.
PY := .venv/bin/python
SCRATCH := sqlite:///$(CURDIR)/build/migration.db

.DEFAULT_GOAL := help
.PHONY: help setup check format test published validation replay bench migration readme wheel all

help:  ## this list
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "  make %-10s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

setup:  ## a virtual environment in .venv with everything that tests need
	python3 -m venv .venv
	.venv/bin/pip install -q -e ".[test]"

check:  ## lint, types, import rule
	$(PY) -m ruff check .
	$(PY) -m mypy
	.venv/bin/lint-imports

format:  ## lay the code out
	$(PY) -m ruff format .
	$(PY) -m ruff check --fix .

test:  ## every test but the benchmarks
	$(PY) -m pytest -q

published:  ## the checks against published numbers alone
	$(PY) -m pytest -q tests/published -rA

validation:  ## docs/validation.md: every number that was held against an outside one
	$(PY) -m pytest -q tests/published --validation docs/validation.md

REPLAY := build/replay
replay:  ## replayed weeks and pours, and docs/calibration.md: an hour
	mkdir -p $(REPLAY)
	$(PY) -m tests.replay.weeks --seeds 200 --out $(REPLAY)/weeks.csv
	$(PY) -m tests.replay.weeks --bare --seeds 200 --out $(REPLAY)/frosty.csv
	$(PY) -m tests.replay.winters --seeds 200 --out $(REPLAY)/winters.csv
	$(PY) -m tests.replay.calibration $(REPLAY) docs/calibration.md
	CURECAST_REPLAY_ROWS=$(REPLAY) $(PY) -m pytest -q -m slow tests/replay -rA

bench:  ## what it costs: speed, on this machine
	OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 $(PY) -m pytest -q -m bench

migration:  ## a new migration: make migration id=0002 m="what changes"
	mkdir -p build
	CURECAST_DB=$(SCRATCH) $(PY) -c "from curecast.store.schema import open_store; open_store().close()"
	CURECAST_DB=$(SCRATCH) .venv/bin/alembic revision --autogenerate --rev-id "$(id)" -m "$(m)"

readme:  ## run the worked week in README.md; write what it prints, draw its pictures anew
	$(PY) -m tests.readme_story
	$(PY) -m tests.docs_pictures

wheel:  ## build the package into dist/
	$(PY) -m build

all: check test  ## what has to pass before a commit
