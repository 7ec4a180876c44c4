"""Texts of what loading finds: files, names and values that cannot be read. The loader raises them itself."""

from __future__ import annotations

from buildbook.rules.grades import NOTE, QUERY, QUERY_AT_HANDOVER, STOP, STOP_AT_HANDOVER, Grades
from buildbook.rules.rule import Rule

_OWN = "this record's own form (schemas/, docs/record.md)"
_PRACTICE = "common practice, no source"


def _text(
    code: str, grades: Grades, asks: str, why: str, fix: str, source: str = _OWN, *, settled: bool = False
) -> Rule:
    return Rule(code=f"load.{code}", asks=asks, why=why, fix=fix, source=source, settled=settled, **grades)


LOADING: tuple[Rule, ...] = (
    # The folder and the names in it.
    _text(
        "unreadable", STOP,
        "Can every file of the job folder be read?",
        "A file that cannot be read cannot be hashed, so it cannot be sealed.",
        "Check its permissions and the disk, or bring the file back from where it was copied.",
    ),
    _text(
        "odd-file", STOP,
        "Does the job folder hold files and folders only?",
        "A pipe, a socket or a device has no fixed content and can stop a program that reads it.",
        "Take it out of the job folder.",
    ),
    _text(
        "link", STOP,
        "Is the job folder free of links?",
        "What a link points at can change, move or be left behind when the folder is copied or archived.",
        "Put the file itself in its place.",
    ),
    _text(
        "odd-name", STOP,
        "Are names of files free of control characters, of marks that turn the direction of text, and of backslashes?",
        "What one reads must be what is stored: names stand in the list of hashes that others check.",
        "Rename the file with letters, digits, - and _.",
        "GNU coreutils, sha256sum (escapes in its lines); Unicode Technical Report 36 (bidirectional text)",
    ),
    _text(
        "name-collision", STOP,
        "Do all names in a folder differ in more than capitals or the way accents are stored?",
        "On many systems one of the two files would overwrite the other when the folder is copied.",
        "Rename one of them; say which in the tables that name it.",
        "The Unicode Standard, caseless matching and UAX 15 (normalisation)",
    ),
    _text(
        "unportable-name", QUERY,
        "Can the names of files be kept on any common system?",
        "The client may open the archive on a system that cannot hold the name.",
        "Rename the file: no device names (CON, NUL, COM1 …), no <>:\"|?*, no dot or blank at the end.",
        "The published file naming rules of Windows (from memory)",
    ),
    _text(
        "litter", NOTE,
        "Is the folder free of what operating systems leave behind?",
        "They change by themselves, and would break the seal.",
        "Nothing needs doing: they are left out.",
        _PRACTICE,
        settled=True,
    ),
    _text(
        "stray-file", QUERY,
        "Does each file lie where the record expects it?",
        "Nothing reads or shows a file elsewhere, so a table under a wrong name looks like a table without rows.",
        "Rename or move it: tables and job.toml at the top, photos in a step or in inbox/, papers in documents/.",
    ),
    _text(
        "too-big", STOP,
        "Are tables and TOML files of a size that people write?",
        "A file far beyond it is damaged, or something else under this name.",
        "Split the table, or take out what does not belong to it; photos and papers are files of their own.",
    ),
    # Steps and photos.
    _text(
        "step-folder-name", STOP_AT_HANDOVER,
        "Is each folder in steps/ named number-name, with a number of its own?",
        "The number is the order of the work, and what tables name a step by.",
        "Rename the folder, as 040-front-brakes.",
    ),
    _text(
        "no-step-file", STOP_AT_HANDOVER,
        "Has each step folder its step.toml?",
        "Photos alone do not say what was done, when and by whom.",
        "Write step.toml into the folder: title, zones, operation, started, finished, done_by, work_done.",
    ),
    _text(
        "photo-outside-stage", STOP_AT_HANDOVER,
        "Do the photos of a step lie in its folder before/, during/ or after/, or in a zone's folder there?",
        "The folder is what says when a photo was taken; nothing else is typed.",
        "Move the file into before/, during/ or after/.",
    ),
    _text(
        "unknown-zone-folder", QUERY,
        "Is each folder below before/, during/ or after/ named by a zone?",
        "The folder gives its photos their zone, by which the dossier puts before beside after.",
        "Rename the folder to a zone of the table in docs/record.md.",
    ),
    # Files as a whole.
    _text(
        "missing-table", QUERY_AT_HANDOVER,
        "Is every table of the record there, if only with its headings?",
        "An absent table may be an empty one, or one that was lost.",
        "Bring it back, or put a table with nothing but the headings there.",
    ),
    _text(
        "two-forms", STOP,
        "Is each table there once, as .csv or as .xlsx?",
        "Two forms of one table drift apart, and only one is read.",
        "Keep the one that is right; take the other out of the folder.",
    ),
    _text(
        "not-utf8", STOP,
        "Are text files UTF-8?",
        "In an older encoding nobody can be sure which letters were meant.",
        "Save the file again as UTF-8: “CSV UTF-8” in a spreadsheet, “Encoding: UTF-8” in an editor.",
        "RFC 3629 (UTF-8); TOML 1.0 asks for it",
    ),
    _text(
        "not-toml", STOP,
        "Do TOML files follow TOML's rules?",
        "Nothing in a file with a fault can be read.",
        "Mend the line that is named: texts in quotes, one name = value a line, each table named once.",
        "TOML 1.0",
    ),
    _text(
        "not-a-table", STOP,
        "Are tables CSV or XLSX files with one row of headings?",
        "Rows that cannot be read are missing from every count of the dossier.",
        "Save the table again from a spreadsheet as “CSV UTF-8” or as .xlsx without a password.",
        "RFC 4180 for quotes and separators",
    ),
    _text(
        "other-sheets", QUERY,
        "Does a workbook hold its table on one sheet?",
        "Other sheets are not read; rows on them are missing.",
        "Name the sheet to be read as the table is named, or move the other sheets elsewhere.",
    ),
    # Headings and rows.
    _text(
        "unknown-column", STOP_AT_HANDOVER,
        "Is each column one of its table?",
        "A column that is not known is not read: what stands in it is missing from the dossier.",
        "Correct the heading, or take the column out.",
    ),
    _text(
        "duplicate-column", STOP,
        "Is each heading there once?",
        "Two columns of one name may say different things.",
        "Take one out, or give it its own heading.",
    ),
    _text(
        "ragged-row", STOP,
        "Has no row more cells than there are headings?",
        "A comma within a text, not in quotes, moves every cell after it into the wrong column.",
        "Put the text in double quotes, or write the row again in a spreadsheet.",
        "RFC 4180, section 2",
    ),
    _text(
        "duplicate-id", STOP,
        "Does each id name one thing?",
        "What refers to an id that two rows share could mean either.",
        "Give one of the rows another id, and correct what refers to it.",
    ),
    # Values.
    _text(
        "missing-field", STOP_AT_HANDOVER,
        "Has each entry the fields without which it says nothing?",
        "An entry without them cannot be printed or referred to.",
        "Fill the field in, or take the entry out.",
    ),
    _text(
        "unknown-key", STOP_AT_HANDOVER,
        "Is each name in a TOML file one that the record knows?",
        "A name that is not known is not read: what it says is missing from the dossier.",
        "Correct the name, or take the line out.",
    ),
    _text(
        "wrong-type", STOP,
        "Are values written as their kind: text in quotes, numbers and dates without, lists in square brackets?",
        "Part, batch and chassis numbers written without quotes would lose their leading zeros.",
        "Write the value as the sentence says.",
        "TOML 1.0",
    ),
    _text(
        "bad-value", STOP,
        "Are values among those that the record knows?",
        "A value that cannot be read is not in the dossier.",
        "Write one of the values named, in the form named.",
    ),
    _text(
        "bad-number", STOP,
        "Are numbers written in plain digits, with a point before the decimals?",
        "1.234 and 1,234 mean different numbers in different places.",
        "Write the number without thousands separator, unit or currency sign: 1234.5.",
        "ISO 80000-1 (no comma or point between groups of digits)",
    ),
    _text(
        "decimal-comma", STOP,
        "Does a decimal comma stand only where it cannot be taken for anything else?",
        "In a table separated by commas 12,5 may be one number or two cells; 1,234 may be a thousand or one.",
        "Write a point (12.5), or save the table with semicolons or tabs between the columns.",
        "ISO 80000-1 (comma or point as the decimal sign)",
    ),
    _text(
        "bad-date", STOP,
        "Are dates written year-month-day?",
        "02/03/2026 is two different days in two countries.",
        "Write 2026-03-02, or 2026-03-02T10:05 with the time; in a spreadsheet format the column as text or ISO date.",
        "ISO 8601-1; RFC 3339 for date and time with an offset",
    ),
    _text(
        "spreadsheet-damage", STOP,
        "Are cells free of what only a spreadsheet's own processing writes?",
        "#REF!, 1.23E+08 or a date in place of a part number: what was typed is lost.",
        "Type it again from the part or paper itself, in a column formatted as text.",
        _PRACTICE,
    ),
    _text(
        "date-for-number", QUERY,
        "Do part, batch and serial numbers not look like dates?",
        "Spreadsheets turn numbers such as 3-12 into dates without asking.",
        "Compare with the part or paper. If a date was made of it, type it again in a column formatted as text.",
        _PRACTICE,
    ),
    _text(
        "formula", STOP,
        "Are formulas in a workbook saved with their results?",
        "Without the result the cell says nothing; this program does not calculate.",
        "Open the workbook in a spreadsheet and save it, or put the value in place of the formula.",
    ),
    _text(
        "odd-character", STOP_AT_HANDOVER,
        "Are texts free of control characters and of marks of lost letters?",
        "They cannot be seen on paper, and can make a text read otherwise than it is stored.",
        "Type the text again at that place.",
        "The Unicode Standard, sections 23.1, 23.7 and 23.8; UAX 9 for the marks of direction",
    ),
    # Earlier issues.
    _text(
        "bad-issue", STOP,
        "Are the files in issued/ as the program wrote them?",
        "They are the chain of issues: the next issue names the last one's seal.",
        "Bring the file back from the issue folder, where it is called issue.json.",
        "RFC 8259 (JSON); schemas/issue.schema.json",
    ),
)  # fmt: skip
