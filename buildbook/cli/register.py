"""`buildbook register`: note what came into a job folder."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from buildbook.errors import ExitCode


def register_job(job: Path, at: datetime) -> int:
    """Register the new evidence of a job folder and say what was added."""
    from buildbook.cli.progress import progress_bar
    from buildbook.errors import InputUnreadable
    from buildbook.load.folder import walk
    from buildbook.report import printable
    from buildbook.seal.register import register_files

    if not (job / "job.toml").is_file():
        raise InputUnreadable(f"{job} holds no job.toml, so it is no job folder.", "Give the folder that holds it.")
    walked = walk(job)
    made = register_files(job, list(walked.files), at, progress=progress_bar())
    for entry in made.new:
        click.echo(printable(f"{entry.n:5}  {entry.sha256[:16]}  {entry.path}"))
    if made.kept:
        click.echo(f"The last line of register.jsonl broke off: the rest of it is kept in {made.kept}.", err=True)
    if made.completed:
        click.echo("The last line of register.jsonl lacked its line feed: it was added; the line is whole.", err=True)
    for raised in walked.raised:
        if raised.code != "load.litter" and raised.code != "load.unportable-name":
            click.echo(printable(f"Not registered: {raised.place}: {raised.says}"), err=True)
    click.echo(f"{len(made.new)} registered, {made.already} were before.")
    return ExitCode.FINE
