"""The catalogues of translations: reads the fixed strings out of the code and brings the catalogues up to date.

    python tests/tools/messages.py              the template and all catalogues
    python tests/tools/messages.py de           the template and the German catalogue
    python tests/tools/messages.py --check de   says what is missing or does not fit; changes nothing
    python tests/tools/messages.py --prune de   also drops translations nothing uses any more

Files hold neither dates nor line numbers: the same code makes the same bytes.
"""

import argparse
import re
import sys
from collections import Counter
from io import BytesIO
from pathlib import Path
from string import Formatter

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_file
from babel.messages.frontend import parse_keywords
from babel.messages.pofile import read_po, write_po

import buildbook
from buildbook.load.check import quoted
from buildbook.rules import RULES

PACKAGE = Path(buildbook.__file__).parent
LOCALE = PACKAGE / "locale"
TEMPLATE = LOCALE / "buildbook.pot"
TRANSLATED = ("de", "es", "ja")
# As in dossier/wording.py and records/said.py; a second literal of `_` and `N_` is a context.
KEYWORDS = parse_keywords(
    ["_:1,1t", "_:1,2c,2t", "N_:1,1t", "N_:1,2c,2t", "forms:1,2", "plural:1,2", "said:1", "tallied:1,2"]
)
KINDS = {".py": "python", ".html": "jinja2"}
OPTIONS = {"jinja2": {"trimmed": "true", "silent": "false"}, "python": {}}
# What Babel writes of the day, of itself and of people nobody named.
_NOISE = re.compile(
    rb'^"(?:Project-Id|POT-Creation|PO-Revision|Report-Msgid|Last-Tr|Language-Team|Generated-By)[A-Za-z-]*: .*\n', re.M
)


def strings(package: Path = PACKAGE) -> Catalog:
    """Every fixed string of the code, what findings repeat of the schemas and what the rules tell the reader to do, with the files they stand in."""
    found = Catalog(header_comment="# The fixed strings of buildbook, in English.", fuzzy=False, charset="utf-8")
    for path in sorted(p for p in package.rglob("*") if p.suffix in KINDS):
        kind, name = KINDS[path.suffix], path.relative_to(package.parent).as_posix()
        for line, message, _, context in extract_from_file(kind, path, KEYWORDS, (), OPTIONS[kind]):
            found.add(message, locations=[(name, line)], context=context)
    for text in quoted():
        found.add(text, locations=[("schemas", 0)])
    for rule in RULES:
        found.add(rule.fix, locations=[(f"rule:{rule.code}", 0)])
    return found


def read(path: Path, language: str | None = None) -> Catalog:
    with path.open("rb") as file:
        return read_po(file, locale=language, abort_invalid=True)


def catalogue(language: str) -> Path:
    return LOCALE / language / "LC_MESSAGES" / "buildbook.po"


def written(messages: Catalog) -> bytes:
    """The bytes of a catalogue: by file, without dates and line numbers."""
    made = BytesIO()
    write_po(made, messages, width=110, sort_by_file=True, include_lineno=False)
    return _NOISE.sub(b"", made.getvalue())


def updated(language: str, template: Catalog, prune: bool = False) -> Catalog:
    """The catalogue of a language with the strings of the template; nothing is guessed."""
    path = catalogue(language)
    messages = read(path, language) if path.exists() else Catalog(locale=language)
    messages.header_comment = f"# {messages.locale.english_name} translations of the fixed strings of buildbook."
    messages.fuzzy = False
    # What came back into the code is translated already.
    for message in messages.obsolete.values():
        if messages.get(_first(message), message.context) is None:
            messages.add(message.id, message.string, context=message.context)
    messages.obsolete.clear()
    messages.update(template, no_fuzzy_matching=True, update_header_comment=False)
    if prune:
        messages.obsolete.clear()
    return messages


def places(said: str) -> Counter[str]:
    """The named places of a string and how often each stands in it."""
    return Counter(name for _, name, _, _ in Formatter().parse(said) if name is not None)


def faults(messages: Catalog, template: Catalog) -> list[str]:
    """What keeps a catalogue from being whole, a line each."""
    found = []
    have = {(m.context, _first(m)): m for m in messages if m.id}
    want = {(m.context, _first(m)): m for m in template if m.id}
    found += [f"not in the catalogue: {_named(want[key])}" for key in want if key not in have]
    found += [f"not in the code: {_named(have[key])}" for key in have if key not in want]
    found += [f"obsolete: {_named(m)}" for m in messages.obsolete.values()]
    for key, message in have.items():
        if key in want:
            found += [f"{what}: {_named(message)}" for what in _faults(message, want[key], messages.num_plurals)]
    return found


def _first(message: Message) -> str:
    return message.id if isinstance(message.id, str) else message.id[0]


def _named(message: Message) -> str:
    return f"{_first(message)!r}" + (f" (context {message.context})" if message.context else "")


def _faults(message: Message, asked: Message, plurals: int) -> list[str]:
    counted = isinstance(asked.id, tuple)
    if isinstance(message.id, tuple) != counted or (counted and message.id != asked.id):
        return ["forms differ"]
    said = message.string if isinstance(message.string, tuple | list) else (message.string,)
    if len(said) != (plurals if counted else 1):
        return [f"{len(said)} forms, expected {plurals if counted else 1}"]
    if message.fuzzy:
        return ["fuzzy"]
    if not all(said):
        return ["empty"]
    try:
        filled = [places(one) for one in said]
    except ValueError as fault:
        return [f"not a template ({fault})"]
    ids = message.id if counted else (message.id,)
    # A form for one thing may say "one" without the number; names must never be others.
    asked_places = [places(one) for one in ids]
    if counted:
        known, needed = set().union(*asked_places), set(asked_places[-1])
        wrong = any(not set(f) <= known for f in filled) or not needed <= set(filled[-1])
    else:
        wrong = filled[0] != asked_places[0]
    faults = ["places differ"] if wrong else []
    if not counted and message.id.count("\n") != said[0].count("\n"):
        faults.append("line ends differ")
    return faults


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument(
        "language", nargs="*", choices=[*TRANSLATED, []], metavar="LANGUAGE", help="all where none is named"
    )
    parser.add_argument("--check", action="store_true", help="say what is missing; change nothing")
    parser.add_argument("--prune", action="store_true", help="drop translations nothing uses any more")
    asked = parser.parse_args(arguments)
    template = strings()
    bad = 0
    for language in asked.language or TRANSLATED:
        if not asked.check:
            catalogue(language).parent.mkdir(parents=True, exist_ok=True)
            catalogue(language).write_bytes(written(updated(language, template, asked.prune)))
        if not catalogue(language).exists():
            print(f"{language}: no catalogue")
            bad += 1
            continue
        found = faults(read(catalogue(language), language), template)
        bad += len(found)
        if asked.check:
            print("\n".join(f"{language}: {line}" for line in found))
        print(f"{language}: {len(template)} strings, {len(found)} to be looked at")
    if not asked.check:
        TEMPLATE.write_bytes(written(template))
    return 1 if asked.check and bad else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
