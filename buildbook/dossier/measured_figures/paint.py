"""Gloss before and after at each angle, and colour against the reference panel."""

from __future__ import annotations

from decimal import Decimal

from buildbook.dossier.drawings.change import ChangeRow, before_after
from buildbook.dossier.drawings.frame import FULL
from buildbook.dossier.drawings.sentences import colour_sentence, gloss_sentence, the
from buildbook.dossier.drawings.strips import StripRow, limits_strip
from buildbook.dossier.measured_figures.common import Entry, by, claim, entries, figure, place, summary, u_of_difference
from buildbook.dossier.measured_figures.general import general_blocks, notes
from buildbook.dossier.model import Block, Claim
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, comma, sentences
from buildbook.records.words import ReadingStage
from buildbook.rules.judged import angle_of, is_reference, reference_of
from buildbook.trade.colour import EFFECT_ANGLES
from buildbook.trade.gloss import gloss_change, proposed_angle

_AFTER = (ReadingStage.AFTER, ReadingStage.HANDOVER)


def gloss_blocks(view: View, kind: str) -> list[Block]:
    """Gain of each panel at one angle; readings without a partner stand in the strip of the general form."""
    angle = int(kind.removeprefix("gloss_"))
    items = entries(view, kind)
    rows: list[ChangeRow] = []
    claims: list[Claim] = []
    used: list[Entry] = []
    for name, group in by([e for e in items if e.counts], lambda e: e.reading.zone).items():
        before = [e for e in group if e.reading.stage in (ReadingStage.BEFORE, ReadingStage.INTAKE)]
        after = [e for e in group if e.reading.stage in _AFTER]
        if not before or not after:
            continue
        one, two = summary(before), summary(after)
        change = gloss_change(angle, one.mean, angle, two.mean)
        u = u_of_difference(one, two)
        said = gloss_sentence(name, change, u)
        better = proposed_angle(two.mean) if angle == 60 else 60
        if better != 60:
            said = sentences(said, _("At this gloss {better}° shows more (after ASTM D523).").format(better=better))
        claims.append(claim(said, [*before, *after]))
        rows.append(
            ChangeRow(label=place(name), before=one, after=two, change=change.gain, uncertainty=u,
                      link=after[0].ref.target)
        )  # fmt: skip
        used += [*before, *after]
    if not rows:
        return general_blocks(view, kind)
    drawing = before_after(rows, quantity=_("Gloss at {angle}°").format(angle=angle), unit="GU")
    said = _("Gloss at {angle}° before and after, mean of the points; bars are U = 2 u of the mean.")
    said = said.format(angle=angle)
    return [*claims, *notes(view, items), figure(drawing, said, used)]


def colour_blocks(view: View, kind: str) -> list[Block]:
    """Each panel's difference from the reference of its step, stage and angle."""
    items = [e for e in entries(view, kind) if not is_reference(e.reading)]
    compared = [e for e in items if e.value is not None]
    blocks: list[Block] = []
    for e in compared:
        reference = reference_of(view.job, e.reading)
        if reference is not None and e.value is not None:
            said = colour_sentence(
                e.reading.zone, _where(e), e.value, reference.zone, e.word if e.judged.judged else "", e.high
            )
            blocks.append(claim(said, [e, *(r for r in entries(view, kind) if r.reading is reference)]))
    blocks += _missing_angles(items)
    if compared:
        rows = [_row(e) for e in sorted(compared, key=lambda e: (e.order, e.reading.step))]
        quantity = _("Colour difference from the reference panel, ΔE00")
        drawing = limits_strip(rows, quantity=quantity, unit="", width=FULL)
        said = _("Colour difference CIEDE2000 of each panel from the reference measured with it.")
        blocks.append(figure(drawing, said, compared))
    return [*blocks, *notes(view, items)]


def _where(e: Entry) -> str:
    return comma().join(part for part in (e.reading.point, e.stage) if part)


def _row(e: Entry) -> StripRow:
    label = " · ".join(p for p in (place(e.reading.zone), e.stage, e.reading.point) if p)
    value = e.value if e.value is not None else Decimal(0)
    return StripRow(
        label=label, value=value, uncertainty=e.judged.uncertainty, lower=None, upper=e.high, word=e.word, places=2,
        link=e.ref.target,
    )  # fmt: skip


def _missing_angles(items: list[Entry]) -> list[Block]:
    """Where angles are written, three are needed: a missing one is no verdict on the match."""
    blocks: list[Block] = []
    angled = [e for e in items if angle_of(e.reading) is not None and e.value is not None]
    for (name, stage), group in by(angled, lambda e: (e.reading.zone, e.stage)).items():
        lacking = [a for a in EFFECT_ANGLES if a not in {angle_of(e.reading) for e in group}]
        if lacking:
            said = _("Colour of {zone}, {stage}: no verdict on the match, {angles} not measured.").format(
                zone=the(name), stage=stage, angles=comma().join(f"{a}°" for a in lacking)
            )
            blocks.append(claim(said, group))
    return blocks
