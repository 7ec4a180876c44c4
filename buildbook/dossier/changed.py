"""What changed since the issue before: files by name and digest, part lines field by field. Only from issue 2 on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from buildbook.dossier import view as at
from buildbook.dossier.model import Block, Column, Heading, Paragraph, Run, Section, Table, TableRow, Text, text
from buildbook.dossier.said import in_language
from buildbook.dossier.view import View
from buildbook.dossier.wording import N_, _, comma, forms, lines, phrase, plural
from buildbook.records.changes import Change, Changes, FieldChange, FileChange, PartChange

MOST_ROWS = 120  # of each table; the rest is counted, and stands in the two records
_FILES = {
    Change.ADDED: forms("{n} file added", "{n} files added"),
    Change.CHANGED: forms("{n} file changed", "{n} files changed"),
    Change.WITHDRAWN: forms("{n} file withdrawn", "{n} files withdrawn"),
    Change.MOVED: forms("{n} file moved", "{n} files moved"),
}
_PARTS = {
    Change.ADDED: forms("{n} part line added", "{n} part lines added"),
    Change.CHANGED: forms("{n} part line changed", "{n} part lines changed"),
    Change.WITHDRAWN: forms("{n} part line withdrawn", "{n} part lines withdrawn"),
    Change.MOVED: forms("{n} part line moved", "{n} part lines moved"),
}
# The fields of a part line.
_FIELDS = {
    "id": N_("id", "field"), "action": N_("action", "field"), "what": N_("what", "field"), "zone": N_("zone", "field"),
    "part_number": N_("part number", "field"), "quantity": N_("quantity", "field"), "source": N_("source", "field"),
    "stated_by": N_("stated by", "field"), "supplier": N_("supplier", "field"), "receipt": N_("receipt", "field"),
    "price": N_("price", "field"), "total": N_("total", "field"), "currency": N_("currency", "field"),
    "step": N_("step", "field"), "fitted_on": N_("fitted on", "field"), "why": N_("why", "field"),
    "old_part": N_("old part", "field"), "approval": N_("approval", "field"), "photos": N_("photos", "field"),
}  # fmt: skip


def build(view: View) -> tuple[Section, ...]:
    """The section, or nothing where there is no earlier issue."""
    changes = view.issue.changes
    if changes is None:
        return ()
    title = _("What changed since issue {n}").format(n=changes.since)
    return (Section(anchor=at.CHANGES, number="", title=title, blocks=tuple(_blocks(view, changes))),)


def _blocks(view: View, changes: Changes) -> list[Block]:
    if changes.problem:
        why = _("What changed since issue {n} cannot be said: {why}.")
        return [Paragraph(text=text(Run(why.format(n=changes.since, why=in_language(changes.problem)), "warn")))]
    day = view.formats.day(changes.since_on) if changes.since_on else _("an unrecorded day")
    opening = phrase(
        _("This record against that of issue {n}, issued on {day}: {files}; {parts}."),
        n=str(changes.since),
        day=day,
        files=_counted(changes.files, _("no file differs"), _FILES),
        parts=_counted(changes.parts, _("no part line differs"), _PARTS),
    )
    blocks: list[Block] = [Paragraph(text=opening)]
    blocks.append(
        Paragraph(
            text=text(
                _(
                    "Files are compared by name and SHA-256, part lines by their id. The earlier issue stays valid as "
                    "what it said on its day; its seal is named in section 11."
                )
            ),
            style="quiet",
        )
    )
    if changes.parts:
        blocks.append(Heading(level=2, text=_("Part lines"), anchor="sub-changed-parts"))
        blocks += _part_table(view, changes.parts)
    if changes.files:
        blocks.append(Heading(level=2, text=_("Files"), anchor="sub-changed-files"))
        blocks += _file_table(view, changes.files)
    return blocks


def _counted(
    found: tuple[FileChange, ...] | tuple[PartChange, ...], none: str, said: Mapping[Change, tuple[str, str]]
) -> str:
    if not found:
        return none
    tally = Counter(item.change for item in found)
    return comma().join(plural(*said[kind], tally[kind]) for kind in Change if tally[kind])


def _word(change: Change) -> str:
    words = {
        Change.ADDED: _("added"),
        Change.CHANGED: _("changed"),
        Change.WITHDRAWN: _("withdrawn"),
        Change.MOVED: _("moved"),
    }
    return words[change]


def _part_table(view: View, parts: tuple[PartChange, ...]) -> list[Block]:
    rows = []
    for part in parts[:MOST_ROWS]:
        ref = view.evidence.part(part.id)
        name = text(ref) if ref else text(part.id or _("without id"))
        fields = part.fields
        rows.append(
            TableRow(
                cells=(
                    lines(name, (Run(_word(part.change), "quiet"),)),
                    text(part.what),
                    lines(*(text(_field(f.name)) for f in fields)) or text("–"),
                    lines(*(_value(f.was) for f in fields)) or text("–"),
                    lines(*(_value(f.now) for f in fields)) or text("–"),
                )
            )
            if len(fields) <= 1
            else _row_of_many(name, part, fields)
        )
    columns = (
        Column(title=_("Line"), width=1.4),
        Column(title=_("Part"), width=2.6),
        Column(title=_("Field"), width=1.6),
        Column(title=_("Was"), width=2.6),
        Column(title=_("Is"), width=2.6),
    )
    table = Table(columns=columns, rows=tuple(rows), caption=_("Part lines that differ"), dense=True)
    return [table, *_rest(len(parts))]


def _row_of_many(name: Text, part: PartChange, fields: tuple[FieldChange, ...]) -> TableRow:
    """Several fields: each with its name before its value, so that long values cannot slip out of line."""

    def side(values: list[tuple[str, str]]) -> Text:
        return lines(*(phrase(_("{name}: {value}"), name=Run(n, "quiet"), value=_value(v)) for n, v in values))

    named = [(_field(f.name), f) for f in fields]
    return TableRow(
        cells=(
            lines(name, (Run(_word(part.change), "quiet"),)),
            text(part.what),
            text(plural("{n} field", "{n} fields", len(fields))),
            side([(n, f.was) for n, f in named]),
            side([(n, f.now) for n, f in named]),
        )
    )


def _field(name: str) -> str:
    return _(_FIELDS[name], "field") if name in _FIELDS else name


def _value(value: str) -> Text:
    return text(value) if value.strip() else text(Run(_("not given"), "quiet"))


def _file_table(view: View, files: tuple[FileChange, ...]) -> list[Block]:
    rows = []
    for file in files[:MOST_ROWS]:
        ref = view.evidence.file(file.path)
        was = (Run(_("was {path}").format(path=file.was), "quiet"),) if file.was else ()
        rows.append(
            TableRow(cells=(text(_word(file.change)), lines(text(file.path), was), text(ref) if ref else text("–")))
        )
    columns = (
        Column(title=_("Change"), width=1.4, nowrap=True),
        Column(title=_("File"), width=7.4),
        Column(title=_("No."), width=1.2, nowrap=True),
    )
    table = Table(columns=columns, rows=tuple(rows), caption=_("Files that differ"), dense=True)
    return [table, *_rest(len(files))]


def _rest(count: int) -> list[Block]:
    if count <= MOST_ROWS:
        return []
    more = plural("{n} more is in the records of both issues.", "{n} more are in the records of both issues.",
                  count - MOST_ROWS)  # fmt: skip
    return [Paragraph(text=text(more), style="quiet")]
