"""Writing what a command says to a file, whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from buildbook.errors import WrongUsage


def write_page(out: Path, text: str, job: Path) -> None:
    """Write text to out, in place of what is there. Raises WrongUsage for a place in the job folder or unwritable."""
    if out.resolve().is_relative_to(job.resolve()):
        raise WrongUsage(f"{out} lies in the job folder, which is not written to.", "Name a file outside it.")
    part = out.with_name(f".{out.name}.{os.getpid()}")
    try:
        part.write_text(text, "utf-8", newline="")
        part.replace(out)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise WrongUsage(
            f"{out} cannot be written: {error.strerror}.", "Name a file in a folder that exists and can be written."
        ) from error
