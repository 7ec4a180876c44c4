"""A real browser on the pages of a small job: `open_page` opens one from the disk and fails on any error or request.

Marked `browser`. Skipped where there is no Chromium; the rules of accessibility also where axe-core was not installed
(`make test` does). Each run of pytest compiles the job once.
"""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from buildbook.cli import commands
from buildbook.compile import compile_job
from buildbook.photos import Library

sync_api = pytest.importorskip("playwright.sync_api")
TESTS = Path(__file__).parents[1]
JOB = TESTS / "jobs" / "good" / "motorcycle"
AXE = TESTS.parent / "node_modules" / "axe-core" / "axe.min.js"
DAY = date(2027, 1, 1)
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--disable-dev-shm-usage", "--font-render-hinting=none",
)  # fmt: skip


@dataclass(frozen=True)
class Made:
    """job: the folder sealed. web: page of the web edition. findings: page of an unfinished copy. issue: its folder."""

    job: Path
    issue: Path
    web: Path
    findings: Path


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    root = tmp_path_factory.mktemp("browser")
    shutil.copytree(JOB, root / "job")
    issued = compile_job(root / "job", root / "out", DAY, library=Library(root / "cache"))
    assert issued.web is not None
    shutil.copytree(JOB, root / "open")
    (root / "open" / "approvals.csv").unlink()
    (root / "open" / "receipts.csv").unlink()
    words = ["check", str(root / "open"), "--as-of", "2027-01-01", "--cache", str(root / "cache"), "--format", "html"]
    CliRunner().invoke(commands.cli, [*words, "--out", str(root / "findings.html")], catch_exceptions=False)
    return Made(root / "job", issued.folder, issued.web, root / "findings.html")


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.skip("no chromium on the path")
    with sync_api.sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=found, args=list(FLAGS))
        yield started
        started.close()


Opener = Callable[..., Any]
FRAME = "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"


@pytest.fixture
def until() -> Callable[..., None]:
    """`until(page, expression)`: wait for it to be true. (`wait_for_function` asks again by eval, which the page's policy refuses.)"""

    def waited(page: Any, expression: str, seconds: float = 20) -> None:
        end = time.monotonic() + seconds
        while not page.evaluate(expression):
            assert time.monotonic() < end, f"not true within {seconds} s: {expression}"
            page.evaluate(FRAME)

    return waited


@pytest.fixture
def open_page(browser: Any) -> Iterator[Opener]:
    """`open_page(path, width)`: the page, at rest. What it says to the console, and asks of others, fails the test."""
    said: list[str] = []
    contexts = []

    def opened(path: Path, width: int = 1440, height: int = 900, **options: Any) -> Any:
        context = browser.new_context(viewport={"width": width, "height": height}, reduced_motion="reduce", **options)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(20_000)  # of a busy machine
        page.on("console", lambda message: said.append(f"console: {message.text}"))
        page.on("pageerror", lambda error: said.append(f"error: {error}"))
        page.on("requestfailed", lambda request: said.append(f"failed: {request.url}"))
        folder = path.parent.as_uri()
        page.on("request", lambda r: r.url.startswith((folder, "data:", "blob:")) or said.append(f"asked: {r.url}"))
        page.goto(path.as_uri())
        return page

    yield opened
    for context in contexts:
        context.close()
    assert said == []


@pytest.fixture(scope="session")
def axe() -> str:
    """The rules of accessibility as a script."""
    if not AXE.is_file():
        pytest.skip("axe-core is not installed (npm install --no-save axe-core)")
    return AXE.read_text("utf-8")
