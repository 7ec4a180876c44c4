"""Faults of identity, traceability, people and money: code -> the edit that plants it."""

from __future__ import annotations

from jobs.make_good_minimal import paper
from jobs.planting import OTHER_STEP, STEP, Edit, Folder, both, cell, gone, line

JOB = "job.toml"
CRITICAL = f"{STEP}/step.toml"
GRILLE = f"{OTHER_STEP}/step.toml"
RECEIPT = "documents/receipt-118.pdf"


def approval(decision: str = "approved", date: str = "2026-03-03") -> Edit:
    """A second approval, A2."""
    return lambda f: f.add_row(
        "approvals.csv", id="A2", date=date, what="Polish the grille", decision=decision, given_by="R. Moreau",
        means="letter", document="documents/approval.pdf",
    )  # fmt: skip


def another_receipt(number: str) -> Edit:
    def edit(f: Folder) -> None:
        f.add_row("receipts.csv", document=f"documents/receipt-{number}b.pdf", supplier="Orrin Spares", number=number,
                  date="2026-03-04", net="0", other="12.00", tax="2.28", total="14.28", currency="EUR")  # fmt: skip

    return edit


def built_1984(number: str, market: str = "europe") -> Edit:
    return both(
        line(JOB, "built = 1974", "built = 1984"),
        line(JOB, 'market = "europe"', f'market = "{market}"'),
        line(JOB, 'chassis_number = "SC16-0041207"', f'chassis_number = "{number}"'),
    )


def no_steps(f: Folder) -> None:
    f.remove("steps")
    f.cell("condition.csv", "O1", photos="documents/chassis-number.jpg", outcome="accepted", outcome_refs="A1", grade_out="4")
    f.drop_row("parts.csv", "P1")
    f.drop_row("parts.csv", "P2")
    f.drop_row("receipts.csv", RECEIPT)
    f.drop_row("materials.csv", "M1")
    f.drop_row("readings.csv", "R1")
    f.remove(RECEIPT)
    f.remove("documents/data-sheet-m1.pdf")


IDENTITY: dict[str, Edit] = {
    "identity.no-name": line(JOB, 'marque = "Selmond"'),
    "identity.no-body": line(JOB, 'body = "coupe"'),
    "identity.no-chassis-number": line(JOB, 'chassis_number = "SC16-0041207"'),
    "identity.no-chassis-photo": both(
        line(JOB, 'chassis_number_photo = "documents/chassis-number.jpg"'), gone("documents/chassis-number.jpg")
    ),
    "identity.photo-missing": gone("documents/odometer-in.jpg"),
    "identity.no-engine-number": line(JOB, 'engine_number = "E16-088312"'),
    "identity.no-engine-photo": both(
        line(JOB, 'engine_number_photo = "documents/engine-number.jpg"'), gone("documents/engine-number.jpg")
    ),
    "identity.forbidden-letter": built_1984("WQ1600412A7B41974"),
    "identity.odd-character": built_1984("SC16.0412A7B41974"),
    "identity.check-digit": built_1984("11111111211111111", "north-america"),
    "identity.not-17": built_1984("SC16-0041207", "north-america"),
    "identity.registered-before-built": line(JOB, "built = 1974", "built = 1974\nfirst_registered = 1973-05-02"),
    "identity.built-after-arrival": line(JOB, "built = 1974", "built = 2030"),
    "identity.history-no-basis": line(JOB, 'basis = "owner"'),
    "identity.history-no-document": line(JOB, 'basis = "owner"', 'basis = "document"'),
    "identity.no-odometer-in": line(JOB, "in = 61204"),
    "identity.no-odometer-out": line(JOB, "out = 61211"),
    "identity.odometer-unit": line(JOB, 'unit = "km"'),
    "identity.odometer-falls": line(JOB, "out = 61211", "out = 61199"),
    "identity.odometer-far": line(JOB, "out = 61211", "out = 62211"),
    "identity.odometer-ratio": line(JOB, "out = 61211", "out = 98498"),
    "identity.history-falls": line(JOB, "odometer = 48900", "odometer = 71900"),
    "identity.odometer-digits": line(JOB, "digits = 5", "digits = 4"),
}

