"""Faults of time, photos, readings, text and documents."""

from __future__ import annotations

import io
from datetime import datetime

import piexif
from jobs.pictures import picture
from jobs.planting import OTHER_STEP, STEP, Edit, Folder, both, cell, gone

AFTER = f"{OTHER_STEP}/after/grille.jpg"
BEFORE = f"{OTHER_STEP}/before/grille.jpg"
GRILLE = f"{OTHER_STEP}/step.toml"
READINGS = "readings.csv"
WHEN = datetime(2026, 3, 5, 10, 50)  # when the photo after was taken
_TORQUE = {
    "stage": "handover", "zone": "wheel-front-left", "kind": "tightening_torque", "value": "80", "unit": "N·m",
    "detail": "M12 nut", "instrument": "W1", "by": "CD", "on": "2026-03-20T09:32", "uncertainty": "3", "limit_min": "72",
    "limit_max": "88", "limit_source": "the maker's manual", "point": "nut 3", "id": "R4",
}  # fmt: skip
_GAUGE = "coating thickness gauge"


def words(file: str, old: str, new: str) -> Edit:
    return lambda folder: folder.replace(file, old, new)


def added(file: str, text: str) -> Edit:
    return lambda folder: folder.append(file, text)


def shot(name: str = AFTER, title: str = "Grille, clean", taken: datetime | str | None = WHEN, **more: object) -> Edit:
    """Draw the photo anew."""
    return lambda folder: picture(folder.path(name), title, taken, **more)


def row(**cells: str) -> Edit:
    """One more torque at handover, with these cells changed."""
    return lambda folder: folder.add_row(READINGS, **(_TORQUE | cells))


def instrument(id: str, what: str, **more: str) -> Edit:
    """One more instrument, calibrated on the day before the job."""
    given = {"calibrated_on": "2026-03-01", "interval_months": "12"} | more
    lines = "".join(f"{key} = {value}\n" for key, value in given.items() if value)
    return added("job.toml", f'\n[[instruments]]\nid = "{id}"\nwhat = "{what}"\nmaker = "Tessera"\nserial = "7"\n{lines}')


def limit(kind: str, **more: str) -> Edit:
    lines = "".join(f"{key} = {value}\n" for key, value in more.items())
    return added("job.toml", f'\n[[limits]]\nkind = "{kind}"\n{lines}')


def measured(kind: str, unit: str, *values: str, using: str, what: str, **cells: str) -> Edit:
    """Rows of one kind, point by point, with the instrument they are read on."""

    def edit(folder: Folder) -> None:
        if using and f'id = "{using}"' not in folder.path("job.toml").read_text(encoding="utf-8"):
            instrument(using, what)(folder)
        rest = {
            "stage": "handover", "zone": "bonnet", "kind": kind, "unit": unit, "instrument": using, "by": "CD",
            "on": "2026-03-20T10:00",
        } | cells  # fmt: skip
        for number, value in enumerate(values, 1):
            name = f"{kind}-{rest['stage']}-{rest['zone']}-{number}"
            folder.add_row(READINGS, **({"id": name, "point": str(number), "value": value} | rest))

    return edit


def film(stage: str, *values: str, **cells: str) -> Edit:
    at = {"intake": "2026-03-02T10:00", "before": "2026-03-05T09:10", "after": "2026-03-05T10:40"}[stage]
    step = {"intake": ""}.get(stage, "020")
    cells = {"on": at, "step": step, "stage": stage} | cells
    return measured("film_thickness", "µm", *values, using="G1", what=_GAUGE, **cells)


def polished(*edits: Edit) -> Edit:
    """The second step polishes the bonnet too."""
    return both(
        words(GRILLE, 'zones = ["grille"]', 'zones = ["grille", "bonnet"]'),
        words(GRILLE, 'operation = "clean"', 'operation = "polish"'), *edits,
    )  # fmt: skip


REMOVAL = limit("film_removal", max="7.62", unit='"µm"', source='"the maker\'s data sheet"')
LEFT_EARLIER = both(
    words("job.toml", "handover = 2026-03-20", "handover = 2026-03-19"),
    cell(READINGS, "R2", on="2026-03-19T09:30"), cell(READINGS, "R3", on="2026-03-19T09:31"),
)  # fmt: skip


def approval(on: str) -> Edit:
    return lambda folder: folder.add_row(
        "approvals.csv", id="A2", date=on, what="Clean the grille", decision="approved", given_by="R. Moreau",
        means="letter", document="documents/approval.pdf",
    )  # fmt: skip


