"""The commands. Each parses, calls one function of the package, prints, and gives an exit code."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import click

from buildbook import __version__
from buildbook.cli.cache import cache as cache_command
from buildbook.cli.cache import say_altered, say_trusted
from buildbook.cli.page import write_page
from buildbook.cli.progress import progress_bar
from buildbook.errors import BuildbookError, ExitCode, WrongUsage
from buildbook.records.finding import Gate, Grade

_FOLDER = click.Path(path_type=Path)


class _Day(click.ParamType[date]):
    name = "YYYY-MM-DD"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> date:
        if isinstance(value, date):
            return value
        try:
            return datetime.strptime(str(value), "%Y-%m-%d").date()
        except ValueError:
            self.fail(f"{value!r} is not a day written as YYYY-MM-DD, e.g. 2026-04-24", param, ctx)


def _today() -> date:
    """The one read of the clock; SOURCE_DATE_EPOCH (reproducible-builds.org) goes before it."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch is None:
        return datetime.now().astimezone().date()
    try:
        return datetime.fromtimestamp(int(epoch), UTC).date()
    except (ValueError, OverflowError, OSError) as error:
        raise WrongUsage(
            f"SOURCE_DATE_EPOCH is {epoch!r}, which is no number of seconds since 1970.", "Correct it or unset it."
        ) from error


def _now() -> datetime:
    """This moment, with its offset."""
    return datetime.now().astimezone()