OBSERVATIONS: dict[str, Edit] = {
    "observation.none": lambda f: f.drop_row("condition.csv", "O1"),
    "observation.zone-unknown": cell("condition.csv", "O1", zone="brake-front-lft"),
    "observation.no-grade": cell("condition.csv", "O1", grade_in=""),
    "observation.no-photo": cell("condition.csv", "O1", zone="brake-front-right", photos=""),
    "observation.photo-missing": cell("condition.csv", "O1", photos=f"{STEP}/before/hoses.jpg"),
    "observation.no-outcome": cell("condition.csv", "O1", outcome=""),
    "observation.unknown-outcome-ref": cell("condition.csv", "O1", outcome_refs="P1|P9"),
    "observation.corrected-by-nothing": cell("condition.csv", "O1", outcome_refs="A1"),
    "observation.accepted-without-approval": cell("condition.csv", "O1", outcome="accepted"),
    "observation.no-grade-out": cell("condition.csv", "O1", grade_out=""),
    "observation.grade-worse": cell("condition.csv", "O1", grade_out="5"),
    "observation.not-better": cell("condition.csv", "O1", grade_out="4"),
}

AGREED: dict[str, Edit] = {
    "approvals.unused": approval(),
    "approvals.document-missing": gone("documents/approval.pdf"),
    "approvals.no-document": both(cell("approvals.csv", "A1", document=""), gone("documents/approval.pdf")),
    "approvals.no-means": cell("approvals.csv", "A1", means=""),
    "approvals.no-giver": cell("approvals.csv", "A1", given_by=""),
    "steps.none": no_steps,
    "steps.no-zone": line(GRILLE, 'zones = ["grille"]'),
    "steps.zone-unknown": line(GRILLE, 'zones = ["grille"]', 'zones = ["grille", "grill"]'),
    "steps.no-operation": line(GRILLE, 'operation = "clean"'),
    "steps.approval-unknown": line(GRILLE, 'approvals = ["A1"]', 'approvals = ["A1", "A7"]'),
    "steps.approval-declined": both(approval("declined"), line(GRILLE, 'approvals = ["A1"]', 'approvals = ["A1", "A2"]')),
    "steps.not-agreed": both(line(GRILLE, 'approvals = ["A1"]'), cell("parts.csv", "P2", step="")),
    "steps.unapproved-work": both(line(GRILLE, 'approvals = ["A1"]'), cell("parts.csv", "P2", approval="")),
    "steps.no-work-text": line(GRILLE, 'work_done = "Washed with water and a soft brush; nothing taken off."'),
    "steps.no-outcome": line(GRILLE, 'outcome = "Clean, with its marks of age."'),
    "steps.open-item-zone": lambda f: f.append(JOB, '\n[[open_items]]\nwhat = "Lamp seal weeps"\nzone = "lamp-rear"\n'),
}

PEOPLE: dict[str, Edit] = {
    "people.unknown": line(GRILLE, 'done_by = ["AB"]', 'done_by = ["AB", "XY"]'),
    "people.statement-unknown": cell("parts.csv", "P1", stated_by="somebody at the fair"),
    "people.no-doer": line(GRILLE, 'done_by = ["AB"]'),
    "people.critical-unchecked": line(CRITICAL, 'checked_by = ["CD"]'),
    "people.critical-self-checked": line(CRITICAL, 'checked_by = ["CD"]', 'checked_by = ["AB"]'),
    "people.critical-no-caution": line(CRITICAL, 'cautions = ["brakes", "lifting"]', 'cautions = ["lifting"]'),
    "people.painting-no-caution": line(GRILLE, 'operation = "clean"', 'operation = "paint"'),
    "people.checker-unqualified": line(JOB, 'qualification = "master mechanic"'),
}

