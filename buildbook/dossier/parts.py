"""Section 5: the parts register. What was replaced, what was refurbished, what was kept, each in its own table."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from buildbook.dossier import view as at
from buildbook.dossier.evidence import named, named_files
from buildbook.dossier.model import (
    Block,
    Column,
    Heading,
    Paragraph,
    Ref,
    Run,
    Section,
    Table,
    TableRow,
    Text,
    text,
)
from buildbook.dossier.terms import term
from buildbook.dossier.view import View
from buildbook.dossier.wording import _, comma, given, lines, not_recorded, phrase, together
from buildbook.editions.table import Group, withholds
from buildbook.records.job import Part, Receipt

_Rows = Sequence[tuple[Part, Ref]]


def build(view: View) -> Section:
    groups: list[tuple[str, str, _Rows, str]] = [
        (_("Replaced"), at.REPLACED, [x for x in view.evidence.parts if x[0].replaced], _("No part was replaced.")),
        (
            _("Repaired or refurbished"), at.REFURBISHED,
            [x for x in view.evidence.parts if x[0].refurbished], _("No part was repaired or refurbished."),
        ),
        (_("Kept"), at.KEPT, [x for x in view.evidence.parts if x[0].kept], _("No part is recorded as kept.")),
    ]  # fmt: skip
    unclear = [x for x in view.evidence.parts if x[0].action is None]
    if unclear:
        groups.append((_("Action not recorded"), "sub-no-action", unclear, ""))
    blocks: list[Block] = [
        Paragraph(
            text=text(
                _(
                    "The source of a part is what the person named beside it stated; it was not verified. Amounts are "
                    "for the line, before tax, in the currency of the receipt."
                )
                if shows_money(view)
                else _(
                    "The source of a part is what the person named beside it stated; it was not verified. Amounts of "
                    "money are withheld from this edition."
                )
            ),
            style="quiet",
        )
    ]
    for n, (title, anchor, rows, none) in enumerate(groups, 1):
        blocks.append(Heading(level=2, number=f"5.{n}", text=title, anchor=anchor))
        if rows:
            blocks.append(_table(view, rows, title, anchor == at.KEPT))
            total = totals(view, [p for p, _ref in rows])
            if total:
                blocks.append(Paragraph(text=phrase(_("Total of these lines: {total}."), total=total), style="quiet"))
        else:
            blocks.append(Paragraph(text=text(none)))
    number = len(groups) + 1
    overall = totals(view, list(view.job.parts))
    if overall:
        blocks.append(Paragraph(text=phrase(_("Total of all part lines: {total}."), total=overall)))
    if view.job.receipts:
        blocks.append(Heading(level=2, number=f"5.{number}", text=_("Receipts"), anchor="sub-receipts"))
        blocks.append(_receipts(view))
    return Section(anchor=at.PARTS, number="5", title=_("Parts register"), blocks=tuple(blocks))


def shows_money(view: View) -> bool:
    """Whether this edition tells amounts; where it does not there are no columns for them."""
    return not withholds(view.issue.edition, Group.MONEY)


def totals(view: View, parts: Sequence[Part]) -> str:
    """The sum of the lines for each currency; amounts of different currencies are never added."""
    sums: dict[str, Decimal] = {}
    for part in parts:
        if part.total is not None:
            currency = part.currency or view.job.currency
            sums[currency] = sums.get(currency, Decimal(0)) + part.total
    return comma().join(view.formats.money(value, currency) for currency, value in sorted(sums.items()))


def _table(view: View, rows: _Rows, title: str, kept: bool) -> Table:
    columns = (
        Column(title=_("No."), width=0.9, nowrap=True),
        Column(title=_("Part"), width=2.8),
        Column(title=_("Source, as stated"), width=2.4),
        Column(title=_("State, step, approval") if kept else _("Fitted, approval"), width=2.2),
        Column(title=_("Why kept") if kept else _("Why; the old part"), width=2.9),
        *((Column(title=_("Total"), width=1.5, align="right", nowrap=True),) if shows_money(view) else ()),
    )
    made = tuple(_row(view, part, ref) for part, ref in rows)
    return Table(columns=columns, rows=made, caption=_("Parts register: {title}").format(title=title))


def _row(view: View, part: Part, ref: Ref) -> TableRow:
    cells = [text(ref.label), _what(view, part), _source(view, part), _fitted(view, part), _why(view, part)]
    keys = ["", "", "", part.fitted_on.isoformat() if part.fitted_on else "", ""]
    if shows_money(view):
        cells.append(_total(view, part))
        keys.append(_plain(part.total))
    return TableRow(cells=tuple(cells), anchor=ref.target, keys=tuple(keys))


def _plain(value: Decimal | None) -> str:
    """A number to sort by."""
    return f"{value:f}" if value is not None and value.is_finite() else ""


def _what(view: View, part: Part) -> Text:
    number = part.part_number or (_("not recorded") if part.replaced else "")
    return lines(
        given(part.what),
        view.zone(part.zone),
        (Run(_("number {number}").format(number=number), "quiet"),) if number else (),
        (Run(_("quantity {n}").format(n=view.formats.number(part.quantity)), "quiet"),)
        if part.quantity is not None
        else (),
    )


def _source(view: View, part: Part) -> Text:
    if part.source is None:
        source = not_recorded() if part.replaced else text("–")
    elif part.stated_by:
        who = together([view.person(part.stated_by)])
        source = phrase(_("{source}, stated by {who}, not verified"), source=term(part.source), who=who)
    else:
        source = phrase(_("{source}, nobody named as stating it"), source=term(part.source))
    receipt = named_files(view.evidence, [part.receipt])
    if receipt:
        receipt = phrase(_("receipt {ref}"), ref=receipt)
    elif part.replaced:
        receipt = (Run(_("no receipt on record"), "quiet"),)
    return lines(source, part.supplier, receipt)


def _fitted(view: View, part: Part) -> Text:
    photos = named_files(view.evidence, part.photos)
    approval = named(view.evidence.approval(part.approval), part.approval)
    return lines(
        text(term(part.action)) if part.action and not part.replaced else (),
        text(view.formats.day(part.fitted_on)) if part.fitted_on else not_recorded() if part.replaced else (),
        phrase(_("in {step}"), step=named(view.evidence.step(part.step), part.step)) if part.step else (),
        phrase(_("approval {ref}"), ref=approval) if approval else (Run(_("no approval named"), "quiet"),),
        phrase(_("photos {refs}"), refs=photos) if photos else (Run(_("no photo cited"), "quiet"),),
    )


def _why(view: View, part: Part) -> Text:
    old: Text = ()
    if part.old_part:
        old = phrase(_("Old part: {where}"), where=part.old_part)
    elif part.replaced:
        old = (Run(_("Old part: not recorded"), "quiet"),)
    return lines(given(part.why), old)


def _total(view: View, part: Part) -> Text:
    currency = part.currency or view.job.currency
    if part.total is None and part.price is None:
        return text("–")
    each = part.price is not None and (part.total is None or part.quantity not in (None, Decimal(1)))
    return lines(
        text(view.formats.money(part.total, currency)) if part.total is not None else (),
        (Run(_("each {price}").format(price=view.formats.money(part.price, currency)), "quiet"),)
        if each and part.price is not None
        else (),
    )


def _receipts(view: View) -> Table:
    columns = [
        Column(title=_("Doc."), width=0.9),
        Column(title=_("Supplier and number"), width=2.6),
        Column(title=_("Date"), width=1.7),
    ]
    if shows_money(view):
        columns += [
            Column(title=_("Part lines"), width=1.5, align="right", nowrap=True),
            Column(title=_("Other"), width=1.3, align="right", nowrap=True),
            Column(title=_("Tax"), width=1.3, align="right", nowrap=True),
            Column(title=_("Total"), width=1.5, align="right", nowrap=True),
        ]
    caption = _("Receipts and what they add up to") if shows_money(view) else _("Receipts")
    return Table(
        columns=tuple(columns), rows=tuple(_receipt(view, one) for one in view.job.receipts), caption=caption
    )


def _receipt(view: View, receipt: Receipt) -> TableRow:
    cells: list[Text] = [
        named_files(view.evidence, [receipt.document]) or not_recorded(),
        lines(given(receipt.supplier), receipt.number),
        text(view.formats.day(receipt.on)) if receipt.on else not_recorded(),
    ]
    keys = ["", "", receipt.on.isoformat() if receipt.on else ""]
    if shows_money(view):
        currency = receipt.currency or view.job.currency
        for value in (receipt.net, receipt.other, receipt.tax, receipt.total):
            cells.append(text(view.formats.money(value, currency) if value is not None else "–"))
            keys.append(_plain(value))
    return TableRow(cells=tuple(cells), keys=tuple(keys))