def located(folder: Folder) -> None:
    """Give a photo the place where it was taken."""
    path = folder.path(AFTER)
    exif = piexif.load(path.read_bytes())
    exif["GPS"] = {
        piexif.GPSIFD.GPSLatitudeRef: b"N", piexif.GPSIFD.GPSLatitude: ((50, 1), (0, 1), (0, 1)),
        piexif.GPSIFD.GPSLongitudeRef: b"E", piexif.GPSIFD.GPSLongitude: ((8, 1), (0, 1), (0, 1)),
    }  # fmt: skip
    made = io.BytesIO()
    piexif.insert(piexif.dump(exif), path.read_bytes(), made)
    path.write_bytes(made.getvalue())


def camera(model: str, more: str = "") -> Edit:
    return added("job.toml", f'\n[[cameras]]\nmodel = "{model}"\nahead_s = 0\n{more}')


def caption(file: str, more: str = "") -> Edit:
    return added(GRILLE, f'\n[[captions]]\nfile = "{file}"\ntext = "The grille"\n{more}')


def history(what: str) -> Edit:
    return words("job.toml", 'what = "Bought from the first owner"', f'what = "{what}"')


_TIME: dict[str, Edit] = {
    "time.no-received": words("job.toml", "received = 2026-03-02\n", ""),
    "time.no-handover": words("job.toml", "handover = 2026-03-20\n", ""),
    "time.handover-before-received": words("job.toml", "handover = 2026-03-20", "handover = 2026-03-01"),
    "time.handover-ahead": words("job.toml", "handover = 2026-03-20", "handover = 2026-03-21"),
    "time.future": cell("receipts.csv", "documents/receipt-118.pdf", date="2026-12-03"),
    "time.step-not-started": words(GRILLE, "started = 2026-03-05T09:00:00\n", ""),
    "time.step-not-finished": words(GRILLE, "finished = 2026-03-05T11:00:00\n", ""),
    "time.step-ends-before-start": words(GRILLE, "finished = 2026-03-05", "finished = 2026-03-04"),
    "time.step-outside-job": words(GRILLE, "started = 2026-03-05", "started = 2026-02-27"),
    "time.part-outside-step": cell("parts.csv", "P1", fitted_on="2026-03-05"),
    "time.work-before-approval": both(approval("2026-03-10"), words(GRILLE, '["A1"]', '["A2"]')),
    "time.approval-after-handover": both(LEFT_EARLIER, approval("2026-03-20"), words(GRILLE, '["A1"]', '["A1", "A2"]')),
    "time.receipt-after-handover": both(LEFT_EARLIER, cell("receipts.csv", "documents/receipt-118.pdf", date="2026-03-20")),
    "time.material-expired": cell("materials.csv", "M1", expires="2026-03-01"),
    "time.reading-outside-stage": cell(READINGS, "R1", on="2026-03-06T14:20"),
    "time.after-reading-first": row(
        stage="before", step="010", zone="brake-front-left", point="union", value="13.5", uncertainty="0.6", detail="M10 union",
        on="2026-03-04T14:50", limit_min="12", limit_max="16",
    ),
}  # fmt: skip

_PHOTOS: dict[str, Edit] = {
    "photos.step-without-photos": gone(BEFORE, AFTER),
    "photos.none-before": gone(BEFORE),
    "photos.none-after": gone(AFTER),
    "photos.unreadable": lambda folder: folder.write(AFTER, folder.path(AFTER).read_bytes()[:900]),
    "photos.too-small": shot(size=(800, 600)),
    "photos.wrong-format-name": lambda folder: folder.move(AFTER, AFTER.replace(".jpg", ".png")),
    "photos.before-is-after": lambda folder: folder.copy(BEFORE, AFTER),
    "photos.duplicate": lambda folder: folder.copy(BEFORE, f"{OTHER_STEP}/during/grille.jpg"),
    "photos.inbox-not-empty": shot("inbox/more.jpg", "Another view", datetime(2026, 3, 5, 9, 30)),
    "photos.has-location": located,
    "photos.outside-step": shot(taken=datetime(2026, 3, 8, 10, 50)),
    "photos.absurd-time": shot(taken=datetime(2030, 3, 5, 10, 50)),
    "photos.camera-unused": camera("Orbal 7"),
    "photos.after-before-before": shot(taken=datetime(2026, 3, 5, 9, 1)),
    "photos.pair-missing": words(f"{STEP}/step.toml", "after/hose.jpg", "after/hose-new.jpg"),
    "photos.pair-swapped": both(
        words(f"{STEP}/step.toml", 'before = "before/hose.jpg"', 'before = "after/hose.jpg"'),
        words(f"{STEP}/step.toml", '\nafter = "after/hose.jpg"', '\nafter = "before/hose.jpg"'),
    ),
    "photos.caption-missing": caption("after/grill.jpg"),
    "photos.caption-zone-unknown": caption("after/grille.jpg", 'zone = "gril"\n'),
    "photos.folder-zone-unknown": lambda folder: folder.move(AFTER, AFTER.replace("/grille.jpg", "/tank/grille.jpg")),
    "photos.zone-not-in-step": lambda folder: folder.move(AFTER, AFTER.replace("/grille.jpg", "/bonnet/grille.jpg")),
}  # fmt: skip

