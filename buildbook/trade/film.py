"""Paint film thickness: acceptance, polishing removal, what is left, and what a thickness map hints at.

All thicknesses in µm (any one unit will do, as long as all agree). A total-thickness gauge cannot see the clear coat
alone: removal is total before minus total after at the same marked points. Thresholds for car bodies are settings:
published figures disagree.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from buildbook.records.said import figure, said

from .decision import Decision, judge
from .faults import TradeError
from .statistics import Summary, checked, median, root_sum_square, summarise


class ShareRule(StrEnum):
    """How many readings may lie between the floor and the nominal: the two wordings in use."""

    STRICT = "80-20, fewer than the share (after ISO 19840)"
    LENIENT = "80-20, at most the share (a paint maker's sheet)"


@dataclass(frozen=True, slots=True)
class FilmAcceptance:
    """Result of :func:`accept_80_20`. ``low_share`` is a fraction; ``reasons`` is empty where accepted."""

    accepted: bool
    rule: ShareRule
    summary: Summary
    below_floor: int
    low: int
    low_share: Decimal
    reasons: tuple[str, ...]
    note: str


def accept_80_20(
    readings: Iterable[Decimal],
    nominal: Decimal,
    *,
    rule: ShareRule = ShareRule.STRICT,
    floor: Decimal = Decimal("0.80"),
    share: Decimal = Decimal("0.20"),
    maximum: Decimal | None = None,
) -> FilmAcceptance:
    """Acceptance after ISO 19840:2012: mean and single readings against the nominal thickness.

    Mean >= nominal; every reading >= ``floor`` x nominal; the share of readings from the floor up to below the
    nominal is less than ``share`` (STRICT) or at most ``share`` (LENIENT); none above ``maximum`` if given.
    A rule borrowed from steel structures with rough surfaces, not meant for a nominal below 40 µm.
    Sources: 80 % rule PUB-C; "at most" a paint maker's sheet, PUB-B; "less than" MEM. 90-10 (IMO PSPC, PUB-C)
    is ``floor=0.90, share=0.10, rule=LENIENT``. Raises TradeError for no readings or a nominal not above 0.
    """
    found = checked(readings)
    if not nominal.is_finite() or nominal <= 0:
        raise TradeError("The nominal thickness must be above 0.", "Write the specified thickness.")
    summary = summarise(found)
    limit = floor * nominal
    below_floor = sum(reading < limit for reading in found)
    low = sum(limit <= reading < nominal for reading in found)
    # Compared as counts so that 2 of 10 is exactly a fifth.
    allowed = share * len(found)
    reasons: list[str] = []
    if summary.mean < nominal:
        reasons.append("mean below nominal")
    if below_floor:
        reasons.append("single reading below the floor")
    if low > allowed or (rule is ShareRule.STRICT and low == allowed and low > 0):
        reasons.append("too large a share of low readings")
    if maximum is not None and summary.maximum > maximum:
        reasons.append("single reading above the maximum")
    note = "a rule for steel structures, borrowed"
    if nominal < 40:
        note += "; ISO 19840 is not meant for a nominal below 40 µm"
    return FilmAcceptance(not reasons, rule, summary, below_floor, low, Decimal(low) / len(found), tuple(reasons), note)


@dataclass(frozen=True, slots=True)
class Removal:
    """Film taken off between two summaries of the same points.

    ``u`` is the standard, ``expanded`` the expanded uncertainty (k = 2); both ``None`` where single readings
    leave it unknown. ``grown`` says that the film is thicker afterwards by more than the uncertainty explains.
    """

    before: Summary
    after: Summary
    removed: Decimal
    u: Decimal | None
    expanded: Decimal | None

    @property
    def grown(self) -> bool:
        """Polishing adds nothing: other points, another gauge or a new coat."""
        return self.removed < -(self.expanded or Decimal(0))


def removal(before: Summary, after: Summary, *, u_gauge: Decimal | None = None) -> Removal:
    """Film removed: mean before minus mean after, with u = sqrt(s1²/n1 + s2²/n2) and U = 2 u (GUM 5.1.2).

    Gauge error common to both cancels with the same gauge and zero. For single readings (no s) ``u_gauge``, the
    standard uncertainty of one reading, stands in: u = sqrt(2) u_gauge; without it u is unknown.
    """
    u: Decimal | None = None
    if before.u_mean is not None and after.u_mean is not None:
        u = root_sum_square((before.u_mean, after.u_mean))
    elif u_gauge is not None:
        u = root_sum_square((before.u_mean or u_gauge, after.u_mean or u_gauge))
    return Removal(before, after, before.mean - after.mean, u, None if u is None else 2 * u)


@dataclass(frozen=True, slots=True)
class PointRemoval:
    """Removal over the points measured both times, and the points measured only once."""

    removal: Removal
    points: tuple[str, ...]
    only_before: tuple[str, ...]
    only_after: tuple[str, ...]


def removal_at_points(
    before: Mapping[str, Decimal], after: Mapping[str, Decimal], *, u_gauge: Decimal | None = None
) -> PointRemoval:
    """Removal from readings by marked point; points measured only once are left out and named.

    Raises TradeError where no point was measured both times.
    """
    shared = tuple(sorted(before.keys() & after.keys()))
    if not shared:
        raise TradeError(
            "No point was measured both before and after polishing.",
            "Mark the points, measure at the same ones, and write the same point name.",
        )
    return PointRemoval(
        removal(
            summarise(before[point] for point in shared),
            summarise(after[point] for point in shared),
            u_gauge=u_gauge,
        ),
        shared,
        tuple(sorted(before.keys() - after.keys())),
        tuple(sorted(after.keys() - before.keys())),
    )


def judge_removal(found: Removal, limit: Decimal) -> Decision:
    """Removal against the most that may be taken off, with guard band where the uncertainty is known."""
    return judge(found.removed, upper=limit, expanded_uncertainty=found.expanded)


def judge_remaining(after: Summary, least: Decimal) -> Decision:
    """Mean film left against the least that must stay, with U = 2 u(mean) where known."""
    expanded = None if after.u_mean is None else 2 * after.u_mean
    return judge(after.mean, lower=least, expanded_uncertainty=expanded)


@dataclass(frozen=True, slots=True)
class FilmSettings:
    """Thresholds for reading a thickness map; every one may be set by the job.

    ``ratio``, ``above_median`` and ``spread`` (PRAC): a panel is pointed out when its mean exceeds ``ratio`` x the
    car's own median, or the median by more than ``above_median`` µm, or its s is above ``spread`` µm.
    ``thin_below`` (PUB-C, trade pages say 80-90 µm total): already thinned, or a thin factory film.
    ``least_panels`` (PRAC): with fewer panels there is no median worth the name.
    """

    ratio: Decimal = Decimal("1.5")
    above_median: Decimal = Decimal(50)
    spread: Decimal = Decimal(20)
    thin_below: Decimal = Decimal(80)
    least_panels: int = 4


@dataclass(frozen=True, slots=True)
class ThickPanel:
    """A panel that stands out. ``above`` is its mean less the median of all panels' means."""

    panel: str
    summary: Summary
    median: Decimal
    above: Decimal
    signs: tuple[str, ...]

    @property
    def statement(self) -> str:
        """What may be said: a comparison and what it is consistent with, never what happened."""
        if self.above > 0 and self.signs != ("spread",):
            return said(
                "thicker than this car's own median by {above} µm; consistent with an earlier repaint or repair, which "
                "thickness alone cannot prove",
                above=figure(self.above, ".0f"),
            )
        return said(
            "uneven (s = {spread} µm); consistent with an earlier local repair, which thickness alone cannot prove",
            spread=figure(self.summary.s or Decimal(0), ".0f"),
        )


