"""Numbers in the cells of a table: decimal comma, thousands separators, and what a spreadsheet makes of digits."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from buildbook.load.refused import Refused, shown
from buildbook.records.said import said

_PLAIN = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_GROUPS = r"[+-]?[1-9][0-9]{0,2}(?P<mark>[.,'’ \u00a0\u2009\u202f])[0-9]{3}(?P<rest>((?P=mark)[0-9]{3})*)"
_GROUPED = re.compile(_GROUPS)
_MANY_GROUPS = re.compile(_GROUPS + "[.,][0-9]+")
_LOOKS = re.compile(r"[+-]?[0-9][0-9.,'’ \u00a0\u2009\u202f]*")


@dataclass(frozen=True, slots=True)
class Style:
    """How a table writes numbers. delimiter: of its columns, "" for a workbook.

    commas, points: whether some number in it can only be read with a decimal comma, or a decimal point.
    """

    delimiter: str
    commas: bool
    points: bool

    @classmethod
    def of(cls, delimiter: str, cells: Iterable[str]) -> Style:
        """The style of a table with these number cells."""
        commas = points = False
        for cell in cells:
            text = minus(cell)
            if _GROUPED.fullmatch(text):
                continue  # 1,234 and 1.234 say nothing of themselves
            commas = commas or bool(_COMMA.fullmatch(text))
            points = points or bool("." in text and _PLAIN.fullmatch(text))
        return cls(delimiter, commas, points)

    def plain(self, text: str) -> str:
        """A number in plain digits with a decimal point; text that is no number at all is returned as it is.

        Raises Refused: load.decimal-comma where a comma cannot be told from a separator, load.bad-number for
        thousands separators.
        """
        text = minus(text)
        if _PLAIN.fullmatch(text) and not (self._reads_commas and self.commas and _GROUPED.fullmatch(text)):
            return text
        grouped = _GROUPED.fullmatch(text)
        if grouped and grouped["mark"] == "." and not grouped["rest"] and not self.commas:
            return text
        if grouped and grouped["mark"] == "," and not grouped["rest"]:
            certain = self._reads_commas and not self.points and (self.delimiter == ";" or self.commas)
            if certain:
                return text.replace(",", ".")
            raise Refused(
                "load.decimal-comma",
                said("{value} may be a decimal comma or a thousands separator.", value=shown(text)),
            )
        if grouped or _MANY_GROUPS.fullmatch(text):
            raise Refused("load.bad-number", said("{value} is written with a thousands separator.", value=shown(text)))
        if _COMMA.fullmatch(text):
            if self._reads_commas:
                return text.replace(",", ".")
            if self.delimiter:
                says = said(
                    "{value} is written with a decimal comma, in a table whose columns are separated by commas.",
                    value=shown(text),
                )
            else:
                says = said("{value} is written with a decimal comma, in a text cell of a workbook.", value=shown(text))
            raise Refused("load.decimal-comma", says)
        return text

    @property
    def _reads_commas(self) -> bool:
        return self.delimiter in (";", "\t")


def number_of(text: str) -> Decimal | None:
    """The number that plain digits write, None for anything else (a code, a colour triple)."""
    return Decimal(text) if len(text) <= 40 and _PLAIN.fullmatch(text) else None


def minus(text: str) -> str:
    """A true minus sign (U+2212) as the one on keyboards."""
    return "-" + text[1:] if text[:1] == "−" else text


def looks_like_number(text: str) -> bool:
    """Whether text is made of digits and what people put between digits."""
    return _LOOKS.fullmatch(minus(text)) is not None


def spreadsheet_number(value: int | float, *, text_column: bool) -> str:
    """A workbook's number cell as text. Workbooks keep 15 significant digits.

    In a column of names the digits are kept as they are, without `.0`. Raises Refused (load.spreadsheet-damage)
    where such a number has more digits than a workbook can hold: the last ones are not what was typed.
    """
    if isinstance(value, int) or value.is_integer():
        whole = int(value)
        if text_column and abs(whole) >= 10**15:
            says = said(
                "{value} has more than 15 digits and is stored as a number: the last digits are lost.",
                value=shown(whole),
            )
            raise Refused("load.spreadsheet-damage", says)
        return str(whole)
    if text_column:
        text = format(Decimal(repr(value)), "f")
        if len(text.strip("-").replace(".", "").lstrip("0")) > 15:
            says = said(
                "{value} is stored as a number: its last digits are the workbook's, not what was typed.",
                value=shown(text),
            )
            raise Refused("load.spreadsheet-damage", says)
        return text
    return format(Decimal(format(value, ".15g")), "f")