_TEXT: dict[str, Edit] = {
    "text.unprintable": history("Bought from محمد"),
    "text.stacked-marks": history("Bought from Ne\u0316\u0317\u0318\u0319\u031a\u031bl"),
    "text.damaged": history("Bought from M\u00c3\u00bcller"),
    "text.placeholder": words(GRILLE, 'outcome = "Clean, with its marks of age."', 'outcome = "TODO"'),
    "text.language-unknown": words("job.toml", 'number = "Q-014"', 'number = "Q-014"\nlanguage = "tlh"'),
    "text.too-long": words(GRILLE, "nothing taken off.", "nothing taken off. " * 230),
}

_FILES: dict[str, Edit] = {
    "files.document-missing": gone("documents/data-sheet-m1.pdf"),
    "files.document-empty": lambda folder: folder.write("documents/certificate-w1.pdf", b""),
    "files.document-unreferenced": lambda folder: folder.copy("documents/approval.pdf", "documents/letter.pdf"),
}

_GLOSS = {"using": "L1", "what": "glossmeter", "step": "020", "zone": "bonnet"}
_DISC = {"using": "M1", "what": "micrometer", "zone": "brake-front-left"}
_EIGHT = ("26.42", "26.43", "26.42", "26.41", "26.42", "26.43", "26.42", "26.42")
_FLUID = {"using": "B1", "what": "boiling point tester", "zone": "brake-hydraulics"}
_NOON = {"using": "T1", "what": "thermohygrometer", "stage": "during", "step": "020", "on": "2026-03-05T10:00", "zone": "whole"}