PARTS: dict[str, Edit] = {
    "parts.no-zone": cell("parts.csv", "P1", zone=""),
    "parts.zone-unknown": cell("parts.csv", "P1", zone="brake-front-lft"),
    "parts.no-step": cell("parts.csv", "P1", step=""),
    "parts.step-unknown": cell("parts.csv", "P1", step="030"),
    "parts.outside-step-zones": cell("parts.csv", "P2", zone="bumper-front"),
    "parts.no-part-number": cell("parts.csv", "P1", part_number=""),
    "parts.no-source": cell("parts.csv", "P1", source=""),
    "parts.not-stated-by": cell("parts.csv", "P1", stated_by=""),
    "parts.used-no-donor": cell("parts.csv", "P1", source="used", supplier=""),
    "parts.no-quantity": cell("parts.csv", "P1", quantity=""),
    "parts.quantity-not-positive": cell("parts.csv", "P2", quantity="0"),
    "parts.old-part-unstated": cell("parts.csv", "P1", old_part=""),
    "parts.kept-no-reason": cell("parts.csv", "P2", why=""),
    "parts.replaced-no-reason": cell("parts.csv", "P1", why=""),
    "parts.no-approval": both(cell("parts.csv", "P1", approval=""), line(CRITICAL, 'approvals = ["A1"]')),
    "parts.approval-unknown": cell("parts.csv", "P1", approval="A9"),
    "parts.approval-declined": both(approval("declined"), cell("parts.csv", "P1", approval="A2")),
    "parts.approval-late": both(approval(date="2026-03-05"), cell("parts.csv", "P1", approval="A2")),
    "parts.no-receipt": both(
        cell("parts.csv", "P1", receipt=""), lambda f: f.drop_row("receipts.csv", RECEIPT), gone(RECEIPT)
    ),
    "parts.receipt-missing": gone(RECEIPT),
    "parts.photo-missing": cell("parts.csv", "P1", photos=f"{STEP}/after/hoses.jpg"),
    "parts.no-photo": both(
        cell("parts.csv", "P1", photos="", zone="brake-hydraulics"),
        line(CRITICAL, 'zones = ["brake-front-left"]', 'zones = ["brake-front-left", "brake-hydraulics"]'),
    ),
}

MONEY: dict[str, Edit] = {
    "money.currency-unknown": line(JOB, 'currency = "EUR"', 'currency = "EUX"'),
    "money.no-currency": both(line(JOB, 'currency = "EUR"'), cell("parts.csv", "P1", currency="")),
    "money.too-many-decimals": both(
        cell("parts.csv", "P1", price="38.505", total="38.505"),
        cell("receipts.csv", RECEIPT, net="38.505", total="51.175"),
    ),
    "money.no-price": cell("parts.csv", "P1", price="", total=""),
    "money.line-total": both(
        cell("parts.csv", "P1", total="39.50"), cell("receipts.csv", RECEIPT, net="39.50", total="52.17")
    ),
    "money.receipt-arithmetic": cell("receipts.csv", RECEIPT, total="52.17"),
    "money.receipt-incomplete": cell("receipts.csv", RECEIPT, total=""),
    "money.receipt-lines": cell("receipts.csv", RECEIPT, net="40.00", total="52.67"),
    "money.receipt-unlisted": lambda f: f.drop_row("receipts.csv", RECEIPT),
    "money.receipt-document-missing": another_receipt("119"),
    "money.mixed-currency": cell("parts.csv", "P1", currency="CHF"),
    "money.receipt-twice": both(
        another_receipt("118"), lambda f: f.write("documents/receipt-118b.pdf", paper("Orrin Spares, receipt 118", "carriage"))
    ),
}

PLANTS: dict[str, Edit] = {**IDENTITY, **OBSERVATIONS, **AGREED, **PEOPLE, **PARTS, **MONEY}
