"""Finding words in text however they are written, and putting something in their place.

Patterns run over a folded copy of the text: without case, accents, invisible characters and Unicode normal form; what
they find is cut from the text as it was written.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

_LETTER = r"[^\W\d_]"
NOT_AFTER_LETTER, NOT_BEFORE_LETTER = rf"(?<!{_LETTER})", rf"(?!{_LETTER})"
BETWEEN = r"[\W_]{0,3}"  # spaces, hyphens, dots between the parts of a name or a plate


def folded(text: str) -> tuple[str, list[int] | None]:
    """A copy for matching, and the place of each of its characters in the text (None: the same)."""
    if text.isascii():
        return text.lower(), None
    made: list[str] = []
    places: list[int] = []
    for n, character in enumerate(text):
        for c in unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", character).casefold()):
            if not unicodedata.combining(c) and unicodedata.category(c) != "Cf":
                made.append(c)
                places.append(n)
    return "".join(made), places


def fold(text: str) -> str:
    """The copy for matching alone."""
    return folded(text)[0]


@dataclass(frozen=True, slots=True)
class Pattern:
    """What is looked for in folded text, and what takes its place. accept: a last look at what was found."""

    regex: re.Pattern[str]
    instead: str
    accept: Callable[[str], bool] | None = None


@dataclass(frozen=True)
class Redactor:
    """Patterns in order: what an earlier one found, a later one cannot. mark: joined where several stand in a row."""

    patterns: tuple[Pattern, ...]
    mark: str

    def __call__(self, text: str) -> str:
        """The text with everything replaced that a pattern finds; the very same object where there is nothing."""
        spans = self._spans(text)
        if not spans:
            return text
        made, at = [], 0
        for start, end, instead in spans:
            made += [text[at:start], instead]
            at = end
        whole = "".join([*made, text[at:]])
        mark = re.escape(self.mark)
        return re.sub(rf"{mark}(?:[\s,.\-]{{0,2}}{mark})+", lambda _match: self.mark, whole)

    def finds(self, text: str) -> bool:
        """True if any pattern finds something."""
        return any(True for _ in self._accepted(text))

    def _spans(self, text: str) -> list[tuple[int, int, str]]:
        taken: list[tuple[int, int, str]] = []
        for start, end, pattern in self._accepted(text):
            if not any(start < other_end and other < end for other, other_end, _ in taken):
                taken.append((start, end, pattern.instead))
        return sorted(taken)

    def _accepted(self, text: str) -> Iterator[tuple[int, int, Pattern]]:
        copy, places = folded(text)
        for pattern in self.patterns:
            for match in pattern.regex.finditer(copy):
                if match.start() == match.end():
                    continue
                start, end = _written(text, match.start(), match.end(), places)
                if pattern.accept is None or pattern.accept(text[start:end]):
                    yield start, end, pattern


def _written(text: str, start: int, end: int, places: list[int] | None) -> tuple[int, int]:
    """Where a piece of folded text stands as it was written, with the marks that belong to its last letter."""
    if places is None:
        return start, end
    first, last = places[start], places[end - 1] + 1
    while last < len(text) and (unicodedata.combining(text[last]) or unicodedata.category(text[last]) == "Cf"):
        last += 1
    return first, last


def any_of(words: Iterable[str]) -> str:
    """A pattern for one of several, the longest first."""
    return "|".join(sorted(set(words), key=lambda w: (-len(w), w)))