_READINGS: dict[str, Edit] = {
    "readings.custom-kind-wrong": added("job.toml", '\n[[kinds]]\nname = "seal_height"\ntitle = "Seal height"\nunit = "cubit"\n'),
    "readings.setting-wrong": added("job.toml", "\n[settings]\nfilm_thin = 90\n"),
    "readings.kind-unknown": row(kind="torque"),
    "readings.value-form": row(
        kind="tyre_date_code", value="5420", unit="", zone="tyre-front-left", instrument="", limit_min="", limit_max="",
        limit_source="", uncertainty="", detail="",
    ),
    "readings.unit-unknown": row(unit="furlong"),
    "readings.unit-wrong": row(unit="mm"),
    "readings.impossible": row(value="-80"),
    "readings.unit-slip": measured("film_thickness", "mil", "118", using="G1", what=_GAUGE),
    "readings.no-date": row(on=""),
    "readings.no-by": row(by=""),
    "readings.step-unknown": row(step="070"),
    "readings.no-step": row(stage="after", on="2026-03-05"),
    "readings.zone-unknown": row(zone="wheel-front"),
    "readings.zone-unlikely": measured("tyre_tread", "mm", "6", using="D1", what="tread gauge"),
    "readings.zone-not-in-step": row(stage="after", step="020", on="2026-03-05T10:30", zone="lamp-front-left"),
    "readings.no-instrument": row(instrument=""),
    "readings.instrument-unknown": row(instrument="W2"),
    "readings.instrument-unsuited": both(instrument("L1", "glossmeter"), row(instrument="L1")),
    "readings.repeated-row": row(point="nut 2", value="81", on="2026-03-20T09:31", id="R3b"),
    "readings.outside-limits": cell(READINGS, "R3", value="95"),
    "readings.conditional-fail": cell(READINGS, "R3", value="90"),
    "readings.conditional-pass": cell(READINGS, "R3", value="86"),
    "readings.not-measured-again": row(stage="intake", value="60", zone="wheel-rear-left", on="2026-03-02T10:00"),
    "readings.exception-unapproved": cell(READINGS, "R3", value="95", exception="Stud is new"),
    "readings.exception-without-reason": cell(READINGS, "R3", value="95", approval="A1"),
    "readings.exception-needless": cell(READINGS, "R3", exception="Stud is new", approval="A1"),
    "readings.approval-unknown": cell(READINGS, "R3", value="95", exception="Stud is new", approval="A9"),
    "readings.limits-crossed": cell(READINGS, "R3", limit_min="88", limit_max="72"),
    "readings.limit-without-source": cell(READINGS, "R3", limit_source=""),
    "readings.limit-unusable": limit("pad_lining", min="3", unit='"N·m"', source='"the maker\'s manual"'),
    "readings.uncertainty-odd": cell(READINGS, "R3", uncertainty="0"),
    "readings.not-calibrated": both(instrument("W2", "torque wrench", calibrated_on=""), row(instrument="W2")),
    "readings.out-of-calibration": both(instrument("W2", "torque wrench", calibrated_on="2025-01-10"), row(instrument="W2")),
    "readings.out-of-calibration-repeated": both(
        instrument("W2", "torque wrench", calibrated_on="2025-01-10"),
        row(instrument="W2", stage="intake", on="2026-03-02T10:00"),
    ),
    "readings.typing-slip": film("intake", "118", "181", "121", "116"),
    "readings.unit-differs": both(
        film("intake", "118", "121", "119"),
        measured("film_thickness", "mil", "4.7", using="G1", what=_GAUGE, stage="intake", on="2026-03-02T10:00", zone="roof"),
    ),
    "readings.point-twice": both(
        film("intake", "118", "121", "119"),
        measured("film_thickness", "µm", "124", using="G1", what=_GAUGE, stage="intake", on="2026-03-02T10:20", id="F4"),
    ),
    "readings.variation-disagrees": both(
        measured("disc_thickness", "mm", *_EIGHT, **_DISC),
        measured("disc_thickness_variation", "mm", "0.20", **_DISC),
    ),
    "readings.disc-variation": both(
        measured("disc_thickness", "mm", *_EIGHT, **_DISC),
        limit("disc_thickness_variation", max="0.015", unit='"mm"', source='"the maker\'s manual"'),
    ),
    "readings.film-removed": polished(REMOVAL, film("before", "118", "117", "119"), film("after", "104", "103", "105")),
    "readings.film-removed-at-point": polished(
        limit("film_removal", max="9", unit='"µm"', source='"the maker\'s data sheet"'),
        film("before", "120", "118", "119", "121", "122", "120"), film("after", "118", "116", "117", "119", "120", "105"),
    ),
    "readings.film-grown": polished(REMOVAL, film("before", "118", "117", "119"), film("after", "115", "128", "116")),
    "readings.points-differ": polished(REMOVAL, film("before", "118", "117", "119"), film("after", "115", "114")),
    "readings.film-thick": both(
        *(film("intake", "118", "121", "119", zone=z) for z in ("bonnet", "roof", "boot-lid", "door-front-left")),
        film("intake", "241", "238", "240", zone="wing-rear-right"),
    ),
    "readings.film-thin": polished(film("intake", "79", "84", "86")),
    "readings.gloss-geometry": measured("gloss_60", "GU", "84", using="L1", what="glossmeter"),
    "readings.gloss-not-comparable": polished(
        measured("gloss_60", "GU", "52", stage="before", on="2026-03-05T09:10", **_GLOSS),
        measured("gloss_20", "GU", "71", stage="after", on="2026-03-05T10:40", **_GLOSS),
    ),
    "readings.no-reference-colour": measured("colour_lab", "", "31.6 -3.4 -22.8", using="C1", what="spectrophotometer"),
    "readings.grade-worse": both(
        measured("rust_ri", "", "1", using="", what="", zone="brake-front-left", stage="before", step="010", on="2026-03-04T09:05"),
        measured("rust_ri", "", "3", using="", what="", zone="brake-front-left", stage="after", step="010", on="2026-03-04T14:40"),
    ),
    "readings.dew-point": both(
        measured("air_temperature", "°C", "20", **_NOON), measured("relative_humidity", "%RH", "70", **_NOON),
        measured("surface_temperature", "°C", "16", **(_NOON | {"using": "S1", "what": "surface thermometer"})),
    ),
    "readings.fluid-mixed": lambda folder: (
        folder.cell("materials.csv", "M1", name="Brake fluid DOT 4"),
        folder.add_row("materials.csv", id="M2", kind="fluid", maker="Vantor", name="Brake fluid DOT 5", batch="0072", expires="2027-06-30", steps="010"),
    )[0],
    "readings.fluid-base-changed": both(
        cell("materials.csv", "M1", name="Brake fluid DOT 5"),
        measured("brake_fluid_boiling_point", "°C", "181", detail="DOT 4", stage="intake", on="2026-03-02T10:00", **_FLUID),
    ),
    "readings.fluid-grade-unknown": measured("brake_fluid_boiling_point", "°C", "181", detail="DOT 6", **_FLUID),
    "readings.tyre-code-future": measured("tyre_date_code", "", "2336", using="", what="", zone="tyre-front-left"),
    "readings.tyre-old": measured("tyre_date_code", "", "2309", using="", what="", zone="tyre-front-left"),
    "readings.torque-implausible": row(value="8", detail="M12 8.8", limit_min="", limit_max="", limit_source="", uncertainty=""),
    "readings.odometer-differs": measured("odometer", "km", "61240", using="", what="", zone="instruments"),
}  # fmt: skip

PLANTS: dict[str, Edit] = {**_TIME, **_PHOTOS, **_TEXT, **_FILES, **_READINGS}
