"""Pictures of the demo dossier's pages for the README, from the issue that `make demo` makes or a PDF named. Needs pdftoppm (poppler).

Pages are found by what they say, so the pictures stay right when pages move.
"""

import subprocess
import sys
from pathlib import Path

from pypdf import PdfReader

ROOT = Path(__file__).parents[2]
PDF = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "output" / "2026-014" / "issue-01" / "dossier.pdf"
OUT = ROOT / "docs" / "pictures"
LARGEST = 150 * 1024
PAGES = {
    "cover": "The workshop's own record of this vehicle",
    "summary": "observations at intake",
    "step": "Washed, clay on the roof only",
    "condition": "3.2 Bonnet",
    "film": "New paint on the bonnet: mean",
    "parts": "The source of a part is what the person",
}


def main() -> int:
    texts = [" ".join((page.extract_text() or "").split()) for page in PdfReader(PDF).pages]
    OUT.mkdir(exist_ok=True)
    for name, says in PAGES.items():
        found = [n for n, text in enumerate(texts, start=1) if says in text and "Contents" not in text[:60]]
        if not found:
            sys.stderr.write(f"no page says {says!r}\n")
            return 1
        subprocess.run(
            ["pdftoppm", "-jpeg", "-jpegopt", "quality=86", "-r", "90", "-singlefile", "-f", str(found[0]), "-l",
             str(found[0]), PDF, OUT / name], check=True,
        )  # fmt: skip
        size = (OUT / f"{name}.jpg").stat().st_size
        if size > LARGEST:
            sys.stderr.write(f"{name}.jpg is too large for a README: {size // 1024} KB\n")
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
