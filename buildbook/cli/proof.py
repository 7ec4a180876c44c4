"""`buildbook keys`, `buildbook timestamp`, and the options of `compile` that sign."""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildbook.errors import ExitCode, WrongUsage

if TYPE_CHECKING:
    from buildbook.seal.signing import Signing

_FOLDER = click.Path(path_type=Path)
PASSPHRASE = "BUILDBOOK_PASSPHRASE"


def _passphrase(twice: bool) -> str:
    """From the environment, else asked for."""
    given = os.environ.get(PASSPHRASE)
    if given is not None:
        return given
    asked: str = click.prompt("Passphrase of the key", hide_input=True, confirmation_prompt=twice, err=True)
    return asked


def signing(
    key: Path | None, cert: Path | None, signer: str | None, url: str, draft: bool, at: datetime
) -> Signing | None:
    """How an issue is to be signed; None if it is not."""
    if key is None:
        if cert or signer or url:
            raise WrongUsage("--cert, --signer and --timestamp-url go with --sign.", "Give the key with --sign.")
        return None
    if cert is None or not signer:
        raise WrongUsage("--sign needs --cert and --signer.", "Give the certificate, and the name of who signs.")
    if draft:
        raise WrongUsage("A draft is not signed.", "Leave out --sign or --draft.")
    from buildbook.seal.keys import load_signer, need_extra
    from buildbook.seal.signing import Signing

    need_extra()
    return Signing(load_signer(key, cert, _passphrase(False), signer, at), url)


@click.group()
def keys() -> None:
    """The workshop's key for signing."""


@keys.command("new")
@click.option("--out", type=_FOLDER, required=True, help="Folder for the key; not in a job folder.")
@click.option("--name", required=True, help="Name of the workshop, as it will stand in the certificate.")
@click.option("--ec", is_flag=True, help="ECDSA P-256 instead of RSA-3072.")
@click.option("--years", type=click.IntRange(1, 30), default=10, show_default=True, help="How long it holds.")
def keys_new(out: Path, name: str, ec: bool, years: int) -> int:
    """Make a key, locked by a passphrase (asked for, or from BUILDBOOK_PASSPHRASE), and its certificate."""
    from buildbook.cli.commands import now
    from buildbook.seal.keys import CERTIFICATE, KEY, new_keys

    mark = new_keys(out, name, _passphrase(True), now(), ec=ec, years=years)
    click.echo(f"key          {out / KEY}")
    click.echo(f"certificate  {out / CERTIFICATE}")
    click.echo(f"fingerprint  {mark}")
    click.echo("Give clients the fingerprint by another way than the dossier, by letter for example.", err=True)
    return ExitCode.FINE


@click.group()
def timestamp() -> None:
    """Time stamps of an authority on an issue's seal (RFC 3161)."""


@timestamp.command("request")
@click.argument("issue", type=_FOLDER)
@click.option("--out", type=_FOLDER, help="File for the query (default: beside the issue folder, NAME.tsq).")
@click.option("--url", help="Send it to this authority and attach the reply (network).")
def timestamp_request(issue: Path, out: Path | None, url: str | None) -> int:
    """Write a query for the seal of the folder ISSUE, to be sent to an authority.

    If the dossier is signed, write one for its signature too (NAME-signature.tsq).
    """
    from buildbook.seal.publish import write_new
    from buildbook.seal.timestamp import attach, fetch, queries

    target = out or issue.resolve().with_name(f"{issue.resolve().name}.tsq")
    for what, asked in queries(issue).items():
        if url:
            _attached(*attach(issue, fetch(url, asked)))
            continue
        place = target if what == "seal" else target.with_name(f"{target.stem}-{what}{target.suffix}")
        write_new(place, asked)
        click.echo(f"query  {place}  on the {what}")
    return ExitCode.FINE


@timestamp.command("attach")
@click.argument("issue", type=_FOLDER)
@click.argument("replies", type=_FOLDER, nargs=-1, required=True, metavar="REPLY...")
def timestamp_attach(issue: Path, replies: tuple[Path, ...]) -> int:
    """Put an authority's replies into the folder ISSUE, if they stamp that issue's seal or its dossier's signature."""
    from buildbook.errors import InputUnreadable
    from buildbook.seal.timestamp import MOST, attach

    for reply in replies:
        try:
            with reply.open("rb") as stream:
                data = stream.read(MOST + 1)
        except OSError as error:
            raise InputUnreadable(f"{reply} cannot be read: {error.strerror or error}.", "Check the path.") from error
        _attached(*attach(issue, data))
    return ExitCode.FINE


def _attached(name: str, at: datetime) -> None:
    click.echo(f"stamped  {at:%Y-%m-%d %H:%M:%S} UTC, as the authority says: {name}")
