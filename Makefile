# `make demo` and `make test` do all set-up themselves, in .venv.
PYTHON ?= python3
VENV   ?= .venv
BIN    := $(VENV)/bin

.PHONY: demo test lint docs messages pictures demo-photos clean

$(VENV)/.ready: pyproject.toml constraints.txt
	$(PYTHON) -c 'import sys; sys.exit("buildbook needs Python 3.11 or later; name one: make PYTHON=python3.12 ...") if sys.version_info < (3, 11) else None'
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint constraints.txt --editable '.[dev]'
	touch $@

demo: $(VENV)/.ready  ## check, compile and verify the demo job
	$(BIN)/buildbook compile demo_job --issued-on 2026-04-24
	$(BIN)/buildbook verify output/2026-014/issue-01 --against demo_job

test: $(VENV)/.ready lint node_modules/axe-core  ## all tests
	$(BIN)/python -m compileall -q buildbook  # the tests start the program hundreds of times
	$(BIN)/python -m pytest -n auto --dist loadfile --no-loadscope-reorder --ignore tests/browser
	$(BIN)/python -m pytest -n auto --dist loadfile tests/browser  # by itself: the browser keeps an event loop in its process

node_modules/axe-core:  # rules of accessibility, for the browser tests; they say so where it is missing
	-command -v npm >/dev/null && npm install --no-save --no-package-lock --no-audit --no-fund --silent axe-core@4.14.1

lint: $(VENV)/.ready  ## types and style
	$(BIN)/ruff check .
	$(BIN)/mypy

docs: $(VENV)/.ready  ## the reference pages made from the code
	$(BIN)/python -m buildbook.rules.reference > docs/rules.md
	$(BIN)/python -m buildbook.load.reference > docs/record.md

messages: $(VENV)/.ready  ## the catalogues of translations, brought up to date with the code
	$(BIN)/python tests/tools/messages.py

pictures: demo  ## the pictures of the README (needs pdftoppm and chromium)
	$(BIN)/python tests/tools/page_pictures.py
	$(BIN)/python tests/tools/web_pictures.py

clean:
	rm -rf $(VENV) build dist output/2026-014
	rm -f demo_job/issued/*.json
