"""An empty job folder whose files explain themselves."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from buildbook.errors import AnswerIsNo, WrongUsage
from buildbook.schemas import is_job_number, schema

TABLES = ("condition", "approvals", "parts", "receipts", "materials", "readings")
NOTE_NAME = "ABOUT.txt"
_NOTES = {
    "steps": "One folder for each step of the work, named by number: 010-intake, 020-strip. The step says what; the "
    "folder before, during or after says when.",
    "documents": "Receipts, certificates, approvals and earlier papers, as files. Tables name them by their path.",
    "inbox": "Drop photos here that are not yet filed. It must be empty at handover.",
    "issued": "One small file for each issue of the dossier. The program writes them; leave them as they are.",
}
_STAGES = ("before", "during", "after")


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What `new` asks. unit: "km" or "mi". body: a word of records.words.Body."""

    number: str
    workshop: str
    marque: str
    model: str
    body: str
    odometer: int
    unit: str
    received: date


def refuse_if_there(folder: Path) -> None:
    """Raises AnswerIsNo if there is already something at `folder`; touches nothing."""
    if (folder / "job.toml").exists():
        raise AnswerIsNo(f"{folder} is already a job folder. Nothing was touched.", "Work in it, or give another name.")
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise AnswerIsNo(f"{folder} is already there and not empty. Nothing was touched.", "Give another name.")


def check_answers(answers: Answers) -> None:
    """Raises WrongUsage on an answer that would make the very first check fail."""
    if not is_job_number(answers.number):
        raise WrongUsage(
            f"The job number {answers.number!r} cannot name a folder.",
            "Use letters, digits, dots and hyphens, e.g. 2026-014.",
        )
    for name in ("workshop", "marque", "model"):
        value = getattr(answers, name)
        if not value.strip() or any(not c.isprintable() for c in value):
            raise WrongUsage(f"{name} is {value!r}.", "Give a name of printable characters.")


def write_job(folder: Path, answers: Answers) -> None:
    """Write the folder, whole or not at all. Raises WrongUsage if it cannot be written."""
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        part = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", suffix=".part", dir=folder.parent))
    except OSError as error:
        raise WrongUsage(f"{folder} cannot be made: {error.strerror}.", "Choose another place.") from error
    try:
        for name, content in job_files(answers).items():
            path = part / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content, "utf-8", newline="\n")
        for stage in _STAGES:
            (part / "steps" / "010-intake" / stage).mkdir(parents=True, exist_ok=True)
        part.chmod(0o755)
        if folder.exists():
            folder.rmdir()  # empty: refuse_if_there saw to it
        part.rename(folder)
    except OSError as error:
        says = f"{folder} cannot be written: {error.strerror}."
        raise WrongUsage(says, "Make room or choose another place.") from error
    finally:
        shutil.rmtree(part, ignore_errors=True)


def job_files(answers: Answers) -> dict[str, str]:
    """Path -> text of each file of an empty job folder."""
    files = {"job.toml": _job_toml(answers), "steps/010-intake/step.toml": _step_toml(answers)}
    for table in TABLES:
        files[f"{table}.csv"] = ",".join(schema(table)["properties"]) + "\n"
    for name, note in _NOTES.items():
        files[f"{name}/{NOTE_NAME}"] = note + "\n"
    return files


def toml_string(value: str) -> str:
    """A TOML basic string: quotes and backslashes escaped, control characters as \\uXXXX."""
    escaped = value.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in escaped) + '"'


def _job_toml(a: Answers) -> str:
    q = toml_string
    return f"""\
# The job: what stays the same over all steps. Lines that begin with # are explanations or examples.
# Dates are written 2026-03-02. Anything you do not know, leave out; the check says what is missing and when.

[job]
number = {q(a.number)}
title = ""              # one line, e.g. "Paint, brakes and cabin"
brief = ""              # why the car came in, in the client's sense
received = {a.received.isoformat()}
# handover = 2026-04-24
timezone = "UTC"        # the workshop's, e.g. "Europe/Lisbon"
currency = "EUR"        # ISO 4217
language = "en"
paper = "A4"            # or "Letter"

[workshop]
name = {q(a.workshop)}
# address = ""
# phone = ""
# email = ""

[client]
name = ""
# address = ""

# Everybody whom a step or a table names, by a short id (initials).
# [[people]]
# id = "AB"
# name = "Full name"
# role = "mechanic"
# qualification = ""

[vehicle]
marque = {q(a.marque)}
model = {q(a.model)}
body = {q(a.body)}
# built = 1972
# market = "europe"     # "north-america", "europe", "japan", "other": decides which rules fit the chassis number
chassis_number = ""     # exactly as stamped
chassis_number_photo = ""   # e.g. "steps/010-intake/before/IMG_0001.jpg"
engine_number = ""
engine_number_photo = ""
# gearbox_number = ""
# registration = ""
# colour = ""
# paint_code = ""

[odometer]
in = {a.odometer}
# out = 0
unit = {q(a.unit)}
# digits = 5            # wheels of the counter
# photo_in = ""
# photo_out = ""

# The car's past, one statement an entry, each with what it rests on: "seen", "document" or "owner".
# [[history]]
# on = "1974"
# what = "First registered"
# basis = "document"
# document = "documents/registration-1974.jpg"

# Measuring instruments and their calibration.
# [[instruments]]
# id = "MIC-1"
# what = "micrometer"
# maker = ""
# serial = ""
# calibrated_on = 2026-01-15
# interval_months = 12
# certificate = "documents/mic-1.pdf"

# Limits for readings that state none of their own.
# [[limits]]
# kind = "disc_thickness"
# zone = "brake-front-left"
# min = 9.5
# unit = "mm"
# source = "stamped on the disc"

# What is left undone or unknown, said openly; and what is due after handover.
# [[open_items]]
# what = ""
# why = ""
# [[aftercare]]
# what = ""
# due_days = 180
# source = ""
"""


def _step_toml(a: Answers) -> str:
    return f"""\
# One step of the work. Photos go into the folders before, during and after beside this file; a folder within
# them named by a zone (before/bonnet/) gives the photos that zone.

title = "Intake"
zones = ["whole"]
operation = "intake"    # inspect, dismantle, strip, clean, repair, replace, refurbish, prime, paint, polish, coat ...
started = {a.received.isoformat()}
# finished = {a.received.isoformat()}
done_by = []            # ids of people in job.toml
checked_by = []
work_done = ""
# outcome = ""
# cautions = ["lifting"]
# approvals = ["A1"]
no_after = "Intake records the state on arrival only."
"""
