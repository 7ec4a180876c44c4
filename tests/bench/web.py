"""First paint of the web edition, and what is read before anybody scrolls: `python tests/bench/web.py PAGE`.

PAGE: index.html of a web edition; docs/benchmarks.md says of which job. Opens it from the disk in Chromium, each time in
a browser just started, at the width of a phone and of a desktop. Bytes: the page itself and each picture that was asked
for until two seconds after loading. Needs `playwright` and a `chromium` on the path.
"""

from __future__ import annotations

import shutil
import statistics
import sys
from pathlib import Path
from urllib.parse import unquote, urlsplit

from playwright.sync_api import sync_playwright

RUNS = 7
WIDTHS = ((360, 740), (1440, 900))
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--disable-dev-shm-usage",
)  # fmt: skip
PAINT = "performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? null"


def once(path: Path, width: int, height: int) -> tuple[float, int, int]:
    """Milliseconds to the first contentful paint (W3C Paint Timing), bytes, and files read."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        page = browser.new_page(viewport={"width": width, "height": height})
        asked: set[str] = set()
        page.on("request", lambda request: asked.add(request.url))
        page.goto(path.resolve().as_uri(), wait_until="load")
        page.wait_for_timeout(2000)
        paint = page.evaluate(PAINT)
        browser.close()
    files = [Path(unquote(urlsplit(url).path)) for url in asked if url.startswith("file:")]
    return paint, sum(file.stat().st_size for file in files), len(files)


def main() -> int:
    path = Path(sys.argv[1])
    photos = len(list((path.parent / "assets").glob("*-s.jpg")))
    print(f"{photos} photos; page {path.stat().st_size:,} bytes")
    for width, height in WIDTHS:
        runs = [once(path, width, height) for _ in range(RUNS)]
        paints = [run[0] for run in runs]
        print(
            f"{width} px: first paint {statistics.median(paints):.0f} ms (median of {RUNS}, {min(paints):.0f} to {max(paints):.0f}); "
            f"{max(run[1] for run in runs):,} bytes in {runs[0][2]} files before scrolling"
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