def signs_of_repair(
    panels: Mapping[str, Iterable[Decimal]], settings: FilmSettings | None = None
) -> tuple[ThickPanel, ...]:
    """Panels that stand out against the car's own median, thickest first. Empty with too few panels."""
    chosen = settings or FilmSettings()
    summaries = {name: summarise(readings) for name, readings in panels.items()}
    if len(summaries) < chosen.least_panels:
        return ()
    middle = median(summary.mean for summary in summaries.values())
    found: list[ThickPanel] = []
    for name, summary in summaries.items():
        above = summary.mean - middle
        signs = []
        if summary.mean > chosen.ratio * middle:
            signs.append("ratio")
        if above > chosen.above_median:
            signs.append("difference")
        if summary.s is not None and summary.s > chosen.spread:
            signs.append("spread")
        if signs:
            found.append(ThickPanel(name, summary, middle, above, tuple(signs)))
    return tuple(sorted(found, key=lambda panel: (-panel.above, panel.panel)))


def too_thin(
    panels: Mapping[str, Iterable[Decimal]], settings: FilmSettings | None = None
) -> tuple[tuple[str, Decimal], ...]:
    """Panels whose lowest reading is below ``thin_below``, with that reading, thinnest first."""
    chosen = settings or FilmSettings()
    lowest = ((name, checked(readings)[0]) for name, readings in panels.items())
    return tuple(sorted((item for item in lowest if item[1] < chosen.thin_below), key=lambda item: (item[1], item[0])))
