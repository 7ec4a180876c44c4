"""Numbers, dates and sizes as printed, through the CLDR data that Babel brings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from babel import Locale
from babel.dates import format_date, format_skeleton
from babel.numbers import format_decimal, get_currency_precision, get_decimal_symbol

from buildbook.dossier.language import locale_of
from buildbook.dossier.wording import _
from buildbook.records.job import When
from buildbook.records.languages import DEFAULT

_LONGEST = 26  # digits; a longer number is printed as Python writes it, ungrouped
NBSP = "\u00a0"  # between number and unit: they never part at the end of a line


@dataclass(frozen=True)
class Formats:
    """language: BCP 47 tag of the job. timezone: IANA name; instants with an offset are printed in it."""

    language: str = DEFAULT
    timezone: str = "UTC"

    @cached_property
    def locale(self) -> Locale:
        return locale_of(self.language)

    @cached_property
    def _zone(self) -> ZoneInfo | None:
        try:
            return ZoneInfo(self.timezone)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            return None

    def day(self, on: date | None) -> str:
        """`2 March 2026`, or "not recorded"."""
        if on is None:
            return _("not recorded")
        return format_date(on, "long", locale=self.locale)

    def day_of_year(self, on: date) -> str:
        """`2 March`."""
        return str(format_skeleton("MMMMd", on, locale=self.locale))

    def local(self, when: datetime) -> datetime:
        """The instant on the job's clock; a naive one is left as it is."""
        if when.tzinfo is None or self._zone is None:
            return when
        return when.astimezone(self._zone)

    def when(self, when: When | None) -> str:
        """`2 March 2026` for a day, `2 March 2026, 10:05` for an instant (job's time zone)."""
        if isinstance(when, datetime):
            here = self.local(when)
            return _("{day}, {time}").format(day=self.day(here.date()), time=f"{here:%H:%M}")
        return self.day(when)

    def span(self, start: When | None, end: When | None) -> str:
        """`2 March 2026` or `2 March 2026 – 4 March 2026`; days only."""
        first, last = as_day(start, self), as_day(end, self)
        if first is None and last is None:
            return _("dates not recorded")
        if first == last:
            return self.day(first)
        return _("{first} – {last}").format(first=self.day(first), last=self.day(last))

    def stamp(self, when: datetime) -> str:
        """The dense form of an instant, ISO 8601 order, for indexes: `2026-03-02 10:05`."""
        return f"{self.local(when):%Y-%m-%d %H:%M}"

    def number(self, value: Decimal | int, least: int = 0) -> str:
        """The number with every digit it was given, grouped. least: decimals to show at least."""
        exact = Decimal(value)
        exponent = exact.as_tuple().exponent
        digits = max(least, -exponent if isinstance(exponent, int) else 0)
        if not exact.is_finite() or max(exact.adjusted(), 0) + digits > _LONGEST:
            return str(exact)
        pattern = "#,##0." + "0" * digits if digits else "#,##0"
        return str(format_decimal(exact, format=pattern, locale=self.locale, decimal_quantization=True))

    def amount(self, value: Decimal | int, unit: str) -> str:
        """A number with its unit: `84,312 km`."""
        return f"{self.number(value)}{NBSP}{unit}" if unit else self.number(value)

    def money(self, value: Decimal, currency: str) -> str:
        """`EUR 1,234.50`: the ISO 4217 code first, decimals of the currency or more if more were written."""
        places = int(get_currency_precision(currency)) if currency else 2
        figure = self.number(value, places)
        return f"{currency}{NBSP}{figure}" if currency else figure

    def size(self, octets: int) -> str:
        """A file's size in steps of a thousand: `184 kB`."""
        if octets < 1000:
            return f"{octets}{NBSP}B"
        units = ("kB", "MB", "GB")
        power = next((n for n in (1, 2) if octets < 1000 ** (n + 1)), 3)
        value, unit = Decimal(octets) / 1000**power, units[power - 1]
        shown = value.quantize(Decimal("0.1")) if value < 10 else value.quantize(Decimal(1))
        return f"{self.number(shown)}{NBSP}{unit}"

    def as_written(self, value_text: str, unit: str) -> str:
        """A measured value exactly as it stands in the record, with its unit."""
        return f"{value_text}{NBSP}{unit}" if unit else value_text

    @property
    def decimal_mark(self) -> str:
        return str(get_decimal_symbol(self.locale))


def as_day(when: When | None, formats: Formats) -> date | None:
    """The day of an instant on the job's clock."""
    return formats.local(when).date() if isinstance(when, datetime) else when


def short_hash(sha256: str) -> str:
    """The first 16 hex digits in groups of four, as the seal is shortened."""
    return " ".join(sha256[i : i + 4] for i in range(0, min(16, len(sha256)), 4))
