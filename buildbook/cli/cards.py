"""Printing marker cards, and showing a clock card in the terminal."""

from __future__ import annotations

import io
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

import click

from buildbook.errors import InputUnreadable, WrongUsage
from buildbook.records.card import Card, code_of
from buildbook.records.job import Job
from buildbook.records.words import Stage

_BRIGHT, _RESET = "\x1b[97;40m", "\x1b[0m"  # light modules are drawn: white on black, whatever the terminal's colours


def write_cards(
    job: Job,
    printed: datetime,
    out: Path | None,
    *,
    steps: Sequence[str],
    stages: Sequence[str],
    zones: bool,
    four: bool,
) -> tuple[Path, int, int]:
    """Write the cards of a job, whole or not at all. The file, the number of cards, and of pages."""
    from buildbook.dossier.cards import card_set
    from buildbook.render.pdf.cards import render_cards

    made = card_set(job, printed, steps=steps, stages=[Stage(s) for s in stages], zones=zones)
    name = "".join(c if c.isalnum() or c in "._-" else "-" for c in job.number)
    target = out or Path(f"{name}-cards.pdf")
    try:
        with tempfile.TemporaryDirectory(prefix=".cards-", dir=target.parent) as place:
            part = Path(place) / "cards.pdf"
            pages = render_cards(made, part, four=four)
            part.replace(target)
    except OSError as error:
        raise WrongUsage(
            f"{target} cannot be written: {error.strerror or error}.", "Name another file with --out."
        ) from error
    return target, len(made.faces), pages


def clock_text(number: str, now: datetime) -> str:
    """A clock card for a terminal: its QR code in half blocks, dark on light, and the same time in words."""
    import segno

    card = Card(job=number, made=now)
    drawn = io.StringIO()
    segno.make_qr(code_of(card), error="m").terminal(drawn, border=4, compact=True)
    rows = "\n".join(f"{_BRIGHT}{row}{_RESET}" for row in drawn.getvalue().splitlines() if row.strip())
    return f"{rows}\n\n{number}   {card.made:%Y-%m-%d %H:%M:%S %z}\nPhotograph this with each camera.\n"


def show_clock(number: str, now: Callable[[], datetime]) -> None:
    """Show a clock card, on a terminal renewed at each second until Ctrl-C. Raises InputUnreadable without a number."""
    if not number.strip():
        raise InputUnreadable("The job has no number, so no card could name it.", "Write job.number in job.toml.")
    moment = now()
    click.echo(clock_text(number, moment))
    if not sys.stdout.isatty():
        return
    try:
        while True:
            time.sleep(max(0.0, 1 - now().microsecond / 1e6))
            click.clear()
            click.echo(clock_text(number, now()))
    except KeyboardInterrupt:
        return
