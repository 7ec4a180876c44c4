"""The private strings of a job, and the patterns that find them in any text."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from decimal import Decimal

from buildbook.editions.money import amount_patterns
from buildbook.editions.redact import BETWEEN, NOT_AFTER_LETTER, NOT_BEFORE_LETTER, Pattern, Redactor, fold
from buildbook.editions.table import Edition, Group, withholds
from buildbook.records.job import Job

MARK = "[withheld]"
# Words of a name that do not give it away alone. Common practice, no source.
_PARTICLES = frozenset((
    "a", "al", "and", "auf", "aus", "bei", "ben", "bin", "da", "das", "de", "dei", "del", "della", "den", "der",
    "di", "die", "do", "dos", "du", "e", "el", "et", "for", "frau", "herr", "ibn", "im", "in", "la", "le", "les",
    "madame", "miss", "mr", "mrs", "ms", "of", "og", "och", "prof", "dr", "sa", "san", "sir", "sr", "sra", "te",
    "ten", "the", "und", "van", "vom", "von", "y", "zu", "zum", "zur",
))  # fmt: skip
_FIRMS = frozenset((
    "ab", "ag", "as", "bv", "co", "company", "corp", "gmbh", "inc", "jr", "kg", "llc", "llp", "ltd", "nv", "oy",
    "plc", "sarl", "sons", "spa", "srl",
))  # fmt: skip
_SHORTEST = 2
_PLATE_SHORTEST = 4  # a shorter plate would be found in numbers of parts and steps: looked for only as written
_PHONE_END = 7  # digits that a telephone number ends in, however it begins


def private_redactor(job: Job, edition: Edition, mark: str = MARK) -> Redactor:
    """Finds names, addresses, plates and the like that an edition withholds, in file names as well as in prose."""
    return Redactor(tuple(_private(job, edition, mark)), mark)


def prose_redactor(job: Job, edition: Edition, mark: str = MARK) -> Redactor:
    """The same, and amounts of money and people's initials, which only make sense in prose."""
    patterns = [*_private(job, edition, mark)]
    if withholds(edition, Group.MONEY):
        patterns += amount_patterns(_currencies(job), _amounts(job), mark)
    if withholds(edition, Group.PEOPLE):
        patterns += [
            Pattern(
                re.compile(rf"(?<![^\W_])(?<!\d[-.]){re.escape(fold(who))}(?![^\W_])(?![-.]\d)"),
                instead,
                lambda found, who=who: found == who,  # type: ignore[misc]
            )
            for who, instead in people_numbers(job).items()
            if len(who) > 1 and who != who.lower()
        ]
    return Redactor(tuple(patterns), mark)


def people_numbers(job: Job) -> dict[str, str]:
    """Id of each person -> T1, T2 ... in the order of the list."""
    return {p.id: f"T{n}" for n, p in enumerate(job.people, 1) if p.id}


def _private(job: Job, edition: Edition, mark: str) -> Iterator[Pattern]:
    client = job.client
    if withholds(edition, Group.CLIENT_CONTACT):
        own = fold(" \n ".join((job.workshop.name, job.workshop.address)))
        yield from _texts((client.email, *_address_parts(client.address, own)), mark)
        if client.phone:
            yield from _phone(client.phone, mark)
    if withholds(edition, Group.PLATE) and job.vehicle.registration:
        yield from _plate(job.vehicle.registration, mark)
    if withholds(edition, Group.CLIENT_NAME):
        yield from _name(client.name, mark)
        known = {fold(client.name), *(fold(t) for p in job.people for t in (p.id, p.name))}
        for giver in dict.fromkeys(a.given_by for a in job.approvals):
            if fold(giver) not in known and _like_name(giver):
                yield from _name(giver, mark)
    if withholds(edition, Group.OTHERS):
        for words in job.editions.private:
            yield from _name(words, mark) if _like_name(words) else _texts((words,), mark)
    if withholds(edition, Group.PEOPLE):
        yield from _people(job, mark)


def _people(job: Job, mark: str) -> Iterator[Pattern]:
    """Names become T1, T2 ...; a part that two people share becomes the mark."""
    numbers = [(f"T{n}", p.name) for n, p in enumerate(job.people, 1) if p.name]
    shared: dict[str, set[str]] = {}
    for number, name in numbers:
        for token in _tokens(name):
            shared.setdefault(fold(token), set()).add(number)
    for number, name in numbers:
        yield from _whole_name(name, number)
    for number, name in numbers:
        tokens = _tokens(name)
        for n, token in enumerate(tokens):
            instead = number if len(shared[fold(token)]) == 1 else mark
            # A given name may be a word of the trade as well ("mark"): alone it counts where it is written as a name.
            given = n < len(tokens) - 1 and len(tokens) > 1
            yield Pattern(_token(token), instead, _as_name if given else None)


def _as_name(found: str) -> bool:
    return found[:1] != found[:1].lower() or found[:1] == found[:1].upper()


def _name(name: str, mark: str) -> Iterator[Pattern]:
    if not name.strip():
        return
    yield from _whole_name(name, mark)
    for token in _tokens(name):
        yield Pattern(_token(token), mark, _as_name if fold(token) in _PARTICLES else None)


