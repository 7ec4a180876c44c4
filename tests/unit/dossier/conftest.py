"""A job with something in every corner of the record, and its dossier."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal

import factory
import pytest

from buildbook.dossier import IssueInfo, build_dossier
from buildbook.records.finding import Finding, Grade
from buildbook.records.job import (
    Aftercare,
    Approval,
    Camera,
    Client,
    HistoryEntry,
    Instrument,
    Issued,
    Job,
    Limit,
    Material,
    Observation,
    Odometer,
    OpenItem,
    Pair,
    Part,
    Person,
    Reading,
    Receipt,
    Step,
    Vehicle,
    Workshop,
)
from buildbook.records.photo import Photo
from buildbook.records.words import (
    Action,
    Basis,
    Body,
    MaterialKind,
    Operation,
    Outcome,
    ReadingStage,
    Source,
)

# Free text a person writes, by record type: each must come out in the dossier, whole.
FREE_TEXT = {
    "Job": ("number", "title", "brief"),
    Workshop: ("name", "address", "phone", "email", "registration"),
    Client: ("name", "address", "phone", "email"),
    Person: ("name", "role", "qualification"),
    Vehicle: (
        "marque", "model", "chassis_number", "engine_number", "gearbox_number", "registration", "colour",
        "paint_code", "notes", "market",
    ),
    Odometer: ("statement",),
    HistoryEntry: ("on", "what"),
    Instrument: ("what", "maker", "serial"),
    Limit: ("source",),
    Camera: ("model", "serial", "timezone", "why"),
    OpenItem: ("what", "why", "advice"),
    Aftercare: ("what", "source"),
    Observation: ("what", "note"),
    Approval: ("what", "given_by", "means"),
    Part: ("what", "part_number", "supplier", "why", "old_part"),
    Receipt: ("supplier", "number"),
    Material: ("maker", "name", "batch"),
    Reading: ("point", "value_text", "detail", "limit_source", "exception"),
    Step: ("title", "work_done", "outcome", "no_before", "no_after"),
    Pair: ("caption",),
}  # fmt: skip
# What is not free text: references, names of files and closed words, which the dossier prints in a form of its own.
NOT_FREE = {
    "Job": ("timezone", "currency", "language", "paper"),
    Vehicle: ("chassis_number_photo", "engine_number_photo"),
    Odometer: ("unit", "photo_in", "photo_out"),
    HistoryEntry: ("document",),
    Person: ("id",),
    Instrument: ("id", "certificate"),
    Limit: ("kind", "zone", "unit"),
    OpenItem: ("zone",),
    Observation: ("id", "zone", "photos", "outcome_refs"),
    Approval: ("id", "document"),
    Part: ("id", "zone", "stated_by", "receipt", "currency", "step", "approval", "photos"),
    Receipt: ("document", "currency"),
    Material: ("id", "steps", "data_sheet"),
    Reading: ("id", "step", "zone", "kind", "unit", "instrument", "by", "approval"),
    Step: ("id", "zones", "done_by", "checked_by", "cautions", "approvals"),
    Pair: ("before", "after"),
}

SEAL, EARLIER = factory.sha("seal"), factory.sha("earlier seal")
POLISH, BRAKES, WHEELS, OUT = "010-polish", "020-brakes", "030-wheels", "040-handover"


def view(step: str, stage: str, name: str, zone: str = "", **changes: object) -> Photo:
    """A photo in a zone folder of a step."""
    path = f"steps/{step}/{stage}/{zone}/{name}" if zone else f"steps/{step}/{stage}/{name}"
    return factory.photo(path, zone=zone, **changes)


def photos() -> tuple[Photo, ...]:
    unreadable = factory.picture(problem="the file ends too early", width=0, height=0)
    timed = factory.picture(taken=datetime(2026, 3, 3, 9, 30, tzinfo=factory.CET), offset_known=True)
    untimed = factory.picture(taken=None, camera="")
    return (
        view(POLISH, "before", "front-left.jpg", "whole"),
        view(POLISH, "before", "swirls.jpg", "bonnet", caption="Swirls under the lamp"),
        view(POLISH, "during", "IMG_0001.jpg", "bonnet", facts=timed),
        view(POLISH, "during", "lost.jpg", "bonnet", facts=unreadable),
        view(POLISH, "after", "swirls.jpg", "bonnet"),
        view(POLISH, "after", "one.jpg", facts=untimed),
        view(BRAKES, "before", "disc.jpg", "brake-front-left"),
        view(BRAKES, "during", "old-and-new.jpg", "brake-front-left"),
        view(BRAKES, "after", "disc.jpg", "brake-front-left"),
        view(WHEELS, "before", "rim-a.jpg", "wheel-front-left"),
        view(WHEELS, "after", "rim-b.jpg", "wheel-front-left"),
        view(OUT, "after", "front-left.jpg", "whole"),
        view(OUT, "after", "odometer.jpg", "instruments"),
    )


def rich_job() -> Job:
    """Every record type at least once, most of them in two forms (said and not said)."""
    pictures = photos()
    documents = tuple(
        factory.document(f"documents/{name}")
        for name in ("approval.pdf", "certificate.pdf", "old-invoice.pdf", "receipt.pdf", "sheet.pdf")
    )
    steps = (
        factory.step(outcome="Clear, two points left as they were.", cautions=("solvents", "own rule")),
        factory.step(
            place=factory.Place(f"steps/{BRAKES}/step.toml"), id=BRAKES, number=20, title="Front brakes",
            zones=("brake-front-left", "brake-front-right"), operation=Operation.REPLACE,
            started=datetime(2026, 3, 5, 8, 0, tzinfo=factory.CET), finished=date(2026, 3, 6), done_by=("AB",),
            checked_by=("CD",), work_done="Discs and pads.\n\nFluid flushed.", outcome="", cautions=("brakes",),
            approvals=("A2",),
        ),
        factory.step(
            place=factory.Place(f"steps/{WHEELS}/step.toml"), id=WHEELS, number=30, title="Wheels",
            zones=("wheel-front-left", "tyre-front-left"), operation=Operation.REFURBISH, started=date(2026, 3, 9),
            finished=date(2026, 3, 10), checked_by=("ZZ",), cautions=("wheels",), approvals=(),
            pairs=(Pair(place=factory.Place(f"steps/{WHEELS}/step.toml"), before="before/wheel-front-left/rim-a.jpg",
                        after="after/wheel-front-left/rim-b.jpg", caption="The rim, kerb side"),),
        ),
        factory.step(
            place=factory.Place(f"steps/{OUT}/step.toml"), id=OUT, number=40, title="Handover", zones=("whole",),
            operation=Operation.HANDOVER, started=date(2026, 3, 20), finished=date(2026, 3, 20), done_by=(),
            work_done="", outcome="", approvals=(), no_before="nothing to compare with",
        ),
    )  # fmt: skip
    return factory.job(
        title="Paint and brakes", brief="Dull paint, pulls to the left when braking.", timezone="Europe/Berlin",
        workshop=Workshop(place=factory.key("workshop"), name="Werkstatt Falk", address="Am Kai 3", phone="0123 45",
                          email="falk@example.org", registration="HRB 99"),
        client=Client(place=factory.key("client"), name="R. Moreau", address="Rue du Lac 9", phone="0456 78",
                      email="moreau@example.org"),
        vehicle=Vehicle(place=factory.key("vehicle"), marque="Arvane", model="Tourer 19", body=Body.ESTATE, built=1972,
                        market="europe", chassis_number="AR19-004721",
                        chassis_number_photo=pictures[5].path, engine_number="19B-0311", registration="QX-417-T",
                        colour="Harbour blue", paint_code="TB-41", notes="Bonnet from another car, per owner."),
        odometer=Odometer(place=factory.key("odometer"), reading_in=61200, reading_out=61204, unit="km", digits=5,
                          photo_out=pictures[12].path, statement="replaced in 1988, per owner"),
        people=(factory.person(qualification="master painter"),
                factory.person(place=factory.key("people.2"), id="CD", name="南 空", role="mechanic")),
        history=(
            HistoryEntry(place=factory.key("history.1"), on="1988", what="Odometer replaced", basis=Basis.OWNER, odometer=61000),
            HistoryEntry(place=factory.key("history.2"), on="1999-05-02", what="Invoice for a respray", basis=Basis.DOCUMENT,
                         document="documents/old-invoice.pdf"),
            HistoryEntry(place=factory.key("history.3"), on="2026", what="Weld seam in the left sill", basis=Basis.SEEN),
        ),
        instruments=(factory.instrument(certificate="documents/certificate.pdf"),
                     factory.instrument(place=factory.key("instruments.2"), id="MIC1", what="micrometer", maker="Orle",
                                        serial="7", calibrated_on=date(2024, 1, 10))),
        limits=(factory.limit(),
                factory.limit(place=factory.key("limits.2"), kind="disc_thickness", min=Decimal("9.0"), max=None, unit="mm",
                              source="stamped on the disc")),
        cameras=(Camera(place=factory.key("cameras.1"), model="Lumet P1", ahead_s=-40, timezone="Europe/Berlin",
                        why="photo of the workshop clock"),),
        open_items=(OpenItem(place=factory.key("open_items.1"), what="Rear lamp crazed", why="no replacement found",
                             advice="look again in spring", zone="lamp-rear-left"),),
        aftercare=(Aftercare(place=factory.key("aftercare.1"), what="Wax the bonnet", due_days=90, source="the workshop"),
                   Aftercare(place=factory.key("aftercare.2"), what="Look at the pads", due_distance=1000)),
        pairs=(),
        observations=(
            factory.observation(grade_in=Decimal(4), grade_out=Decimal("0.5"), note="worse on the left",
                                photos=(pictures[1].path,), outcome=Outcome.CORRECTED, outcome_refs=("10",)),
            factory.observation(id="O2", zone="lamp-rear-left", what="Crazed lens", grade_in=Decimal(2),
                                outcome=Outcome.ACCEPTED, outcome_refs=("A2", "nowhere"), photos=("steps/gone.jpg",)),
            factory.observation(id="O3", zone="", what="Smell of petrol"),
        ),
        approvals=(factory.approval(document="documents/approval.pdf"),
                   factory.approval(id="A2", what="Brakes; lamp stays", given_by="Mme Moreau", means="telephone")),
        parts=(
            factory.part(),
            factory.part(id="P2", action=Action.REPLACE, what="Brake disc", zone="brake-front-left", part_number="00417",
                         quantity=Decimal(2), price=Decimal("40.50"), total=Decimal("81.00"), step=BRAKES, source=None,
                         stated_by="", receipt="", old_part="", photos=(pictures[7].path,), why="below its minimum"),
            factory.part(id="P3", action=Action.REFURBISH, what="Rim", zone="wheel-front-left", source=Source.ORIGINAL,
                         receipt="", total=Decimal("12.00"), currency="SEK", step=WHEELS, supplier="", photos=()),
            factory.part(id="P4", action=Action.PRESERVE, what="Brightwork strip", zone="brightwork", source=Source.ORIGINAL,
                         receipt="", total=None, step="", fitted_on=None, why="no longer obtainable", old_part="", photos=()),
        ),
        receipts=(factory.receipt(supplier="Orrin Spares", number="R-17", on=date(2026, 3, 1), net=Decimal("10.00"),
                                  other=Decimal("2.00"), tax=Decimal("2.28"), total=Decimal("14.28")),),
        materials=(
            factory.material(kind=MaterialKind.POLISH, data_sheet="documents/sheet.pdf", expires=date(2027, 1, 31)),
            factory.material(id="M2", kind=MaterialKind.FLUID, name="Brake fluid grade 4", maker="Helmar", batch="B-0009",
                             steps=("20",)),
            factory.material(id="M3", kind=MaterialKind.COATING, name="Glass coat", maker="Vantor", batch="", steps=(POLISH,)),
        ),
        readings=(
            factory.reading(), factory.reading(value="131", point="2", expanded_uncertainty=Decimal(3)),
            factory.reading(value="74", point="3", exception="thin edge, left as it is", approval="A2"),
            factory.reading(id="", kind="disc_thickness", stage=ReadingStage.BEFORE, step=BRAKES, zone="brake-front-left",
                            value="8.42", unit="mm", instrument="MIC1", on=date(2026, 3, 5), detail="eight points"),
            factory.reading(id="M-17", kind="tyre_date_code", stage=ReadingStage.INTAKE, zone="tyre-front-left",
                            value=None, value_text="3623", unit="", instrument="", point="outer wall"),
            factory.reading(id="", kind="tightening_torque", stage=ReadingStage.AFTER, step=WHEELS, zone="wheel-front-left",
                            value="90", unit="N·m", limit_min=Decimal(85), limit_max=Decimal(95), limit_source="owner's manual",
                            on=datetime(2026, 3, 10, 16, 5, tzinfo=factory.CET)),
        ),
        steps=steps, photos=pictures, documents=documents,
        issued=(Issued(place=factory.Place("issued/001.json"), number=1, issued_on=date(2026, 3, 19), seal=EARLIER,
                       dossier_sha256=factory.sha("dossier"), record_sha256=factory.sha("record")),),
    )  # fmt: skip


def sample_findings() -> tuple[Finding, ...]:
    return (
        Finding("parts.no-receipt", Grade.STOP, factory.row("parts.csv", 3), "P2 has no receipt.", "File it.", "PRAC"),
        Finding("photos.no-time", Grade.NOTE, factory.Place("steps"), "One photo has no time.", "Leave it.", "PRAC"),
    )


def issue_two() -> IssueInfo:
    return IssueInfo(number=2, issued_on=date(2026, 3, 20), draft=False, seal=SEAL, previous_seal=EARLIER)


def draft_issue() -> IssueInfo:
    return IssueInfo(number=0, issued_on=date(2026, 3, 20), draft=True, seal=SEAL, previous_seal="")


@pytest.fixture
def job():
    return rich_job()


@pytest.fixture
def findings():
    return sample_findings()


@pytest.fixture
def issue():
    return issue_two()


@pytest.fixture
def draft():
    return draft_issue()


@pytest.fixture
def dossier(job, findings, issue):
    return build_dossier(job, findings[1:], issue)


@pytest.fixture
def bare():
    """A job folder that says next to nothing."""
    empty = factory.job(
        number="", title="", brief="", received=None, handover=None, currency="", people=(), instruments=(),
        approvals=(), vehicle=Vehicle(place=factory.key("vehicle")), odometer=Odometer(place=factory.key("odometer")),
        workshop=Workshop(place=factory.key("workshop")), client=Client(place=factory.key("client")),
    )  # fmt: skip
    return replace(empty, steps=())


@pytest.fixture
def free_text():
    return FREE_TEXT


@pytest.fixture
def not_free():
    return NOT_FREE
