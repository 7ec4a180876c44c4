"""The reference of the record as Markdown, made from the schemas: text in, text out.

`python -m buildbook.load.reference > docs/record.md` writes the committed page; a test holds it up to date.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from buildbook.load.schemas import TABLES, kind_of
from buildbook.records.cautions import CAUTIONS, DEFERENCE
from buildbook.records.zones import ZONES
from buildbook.schemas import schema

_FORMS = {
    "text": "text", "id": "short name", "code": "text, though it may look like a number", "list": "names, `|` between",
    "file": "path", "files": "paths, `|` between", "zone": "zone", "decimal": "number", "number": "number",
    "grade": "grade 0 to 5", "date": "date", "when": "date or date and time", "currency": "ISO 4217 code",
    "year-or-date": "year, year and month, or date", "texts": "list of names", "zones": "list of zones",
    "integer": "whole number", "string": "text", "boolean": "true or false", "array": "list",
}  # fmt: skip

_INTRO = """\
# The record

*Made from the schemas in `schemas/` by `make docs`; change those, not this page.*

A job folder holds plain files: TOML for what is written once, CSV (or a workbook of the same name) for tables, photos
and papers as they are. Everything is optional unless it is marked **needed**; what a gate asks beyond that is in
[the rules](rules.md).

    JOB/
      job.toml            the job, the workshop, the client, the vehicle, people, instruments
      condition.csv       observations at intake
      approvals.csv       what the client decided
      parts.csv           the parts register
      receipts.csv        what each receipt says
      materials.csv       batches of paint, coating, cleaner, fluid
      readings.csv        measured values
      steps/NNN-name/     step.toml, and photos in before/, during/, after/ or one zone's folder deeper
      documents/          receipts, certificates, approvals, earlier papers
      inbox/              photos not yet filed; empty at handover
      issued/             a small JSON and the record of each issue, written by the program

## How values are written

- **Dates**: `2026-03-02`. With a time: `2026-03-02T10:05` in the job's time zone, or with an offset,
  `2026-03-02T10:05:00+01:00`.
- **Numbers**: plain digits, a point before the decimals: `1234.5`. No thousands separator, no unit. A decimal comma is
  read in a table whose columns are separated by semicolons or tabs.
- **Numbers that are names** (part, batch, serial, chassis numbers) are text: in TOML in quotes, in a spreadsheet in a
  column formatted as text, so that leading zeros stay.
- **Lists**: in a table with `|` between, in TOML in square brackets.
- **Paths**: relative to the job folder, `/` between (in step.toml relative to the step's folder).
- **Headings, words and zones** may be written with capitals and blanks: `Part number`, `New old stock`, `Brake front
  left`.
- **CSV**: UTF-8, or UTF-16 with its mark; comma, semicolon or tab; any line ending; texts that hold a separator in
  double quotes. Rows are numbered as a spreadsheet shows them: the headings are row 1, and a line break within quotes
  starts no new row.
- **Workbooks** (`.xlsx`): the sheet named as the table, else the first. Formulas count with their saved result.
- Files named `ABOUT.txt`, `README.txt` or `README.md` explain a folder and claim nothing.
"""


def reference(read: Callable[[str], Mapping[str, Any]] = schema) -> str:
    """The whole page. read: gives a schema by its name."""
    lines = [_INTRO, *_job(read("job")), *_document(read("step"), "steps/NNN-name/step.toml", "step.toml")]
    for name in TABLES:
        lines += _document(read(name), f"{name}.csv", f"{name}.csv")
    lines += _document(read("issue"), "issued/NNN.json", "issued/NNN.json")
    lines += _zones()
    lines += _cautions()
    lines.append(
        "\n## record.json\n\n"
        + str(read("record")["description"])
        + " Its schema, `schemas/record.schema.json`, names every field."
    )
    return "\n".join(lines).rstrip("\n") + "\n"


def _job(job: Mapping[str, Any]) -> Iterator[str]:
    yield f"## job.toml\n\n{_about(job, 'job.toml')}"
    for name, part in job["properties"].items():
        if part.get("type") == "array":
            yield f"\n### [[{name}]]\n\n{part['description']}\n"
            yield from _fields(part["items"])
        elif "properties" in part:
            yield f"\n### [{name}]\n\n{part['description']}\n"
            yield from _fields(part)
        else:
            yield f"\n### [{name}]\n\n{part['description']}"


def _document(found: Mapping[str, Any], title: str, file: str) -> Iterator[str]:
    yield f"\n## {title}\n\n{_about(found, title)}\n"
    yield from _fields(found)
    for name, part in found["properties"].items():
        if "properties" in part.get("items", {}):
            yield f"\n### [[{name}]] of {file}\n\n{part['description']}\n"
            yield from _fields(part["items"])
        elif "properties" in part:
            yield f"\n### [{name}] of {file}\n\n{part['description']}\n"
            yield from _fields(part)


def _about(found: Mapping[str, Any], file: str) -> str:
    text = str(found["description"]).removeprefix(f"{file}: ").removeprefix(f"{file} and ")
    return text[0].upper() + text[1:]


def _fields(table: Mapping[str, Any]) -> Iterator[str]:
    yield "| name | form | meaning | example |"
    yield "|---|---|---|---|"
    needed = table.get("required", ())
    for name, part in table["properties"].items():
        if "properties" in part or "properties" in part.get("items", {}):
            continue  # a table of its own, below
        mark = " **needed**" if name in needed else ""
        meaning = str(part.get("description", ""))
        if words := _words(part):
            meaning += " One of: " + ", ".join(f"`{w}`" for w in words) + "."
        if unit := part.get("x-unit"):
            meaning += f" Unit: {unit}."
        yield f"| `{name}`{mark} | {_form(part)} | {_cell(meaning)} | {_example(part)} |"


def _words(part: Mapping[str, Any]) -> list[str]:
    """The words of a list, unless they have a section of their own."""
    found = part.get("enum") or part.get("items", {}).get("enum") or ()
    return [str(word) for word in found]


def _form(part: Mapping[str, Any]) -> str:
    kind = kind_of(part)
    return {"word": "word", "words": "list of words", "any": "as shown"}.get(kind, _FORMS.get(kind, kind))


def _example(part: Mapping[str, Any]) -> str:
    examples = part.get("examples", ())
    shown = (", ".join(map(str, e)) if isinstance(e, list) else _plain(e) for e in examples)
    return " or ".join(f"`{_cell(text[:40] + '…' if len(text) > 60 else text)}`" for text in shown)


def _plain(example: object) -> str:
    return str(example).lower() if isinstance(example, bool) else str(example)


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def _zones() -> Iterator[str]:
    yield "\n## Zones\n"
    yield "Left and right are as seen from the driver's seat. Work on a zone marked * is safety-critical: a second"
    yield "person checks it."
    yield "\n| zone | what | group | bodies |"
    yield "|---|---|---|---|"
    for zone in ZONES:
        mark = " *" if zone.critical else ""
        bodies = ", ".join(sorted(body.value for body in zone.bodies))
        yield f"| `{zone.name}`{mark} | {zone.title} | {zone.group} | {bodies} |"


def _cautions() -> Iterator[str]:
    yield "\n## Cautions\n"
    yield f"Usual hazards, by the name to write in `cautions` of step.toml. {DEFERENCE}"
    yield "\n| name | what to mind | source |"
    yield "|---|---|---|"
    for caution in CAUTIONS:
        yield f"| `{caution.name}` | {_cell(caution.text)} | {_cell(caution.source)} |"


if __name__ == "__main__":
    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    sys.stdout.write(reference())
