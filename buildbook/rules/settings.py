"""The workshop's own thresholds, from [settings] of job.toml: their names in one table, each with its default."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from difflib import get_close_matches

from buildbook.marking import N_
from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.records.place import Place
from buildbook.records.said import row, said, sentences
from buildbook.rules.grades import QUERY
from buildbook.rules.rule import Rule, rule
from buildbook.trade.brakes import LINING_LIMITS
from buildbook.trade.engine import USUAL_SPREAD, LeakSettings
from buildbook.trade.film import FilmSettings
from buildbook.trade.tyres import JURISDICTIONS

_FILM, _LEAK = FilmSettings(), LeakSettings()
_ANGLES = (15, 25, 45, 75, 110)  # as judged.angle_of reads them
_FEWEST_ANGLES = 3


@dataclass(frozen=True, slots=True)
class Setting:
    """name: key in [settings]. default: a number, a word, or None. words: the values there are, () for a number."""

    name: str
    means: str
    default: Decimal | str | None
    words: tuple[str, ...] = ()


SETTINGS: tuple[Setting, ...] = (
    Setting("tyre_jurisdiction", N_("whose least tread depth holds; local law decides"), None,
            tuple(limit.code for limit in JURISDICTIONS)),
    Setting("lining_jurisdiction", N_("whose least brake lining holds; local law decides"), None,
            tuple(limit.code for limit in LINING_LIMITS)),
    Setting("film_ratio", N_("a panel this many times the car's median is named"), _FILM.ratio),
    Setting("film_above_median_um", N_("a panel this far above the car's median, in µm, is named"), _FILM.above_median),
    Setting("film_spread_um", N_("a panel whose readings spread (s) by more, in µm, is named"), _FILM.spread),
    Setting("film_thin_below_um", N_("a panel thinner than this, in µm, is named before polishing"), _FILM.thin_below),
    Setting("film_remaining_um", N_("least film, in µm, that polishing must leave on a panel"), Decimal(70)),
    Setting("film_acceptance", N_("how fresh paint is held against its nominal film"), "strict",
            ("strict", "lenient", "spots")),
    Setting("effect_angles", N_("angles in degrees at which effect paint is compared, as 15 45 110"), None),
    Setting("disc_sides_mm", N_("brake discs of one axle may differ by this much, in mm"), Decimal("0.5")),
    Setting("lining_sides_mm", N_("brake linings of one axle may differ by this much, in mm"), Decimal(2)),
    Setting("compression_spread_percent", N_("cylinders may differ by this much, in % of the highest"), USUAL_SPREAD),
    Setting("leak_down_percent", N_("greatest leak-down of a cylinder, in %"), _LEAK.fair),
    Setting("system_voltage", N_("nominal voltage of the car's electrics"), "12", ("6", "12", "24")),
    Setting("cure_log_gap_minutes", N_("temperatures logged further apart, in min, prove no cure"), Decimal(15)),
    Setting("photo_blur_below", N_("a photo whose sharpest part is duller is asked about"), Decimal(60)),
    Setting("photo_dark_share", N_("a photo with a greater share all but black is asked about"), Decimal("0.85")),
    Setting("photo_burnt_share", N_("a photo with a greater share all but white is asked about"), Decimal("0.5")),
)  # fmt: skip
_BY_NAME = {setting.name: setting for setting in SETTINGS}


def _number(value: object) -> Decimal | None:
    """A number above 0, by its shortest decimal text, which is what the person wrote."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        return None
    try:
        number = Decimal(str(value))
    except InvalidOperation:
        return None
    return number if number.is_finite() and number > 0 else None


def number(job: Job, name: str) -> Decimal:
    """The setting, or its default where it is not given or cannot be used. Raises KeyError for an unknown name."""
    default = _BY_NAME[name].default
    if not isinstance(default, Decimal):
        raise KeyError(name)
    return _number(job.settings.get(name)) or default


def _word(setting: Setting, value: object) -> str | None:
    """The word as the table writes it, None if it is none of them."""
    written = "" if isinstance(value, bool) else str(value).strip().casefold()
    return next((word for word in setting.words if word.casefold() == written), None)


def choice(job: Job, name: str) -> str:
    """The word chosen, or its default, "" where there is none. Raises KeyError for a setting that is no word."""
    setting = _BY_NAME[name]
    if not setting.words or isinstance(setting.default, Decimal):
        raise KeyError(name)
    return _word(setting, job.settings.get(name, "")) or str(setting.default or "")


def effect_angles(job: Job) -> tuple[int, ...]:
    """The angles an effect paint is compared at; () for a solid paint, or where they cannot be read."""
    return _angles(job.settings.get("effect_angles", ""))


def _angles(value: object) -> tuple[int, ...]:
    parts = value.replace("°", " ").replace(",", " ").split() if isinstance(value, str) else []
    found = {int(part) for part in parts if part.isascii() and part.isdigit()}
    usable = len(found) == len(parts) >= _FEWEST_ANGLES and found <= set(_ANGLES)
    return tuple(sorted(found)) if usable else ()


def film_settings(job: Job) -> FilmSettings:
    """Thresholds for reading the thickness map."""
    return FilmSettings(
        ratio=number(job, "film_ratio"),
        above_median=number(job, "film_above_median_um"),
        spread=number(job, "film_spread_um"),
        thin_below=number(job, "film_thin_below_um"),
    )


def _fault(name: str, value: object) -> str:
    if name not in _BY_NAME:
        near = get_close_matches(name, list(_BY_NAME), n=1, cutoff=0.5)
        says = said("There is no setting {setting}; known: {known}.", setting=name, known=row(_BY_NAME))
        return sentences(says, said("Is {setting} meant?", setting=near[0]) if near else "")
    setting, written = _BY_NAME[name], repr(value)
    if name == "effect_angles":
        wrong = said(
            "{setting} is {value}; expected {least} angles or more of {angles}, in one text with blanks between.",
            setting=name, value=written, least=_FEWEST_ANGLES, angles=row(_ANGLES),
        )  # fmt: skip
        return "" if _angles(value) else wrong
    if not setting.words:
        wrong = said("{setting} is {value}; expected a number above 0.", setting=name, value=written)
        return "" if _number(value) is not None else wrong
    wrong = said(
        "{setting} is {value}; expected one of {words}.", setting=name, value=written, words=row(setting.words)
    )
    return "" if _word(setting, value) else wrong


@rule(
    "readings.setting-wrong",
    asks="Is each setting of job.toml known, and its value usable?",
    why="A mistyped setting changes nothing, and nobody notices.",
    fix="Write one of the names there are, or take the line out: "
    + "; ".join(f"{s.name} ({s.means}; default {s.default or 'none'})" for s in SETTINGS)
    + ".",
    **QUERY,
)  # fmt: skip
def setting_wrong(job: Job) -> Iterator[Raised]:
    for name, value in job.settings.items():
        if says := _fault(name, value):
            yield Raised("readings.setting-wrong", Place(job.place.file, key=f"settings.{name}"), says)


SETTING_RULES: tuple[Rule, ...] = (setting_wrong,)