def now() -> datetime:
    """The same clock to the second, in UTC."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    _today()  # says what is wrong with the variable
    return datetime.fromtimestamp(int(epoch), UTC) if epoch else datetime.now(UTC).replace(microsecond=0)


_EXIT_CODES = (
    "Each command ends with 0 (all is well), 1 (the answer is no: a stop, a failed verification, photos left in "
    "inbox/), 2 (called wrongly), 3 (the input cannot be read), 4 (a fault of ours) or 130 (stopped)."
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]}, epilog=_EXIT_CODES)
@click.version_option(__version__, prog_name="buildbook")
def cli() -> None:
    """Keep the record of a restoration job, check it, and compile it into a sealed dossier."""


cli.add_command(cache_command)


@cli.command()
@click.argument("job", type=_FOLDER)
@click.option("--number", help="Job number, e.g. 2026-014.")
@click.option("--workshop", help="Name of the workshop.")
@click.option("--marque", help="Marque of the vehicle.")
@click.option("--model", help="Model of the vehicle.")
@click.option(
    "--body",
    type=click.Choice(["saloon", "estate", "coupe", "convertible", "van", "motorcycle"]),
    help="Body form; it decides which zones the vehicle has.",
)
@click.option("--odometer", type=click.IntRange(min=0), help="Odometer reading on arrival, without tenths.")
@click.option("--unit", type=click.Choice(["km", "mi"]), help="Unit of the odometer.")
def new(
    job: Path,
    number: str | None,
    workshop: str | None,
    marque: str | None,
    model: str | None,
    body: str | None,
    odometer: int | None,
    unit: str | None,
) -> int:
    """Make an empty job folder JOB whose files explain themselves.

    What is not given by option is asked for. A folder that is already there is not touched.
    """
    from buildbook.newjob import Answers, check_answers, refuse_if_there, write_job

    refuse_if_there(job)
    answers = Answers(
        number=number or click.prompt("Job number", type=str),
        workshop=workshop or click.prompt("Workshop", type=str),
        marque=marque or click.prompt("Marque", type=str),
        model=model or click.prompt("Model", type=str),
        body=body
        or click.prompt(
            "Body", type=click.Choice(["saloon", "estate", "coupe", "convertible", "van", "motorcycle"])
        ),
        odometer=odometer if odometer is not None else click.prompt("Odometer on arrival", type=click.IntRange(min=0)),
        unit=unit or click.prompt("Unit of the odometer", type=click.Choice(["km", "mi"]), default="km"),
        received=_today(),
    )
    check_answers(answers)
    write_job(job, answers)
    click.echo(f"{job} is ready. Begin with job.toml; `buildbook check {job} --gate intake` says what is missing.")
    return ExitCode.FINE


@cli.command()
@click.argument("job", type=_FOLDER)
@click.option(
    "--gate", type=click.Choice([g.value for g in Gate]), default=Gate.HANDOVER.value, show_default=True,
    help="How complete the record must be by now.",
)  # fmt: skip
@click.option("--format", "form", type=click.Choice(["text", "json", "html"]), default="text", show_default=True)
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), help="Write to this file, not the screen.")
@click.option("--as-of", type=_Day(), help="Check as if it were this day (default: today).")
@click.option("--rehash", is_flag=True, help="Read every file again instead of trusting size and time.")
@click.option(
    "--against-job", "others", type=_FOLDER, multiple=True,
    help="Another job's folder: say which photos of JOB are there too. May be given several times.",
)
@click.option("--cache", type=_FOLDER, help="Folder for renditions of photos (default: the user's cache).")
def check(
    job: Path,
    gate: str,
    form: str,
    out: Path | None,
    as_of: date | None,
    rehash: bool,
    others: tuple[Path, ...],
    cache: Path | None,
) -> int:
    """Say what is missing, wrong or implausible in JOB, where, and how to put it right."""
    from buildbook.load import load_job, read_other_job
    from buildbook.photos import Library
    from buildbook.report import findings_json, findings_text
    from buildbook.rules import check_job

    if any(other.resolve() == job.resolve() for other in others):
        raise WrongUsage(f"--against-job names {job} itself.", "Give another job's folder, or leave it out.")
    library = Library(cache)
    loaded = load_job(job, as_of or _today(), library=library, rehash=rehash, progress=progress_bar())
    elsewhere = tuple(read_other_job(other, library=library, progress=progress_bar()) for other in others)
    findings = check_job(replace(loaded.job, elsewhere=elsewhere), loaded.raised, Gate(gate))
    say_trusted(loaded.trusted, len(loaded.job.files), "--rehash reads everything.")
    say_altered(loaded.altered)
    if form == "html":
        from buildbook.report.html import findings_html

        said = findings_html(
            loaded.job, Gate(gate), findings, lambda sha256: library.rendition(sha256, "small").read_bytes()
        )
    else:
        said = (findings_json if form == "json" else findings_text)(loaded.job.number, Gate(gate), findings)
    if out is None:
        click.echo(said, nl=False)
    else:
        write_page(out, said, job)
    return ExitCode.ANSWER_IS_NO if any(f.grade is Grade.STOP for f in findings) else ExitCode.FINE


@cli.command()
@click.argument("job", type=_FOLDER)
def register(job: Path) -> int:
    """Note path, size, SHA-256 and time of each new photo and paper of JOB in its register, which only grows.

    `check` then stops on any of them that is changed or gone. A file that is moved within JOB stays registered.
    """
    from buildbook.cli.register import register_job

    return register_job(job, now())


@cli.command("compile")
@click.argument("job", type=_FOLDER)
@click.option("--out", type=_FOLDER, default=Path("output"), show_default=True, help="Where issues are written.")
@click.option("--issued-on", type=_Day(), help="Date of the issue (default: today, or SOURCE_DATE_EPOCH).")
@click.option("--draft", is_flag=True, help="Compile with open findings; DRAFT on each page, no issue number.")
@click.option(
    "--archive/--no-archive", "folder", default=True, show_default=True,
    help="Write the archive (a BagIt bag with the job folder in it) as a folder in the issue.",
)
@click.option(
    "--zip", "zipped", is_flag=True, help="Write the archive as one ZIP file too (with --no-archive: as that only)."
)
@click.option(
    "--link", is_flag=True,
    help="Archive folder: share bytes with the job folder where the disk can, instead of copying them. "
    "Where it can only link files, a file changed in the job folder later changes in the archive too.",
)
@click.option(
    "--web/--no-web", default=True, show_default=True,
    help="Write the web edition: the dossier as a page for a browser, web/index.html in the issue. "
    "Without it an issue takes as long: it names the digest of the page all the same, so that it can be added later.",
)
@click.option(
    "--edition", "editions", multiple=True, type=click.Choice(["owner", "insurer", "resale"]),
    help="Write this edition too, in a folder beside the owner's; each dossier's last page says what it withholds.",
)  # fmt: skip
@click.option("--sign", "key", type=_FOLDER, help="Sign with this key (of `buildbook keys new`).")
@click.option("--cert", type=_FOLDER, help="The certificate made with the key.")
@click.option("--signer", help="Name of the person who signs.")
@click.option("--timestamp-url", default="", help="Have this authority stamp the PDF's signature (network).")
@click.option("--cache", type=_FOLDER, help="Folder for renditions of photos (default: the user's cache).")
def compile_(
    job: Path,
    out: Path,
    issued_on: date | None,
    draft: bool,
    folder: bool,
    zipped: bool,
    link: bool,
    web: bool,
    editions: tuple[str, ...],
    key: Path | None,
    cert: Path | None,
    signer: str | None,
    timestamp_url: str,
    cache: Path | None,
) -> int:
    """Check JOB at the handover gate and write its dossier and archive; print the path of the PDF and the seal.

    A draft has no archive.
    """
    from buildbook.cli.proof import signing
    from buildbook.compile import Archiving, StopFindings, compile_job
    from buildbook.editions import Edition
    from buildbook.photos import Library
    from buildbook.report import counts_line, findings_text

    signed = signing(key, cert, signer, timestamp_url, draft, now())
    try:
        made = compile_job(
            job,
            out,
            issued_on or _today(),
            draft=draft,
            archiving=Archiving(folder, zipped, link),
            web=web,
            editions=[Edition(name) for name in editions or ("owner",)],
            signing=signed,
            library=Library(cache),
            progress=progress_bar(),
        )
    except StopFindings as error:
        click.echo(findings_text(error.job_number, Gate.HANDOVER, error.findings), nl=False, err=True)
        raise
    say_trusted(made.trusted, made.files, "An issue reads everything.")
    say_altered(made.altered)
    for told in signed.told if signed else ():
        click.echo(told, err=True)
    click.echo(f"dossier   {made.pdf}")
    if made.web:
        click.echo(f"web       {made.web}{' (put right: it had been changed)' if made.mended else ''}")
    for archive in made.archives:
        click.echo(f"archive   {archive}")
    for other in made.editions:
        click.echo(f"edition   {other}")
    click.echo(f"findings  {counts_line(made.findings)}")
    click.echo(f"issue     {'draft' if draft else made.number}{' (as already issued)' if made.already else ''}")
    click.echo(f"seal      {made.seal}")
    return ExitCode.FINE


@cli.command()
@click.argument("path", type=_FOLDER)
@click.option("--against", type=_FOLDER, help="A job folder to compare with, file by file.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--fingerprint", default="", help="SHA-256 of the signer's certificate, as the workshop gave it to you.")
@click.option("--tsa-roots", type=_FOLDER, help="PEM file of roots you rely on for time stamps.")
def verify(path: Path, against: Path | None, form: str, fingerprint: str, tsa_roots: Path | None) -> int:
    """Verify PATH: a dossier PDF, an issue folder or an archive. Names each file that changed, is missing or was added.

    What a stranger sent is read within limits; nothing is unpacked, followed or fetched.
    """
    from buildbook.report import printable
    from buildbook.verify import Given, report_json, report_text, verify_path

    report = verify_path(path, against, Given(fingerprint, tsa_roots))
    click.echo(report_json(report) if form == "json" else printable(report_text(report)), nl=False)
    return ExitCode.FINE if report.ok else ExitCode.ANSWER_IS_NO


@cli.command()
@click.argument("job", type=_FOLDER)
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), help="The PDF to write (default: JOB-cards.pdf here)."
)
@click.option("--step", "steps", multiple=True, metavar="STEP", help="Only this step, by folder name or number.")
@click.option("--stage", "stages", multiple=True, type=click.Choice(["before", "during", "after"]))
@click.option("--zones", is_flag=True, help="A further card for each zone of a step that has several.")
@click.option(
    "--size", type=click.Choice(["quarter", "half"]), default="quarter", show_default=True,
    help="Four cards to a sheet, to cut; or one to a half sheet (A5).",
)  # fmt: skip
@click.option("--clock", is_flag=True, help="Show a clock card here instead, renewed each second: Ctrl-C ends it.")
@click.option("--cache", type=_FOLDER, help="Folder for renditions of photos (default: the user's cache).")
def cards(
    job: Path,
    out: Path | None,
    steps: tuple[str, ...],
    stages: tuple[str, ...],
    zones: bool,
    size: str,
    clock: bool,
    cache: Path | None,
) -> int:
    """Print marker cards for the steps of JOB. Photograph the card, then the work; `file` sorts the photos by them.

    A clock card shows the present second: a photo of it tells how wrong that camera's clock is.
    """
    from buildbook.cli.cards import show_clock, write_cards
    from buildbook.load import load_job
    from buildbook.photos import Library

    loaded = load_job(job, _today(), library=Library(cache), progress=progress_bar()).job
    if clock:
        show_clock(loaded.number, _now)
        return ExitCode.FINE
    target, count, pages = write_cards(
        loaded, _now(), out, steps=steps, stages=stages, zones=zones, four=size == "quarter"
    )
    click.echo(f"{target}  ({count} cards on {pages} pages)")
    return ExitCode.FINE


@cli.command()
@click.argument("job", type=_FOLDER)
@click.option("--dry-run", is_flag=True, help="Show what would go where, and move nothing.")
@click.option(
    "--against", type=_FOLDER, multiple=True, metavar="OTHER_JOB",
    help="Leave photos whose very bytes lie in this other job's folder.",
)  # fmt: skip
@click.option("--cache", type=_FOLDER, help="Folder for renditions of photos (default: the user's cache).")
def file(job: Path, dry_run: bool, against: tuple[Path, ...], cache: Path | None) -> int:
    """Move the photos in JOB/inbox into the steps they belong to; say of the rest why it stays.

    A photo of a marker card speaks for the photos the same camera took after it, that day, up to its next card. A
    photo without one goes to `during` of the step that was open at the time, if there was just one. Photos of cards
    are kept in documents/cards. Exit code 1: something stays in the inbox.
    """
    from buildbook.filing import (
        Filed,
        already_elsewhere,
        carry_out,
        cut_off_text,
        done_text,
        foresee,
        plan_filing,
        plan_text,
        read_inbox,
    )
    from buildbook.photos import Library
    from buildbook.report import printable

    found, waiting = read_inbox(job, _today(), Library(cache), progress=progress_bar())
    plan = plan_filing(found, waiting, already_elsewhere(waiting, against))
    if dry_run:
        click.echo(printable(plan_text(foresee(job, plan), plan.left)), nl=False)
        return ExitCode.ANSWER_IS_NO if plan.left else ExitCode.FINE
    filed: list[Filed] = []
    try:
        done = carry_out(job, plan, progress_bar(), filed.append)
    except (BuildbookError, KeyboardInterrupt) as stopped:
        click.echo(printable(cut_off_text(filed, len(plan.moves))), nl=False)
        if isinstance(stopped, KeyboardInterrupt) and plan.moves:
            click.echo("Call this again: it goes on where it stopped.", err=True)
        raise
    click.echo(printable(done_text(done)), nl=False)
    return ExitCode.ANSWER_IS_NO if done.left else ExitCode.FINE


@cli.command()
@click.argument("code", required=False)
def rules(code: str | None) -> int:
    """List all rules, or explain one: what it asks, why, how to put it right, and its source."""
    from buildbook.rules import RULES
    from buildbook.rules.reference import rule_line, rule_text

    if code is None:
        for one in RULES:
            click.echo(rule_line(one))
        return ExitCode.FINE
    found = next((one for one in RULES if one.code == code), None)
    if found is None:
        from difflib import get_close_matches

        near = get_close_matches(code, [one.code for one in RULES], n=3)
        raise WrongUsage(
            f"There is no rule {code!r}.",
            f"Did you mean {' or '.join(near)}?" if near else "`buildbook rules` lists all.",
        )
    click.echo(rule_text(found), nl=False)
    return ExitCode.FINE


from buildbook.cli.proof import keys, timestamp  # noqa: E402 - they share this module's clock

cli.add_command(keys)
cli.add_command(timestamp)