def _whole_name(name: str, instead: str) -> Iterator[Pattern]:
    parts = [re.escape(p) for p in re.split(r"[\W_]+", fold(name)) if p]
    if parts and len("".join(parts)) >= _SHORTEST:
        yield Pattern(_bounded(BETWEEN.join(parts), fold(name)), instead)
    inner = re.sub(r"\(.*?\)", " ", name)
    for other in (inner, *re.findall(r"\((.*?)\)", name)):
        if other.strip() and other != name:
            yield from _whole_name(other, instead)


def _tokens(name: str) -> list[str]:
    """The parts of a name that give it away alone: no particles, no initials; hyphenated ones whole and in parts."""
    found: dict[str, None] = {}
    words = [w for w in re.split(r"[\s,;()/&+]+", name) if w]
    for n, word in enumerate(words):
        bare = word.strip(".'’\"-_")
        pieces = [bare, *re.split(r"[-_.’']", bare)]
        for piece in pieces:
            plain = fold(piece)
            letters = sum(c.isalpha() for c in plain)
            # "Le" and "Do" are family names as well: at the end of a name such a word counts.
            particle = plain in _PARTICLES and (n < len(words) - 1 or len(words) == 1)
            if letters >= _SHORTEST and not particle and plain not in _FIRMS:
                found[piece] = None
    return list(found)


def _token(token: str) -> re.Pattern[str]:
    parts = [re.escape(p) for p in re.split(r"[\W_]+", fold(token)) if p]
    return _bounded(BETWEEN.join(parts), fold(token))


def _bounded(pattern: str, plain: str) -> re.Pattern[str]:
    """Between letters it is another word; a genitive or plural s may follow. Scripts without spaces have no bounds."""
    if _spaceless(plain):
        return re.compile(pattern)
    tail = rf"(?=s?{NOT_BEFORE_LETTER})" if len(plain) > 3 else NOT_BEFORE_LETTER
    return re.compile(f"{NOT_AFTER_LETTER}(?:{pattern}){tail}")


def _spaceless(text: str) -> bool:
    names = (unicodedata.name(c, "").split(" ")[0] for c in text if c.isalpha())
    return any(n in {"CJK", "HIRAGANA", "KATAKANA", "THAI", "LAO", "KHMER", "MYANMAR", "HANGUL"} for n in names)


def _like_name(text: str) -> bool:
    """Two to five words, each written as names are."""
    words = re.split(r"[\s,]+", text.strip())
    plain = [w for w in words if fold(w).strip(".") not in _PARTICLES | _FIRMS]
    return 2 <= len(words) <= 5 and bool(plain) and all(_as_name(w) and not w[:1].isdigit() for w in plain)


def _address_parts(address: str, own: str) -> list[str]:
    """An address whole, line by line, and each line without its numbers; what is the workshop's as well is left out."""
    parts = [address, *re.split(r"[,;\n]+", address)]
    parts += [" ".join(w for w in part.split() if not any(map(str.isdigit, w))) for part in parts]
    kept = []
    for part in parts:
        words = " ".join(part.split())
        if len(re.sub(r"[\W_]", "", words)) > 3 and fold(words) not in own:
            kept.append(words)
    return kept


def _texts(texts: Iterable[str], mark: str) -> Iterator[Pattern]:
    """Texts as they are, with any spaces and hyphens."""
    for text in dict.fromkeys(texts):
        parts = [re.escape(p) for p in re.split(r"[\W_]+", fold(text)) if p]
        if parts and len("".join(parts)) >= _SHORTEST:
            yield Pattern(_bounded(BETWEEN.join(parts), fold(text)), mark)


def _phone(phone: str, mark: str) -> Iterator[Pattern]:
    digits = re.sub(r"\D", "", fold(phone))
    between = r"[\s()./\-]{0,3}"
    if len(digits) >= _PHONE_END:
        end = between.join(digits[-_PHONE_END:])
        yield Pattern(re.compile(rf"(?<!\d)[+(]?(?:\d{between}){{0,12}}{end}(?!\d)"), mark)
    if len(digits) >= 4:
        yield Pattern(re.compile(rf"(?<!\d)[+(]?{between.join(digits)}(?!\d)"), mark)


def _plate(plate: str, mark: str) -> Iterator[Pattern]:
    characters = [re.escape(c) for c in fold(plate) if c.isalnum()]
    if len(characters) >= _PLATE_SHORTEST:
        yield Pattern(re.compile(rf"(?<![^\W_]){BETWEEN.join(characters)}(?![^\W_])"), mark)
    elif characters:
        yield Pattern(re.compile(rf"(?<![^\W_]){re.escape(fold(plate))}(?![^\W_])"), mark, lambda found: found == plate)


def _currencies(job: Job) -> frozenset[str]:
    return frozenset(
        c for c in (job.currency, *(p.currency for p in job.parts), *(r.currency for r in job.receipts)) if c
    )


def _amounts(job: Job) -> frozenset[Decimal]:
    """Every amount on record."""
    found = [v for p in job.parts for v in (p.price, p.total)]
    found += [v for r in job.receipts for v in (r.net, r.other, r.tax, r.total)]
    return frozenset(v for v in found if v)
