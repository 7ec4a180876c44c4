"""The command about the cache of renditions, and the line that says what was taken from it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from buildbook.errors import ExitCode


@click.command()
@click.option("--clear", is_flag=True, help="Remove what is in it; the next check or compile makes it again.")
@click.option("--cache", "folder", type=click.Path(path_type=Path), help="The folder (default: the user's cache).")
def cache(clear: bool, folder: Path | None) -> int:
    """Say where the cache of photos lies and what it takes; with --clear, empty it. No job folder is touched."""
    from buildbook.photos.housekeeping import cache_use, clear_cache

    used = clear_cache(folder) if clear else cache_use(folder)
    there = "" if clear or used.folder.is_dir() else " (not there)"
    click.echo(f"folder  {used.folder}{there}")
    click.echo(f"photos  {used.photos:,}")
    click.echo(f"jobs    {used.jobs:,}")
    click.echo(f"size    {used.size / 1e6:,.1f} MB in {used.files:,} files{', removed' if clear else ''}")
    return ExitCode.FINE


def say_trusted(trusted: int, total: int, remedy: str) -> None:
    """Tell, on stderr, how many files were not read again. remedy: how to have them read."""
    if trusted:
        files = "1 file was" if trusted == 1 else f"{trusted:,} of {total:,} files were"
        click.echo(f"{files} not read again: size and time are those of the last reading. {remedy}", err=True)


def say_altered(paths: Sequence[str]) -> None:
    """Tell, on stderr, which files have other bytes than at the last reading while their stat is the same."""
    for path in paths:
        click.echo(
            f"{path}: other bytes than at the last reading, though size and times are the same. The disk may be "
            "failing, or somebody changed it so: compare it with the camera or a backup.",
            err=True,
        )
