"""Pictures of the demo's web edition for the README, on a desk and on a telephone. Needs `playwright` and chromium.

    python tests/tools/web_pictures.py [PAGE]        PAGE: default the one that `make demo` makes
"""

import shutil
import sys
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[2]
PAGE = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "output" / "2026-014" / "issue-01" / "web" / "index.html"
OUT = ROOT / "docs" / "pictures"
LARGEST = 200 * 1024
FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking")
VIEWS = {"web": (1440, 900, 1.0, 1080), "web-phone": (390, 844, 2.0, 520)}  # width, height, pixels a point, saved width


def main() -> int:
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None or not PAGE.is_file():
        sys.stderr.write(f"needs chromium, and {PAGE} (make demo)\n")
        return 1
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=list(FLAGS))
        for name, (width, height, scale, saved) in VIEWS.items():
            context = browser.new_context(viewport={"width": width, "height": height}, device_scale_factor=scale)
            page = context.new_page()
            page.goto(PAGE.resolve().as_uri())
            page.wait_for_load_state("networkidle")
            picture = Image.open(BytesIO(page.screenshot())).convert("RGB")
            picture = picture.resize((saved, round(picture.height * saved / picture.width)), Image.Resampling.LANCZOS)
            picture.save(OUT / f"{name}.jpg", quality=84, optimize=True)
            context.close()
            if (OUT / f"{name}.jpg").stat().st_size > LARGEST:
                sys.stderr.write(f"{name}.jpg is too large for a README\n")
                return 1
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
