# Gatherbook. The same steps without make are in README.md.

PYTHON ?= python3
BIN = .venv/bin
HOST ?= 127.0.0.1
PORT ?= 8000

.PHONY: help demo serve env test-env test test-postgres check bench lint format migrations lock clean

help:
	@echo "make demo     set up an example shop and open it on http://$(HOST):$(PORT)"
	@echo "make serve    serve this shop's own book"
	@echo "make test     run every test"
	@echo "make test-postgres  run the rooms' tests on PostgreSQL"
	@echo "make check    lint, format, types, import contract, settings, missing migrations"
	@echo "make bench    measure speed, each figure beside its bare counterpart"
	@echo "make format   put the code in order"

# A stamp a lock: nothing is installed twice, and a changed lock is noticed.
.venv/bin/python:
	@./.ci/make-venv $(PYTHON)

.venv/.run-stamp: requirements.lock | .venv/bin/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	@touch $@

.venv/.test-stamp: requirements-test.lock | .venv/bin/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements-test.lock
	@touch $@ .venv/.run-stamp

env: .venv/.run-stamp

test-env: .venv/.test-stamp
	@./.ci/find-browser

demo: env
	$(BIN)/python manage.py prepare
	$(BIN)/python manage.py load_demo --host $(HOST) --port $(PORT)
	$(BIN)/python manage.py serve --host $(HOST) --port $(PORT)

serve: env
	$(BIN)/python manage.py prepare
	$(BIN)/python manage.py serve --host $(HOST) --port $(PORT)

test: test-env
	$(BIN)/python -m pytest -n 2 --dist loadfile

# On a server of their own; the pure packages and the browser have no need of another database.
test-postgres: test-env
	./.ci/with-postgres $(BIN)/python -m pytest -n 2 --dist loadfile tests/shop tests/jobs tests/estimates \
		--ignore tests/jobs/forming --ignore tests/jobs/drawings --ignore tests/estimates/hours \
		--ignore tests/estimates/pricing --ignore tests/estimates/paper

check: test-env
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python manage.py makemigrations --check --dry-run
	GATHERBOOK_MODE=production GATHERBOOK_HOSTS=book.example \
	GATHERBOOK_SECRET_KEY="$$($(BIN)/python -c 'import secrets; print(secrets.token_urlsafe(64))')" \
	$(BIN)/python manage.py check --deploy --fail-level WARNING

bench: test-env
	$(BIN)/python tests/performance/bench.py

format: test-env
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

# Needs uv on the path; both locks hold for every platform and pin every file by its hash.
lock:
	uv pip compile --universal --python-version 3.11 --generate-hashes --no-header --no-annotate \
		-o requirements.lock pyproject.toml
	uv pip compile --universal --python-version 3.11 --generate-hashes --no-header --no-annotate \
		--extra test --extra postgres -c requirements.lock -o requirements-test.lock pyproject.toml

clean:
	rm -rf .venv .pytest_cache .mypy_cache .ruff_cache .hypothesis .import_linter_cache
