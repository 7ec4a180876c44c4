"""job.toml and step.toml."""

from datetime import UTC, date
from decimal import Decimal

import pytest

from buildbook.load.toml_file import parse
from buildbook.records.words import Operation

FULL = """
[job]
number = "2026-014"
title = "Front brakes"
brief = "   "
received = 2026-03-02
handover = "2026-04-24"
timezone = "Europe/Lisbon"
currency = "eur"
paper = "a4"

[workshop]
name = "Northquay Coachworks"
email = "office@example.org"

[vehicle]
body = "Estate"
built = 1972
chassis_number = "0047213"

[odometer]
in = 84312
out = 84327
unit = "km"

[[people]]
id = "TK"
name = "Teo Kallas"

[[people]]
id = "JB"
name = "Jonas Brandt-Eriksen"

[[history]]
on = 1988
what = "Respray"
basis = "Owner"

[[history]]
on = 1990-05-17
what = "Sold"

[[limits]]
kind = "disc_thickness"
min = 11.10
max = "13"
unit = "mm"

[[cameras]]
model = "PX-2"
ahead_s = -42
timezone = "UTC"

[[kinds]]
name = "seat_height"
title = "Seat height"
unit = ""
low = 0.5

[settings]
film_query_um = 180.5
"""


def test_a_whole_job_toml(job):
    job.write("job.toml", FULL)
    loaded = job.load()
    assert loaded.raised == ()
    j = loaded.job
    assert (j.number, j.title, j.brief, j.currency, j.paper) == ("2026-014", "Front brakes", "", "EUR", "A4")
    assert (j.received, j.handover) == (date(2026, 3, 2), date(2026, 4, 24))
    assert j.lacks("brief")
    assert (j.vehicle.body, j.vehicle.built, j.vehicle.chassis_number) == ("estate", 1972, "0047213")
    assert (j.odometer.reading_in, j.odometer.reading_out) == (84312, 84327)
    assert [str(p.place) for p in j.people] == ["job.toml, key people.1", "job.toml, key people.2"]
    assert [(h.on, h.basis) for h in j.history] == [("1988", "owner"), ("1990-05-17", None)]
    assert (j.limits[0].min, j.limits[0].max) == (Decimal("11.10"), Decimal(13))
    assert (j.cameras[0].ahead_s, j.cameras[0].timezone) == (-42, "UTC")
    assert j.custom_kinds == ({"name": "seat_height", "title": "Seat height", "unit": "", "low": Decimal("0.5")},)
    assert j.settings == {"film_query_um": Decimal("180.5")}
    assert j.bad == frozenset()


@pytest.mark.parametrize(
    "dress", [lambda t: "\ufeff" + t, lambda t: t.replace("\n", "\r\n"), lambda t: t.replace("\n", "\r")]
)
def test_toml_as_editors_save_it(job, dress):
    job.write("job.toml", dress(FULL))
    assert job.load().raised == ()
    job.write("job.toml", FULL.encode("utf-16"))
    assert job.load().raised == ()


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("[job]\nnumber = 2026-014\n", "line 2, column 1"),
        ('[job]\nnumber = "J-1\n', "line 2, column 1"),
        ("[job\n", "line 1, column 5"),
        ('[job]\nnumber = "a"\nnumber = "b"\n', "line 3, column 1"),
        ("[job]\nnumber = ", "the end of the file"),
        ("x = " + "[" * 5000 + "]" * 5000, "nested too deep"),
        ("x = " + "9" * 5000, "number or date"),
        ("[job]\nreceived = 2026-02-30\n", "line 2"),
        ("x = 1e999999999999999999999", "number or date"),
    ],
)
def test_syntax_is_named_with_its_place_and_the_rest_is_read(job, one, text, where):
    job.write("job.toml", text)
    job.write("approvals.csv", "id,date,what,decision\nA1,2026-03-05,Paint,approved\n")
    code, place, says = one()
    assert (code, place) == ("load.not-toml", "job.toml")
    assert where.split(", column")[0] in says
    loaded = job.load().job
    assert loaded.approvals[0].id == "A1"
    assert {"number", "received", "people", "settings"} <= loaded.bad
    assert "name" in loaded.workshop.bad
    assert not loaded.vehicle.lacks("chassis_number")


def test_a_toml_file_that_is_too_big_or_not_utf8(job):
    job.write("job.toml", "# " + "x" * 2_000_001)
    assert job.said() == [("load.too-big", "job.toml")]
    job.write("job.toml", '[job]\nnumber = "Größe"\n'.encode("cp1252"))
    assert job.said() == [("load.not-utf8", "job.toml")]


@pytest.mark.parametrize(
    ("text", "code", "key", "says"),
    [
        ("[job]\nnumber = 14\n", "load.wrong-type", "job.number", "text in quotes is wanted"),
        ('[job]\nnumber = "a/b"\n', "load.bad-value", "job.number", "Letters, digits"),
        ('[job]\nnumber = "J"\nnmber = "x"\n', "load.unknown-key", "job.nmber", "Is number meant?"),
        ('[job]\nnumber = "J"\n[vehicel]\nbuilt = 1\n', "load.unknown-key", "vehicel", "Is vehicle meant?"),
        ("[workshop]\n", "load.missing-field", "job", "job is not given"),
        ("[job]\n", "load.missing-field", "job.number", "number is not given"),
        ('[job]\nnumber = "J"\nreceived = "2.3.2026"\n', "load.bad-date", "job.received", "2026-02-03 or 2026-03-02"),
        ('[job]\nnumber = "J"\nreceived = 2026-03-02T10:00:00\n', "load.bad-date", "job.received", "not a date"),
        ('[job]\nnumber = "J"\nreceived = 20260302\n', "load.wrong-type", "job.received", ""),
        ('[job]\nnumber = "J"\ntimezone = "Lisbon"\n', "load.bad-value", "job.timezone", "IANA"),
        ('[job]\nnumber = "J"\ntimezone = "../etc/passwd"\n', "load.bad-value", "job.timezone", "IANA"),
        ('[job]\nnumber = "J"\ntimezone = "Europe"\n', "load.bad-value", "job.timezone", "IANA"),
        ('[job]\nnumber = "J"\ncurrency = "Euro"\n', "load.bad-value", "job.currency", "three-letter"),
        ('[job]\nnumber = "J"\npaper = "A3"\n', "load.bad-value", "job.paper", "A4, Letter"),
        ('vehicle = "x"\n[job]\nnumber = "J"\n', "load.wrong-type", "vehicle", "a table of its own"),
        ('people = ["x"]\n[job]\nnumber = "J"\n', "load.wrong-type", "people.1", "a table of its own"),
        ('[job]\nnumber = "J"\n[people]\nid = "x"\n', "load.wrong-type", "people", "a list in square brackets"),
        ('[job]\nnumber = "J"\n[vehicle]\nbuilt = 72\n', "load.bad-number", "vehicle.built", "1,880"),
        ('[job]\nnumber = "J"\n[vehicle]\nbuilt = 1972.5\n', "load.wrong-type", "vehicle.built", "whole number"),
        ('[job]\nnumber = "J"\n[vehicle]\nbuilt = true\n', "load.wrong-type", "vehicle.built", "whole number"),
        ('[job]\nnumber = "J"\n[vehicle]\nbody = "estat"\n', "load.bad-value", "vehicle.body", "Is estate meant?"),
        (
            '[job]\nnumber = "J"\n[vehicle]\nchassis_number = 47213\n',
            "load.wrong-type",
            "vehicle.chassis_number",
            "in quotes",
        ),
        (
            '[job]\nnumber = "J"\n[vehicle]\nchassis_number = "1.2E+08"\n',
            "load.spreadsheet-damage",
            "vehicle.chassis_number",
            "",
        ),
        ('[job]\nnumber = "J"\n[odometer]\nin = -1\n', "load.bad-number", "odometer.in", "between 0 and"),
        ('[job]\nnumber = "J"\n[workshop]\nemail = "nobody"\n', "load.bad-value", "workshop.email", "E-mail"),
        ('[job]\nnumber = "J"\ntitle = "a\\u0007b"\n', "load.odd-character", "job.title", "U+0007"),
        ('[job]\nnumber = "J"\n[[people]]\nid = "A"\n', "load.missing-field", "people.1.name", ""),
        ('[job]\nnumber = "J"\n[[history]]\nwhat = "x"\non = "long ago"\n', "load.bad-date", "history.1.on", "1988-05"),
        ('[job]\nnumber = "J"\n[[limits]]\nkind = "x"\nmin = nan\n', "load.bad-number", "limits.1.min", ""),
        ('[job]\nnumber = "J"\n[[limits]]\nkind = "x"\nmin = "1,5"\n', "load.bad-number", "limits.1.min", ""),
        (
            '[job]\nnumber = "J"\n[[cameras]]\nmodel = "x"\ntimezone = "Mars"\n',
            "load.bad-value",
            "cameras.1.timezone",
            "",
        ),
        (
            '[job]\nnumber = "J"\n[[people]]\nid = "A"\nname = "x"\n[[people]]\nid = "A"\nname = "y"\n',
            "load.duplicate-id",
            "people.2.id",
            "people.1",
        ),
    ],
)
def test_faults_of_job_toml(job, one, text, code, key, says):
    job.write("job.toml", text)
    found, place, said = one()
    assert (found, place) == (code, f"job.toml, key {key}")
    assert says in said
    assert "None" not in said
    assert "schema" not in said


def test_what_is_unreadable_is_not_called_missing(job):
    job.write(
        "job.toml", '[job]\nnumber = 14\ntimezone = "Lisbon"\n[odometer]\nin = "x"\n[[people]]\nid = "A"\nname = 3\n'
    )
    j = job.load().job
    assert (j.number, j.timezone) == ("", "UTC")
    assert {"number", "timezone"} <= j.bad
    assert j.odometer.bad == {"reading_in"}
    assert j.people[0].bad == {"name"}
    assert j.people[0].id == "A"


STEP = """
title = "Front brakes"
zones = "Brake front left"
operation = "Repair"
started = 2026-03-16T08:30:00
finished = "2026-03-18 16:00"
done_by = ["TK", " "]
checked_by = []
cautions = ["Brakes", "lining dust"]
approvals = "A2"

[[pairs]]
before = "before/a.jpg"
after = "after/a.jpg"

[[captions]]
file = "during/*"
text = "Underway"
zone = "brake front left"

[[captions]]
file = "during/disc.jpg"
text = "never reached"
"""


def test_a_step_and_its_photos(job):
    job.write("steps/040-front-brakes/step.toml", STEP)
    for path in ("before/a.jpg", "After/a.jpg", "during/disc.jpg", "during/Bonnet/b.jpg", "After/roof/c.jpg"):
        job.write(f"steps/040-front-brakes/{path}", path)
    job.write("documents/scan.jpg", "scan")
    loaded = job.load()
    assert loaded.raised == ()
    (step,) = loaded.job.steps
    assert (step.id, step.number, step.title) == ("040-front-brakes", 40, "Front brakes")
    assert (step.zones, step.operation) == (("brake-front-left",), Operation.REPAIR)
    assert step.started.isoformat() == "2026-03-16T08:30:00+00:00"
    assert step.finished.astimezone(UTC).hour == 16
    assert (step.done_by, step.checked_by, step.cautions) == (("TK",), (), ("brakes", "lining-dust"))
    assert step.approvals == ("A2",)
    assert step.pairs[0].before == "before/a.jpg"
    assert loaded.job.step("40") is step
    seen = {p.path.removeprefix("steps/040-front-brakes/"): (p.stage, p.zone, p.caption) for p in loaded.job.photos}
    assert seen == {
        "before/a.jpg": ("before", "", ""),
        "After/a.jpg": ("after", "", ""),
        "during/disc.jpg": ("during", "brake-front-left", "Underway"),
        "during/Bonnet/b.jpg": ("during", "bonnet", "Underway"),
        "After/roof/c.jpg": ("after", "roof", ""),
        "documents/scan.jpg": (None, "", ""),
    }
    assert {p.step for p in loaded.job.photos} == {"040-front-brakes", ""}


@pytest.mark.parametrize(
    ("change", "code", "key"),
    [
        (('"Brakes"', '"Brake"'), "load.bad-value", "cautions.1"),
        (('operation = "Repair"', 'operation = "mend"'), "load.bad-value", "operation"),
        (('done_by = ["TK", " "]', "done_by = [7]"), "load.wrong-type", "done_by.1"),
        (('file = "during/*"', "file = 7"), "load.wrong-type", "captions.1.file"),
        (('file = "during/*"\n', ""), "load.missing-field", "captions.1.file"),
        (('"2026-03-18 16:00"', "12:00:00"), "load.bad-date", "finished"),
        (('"2026-03-18 16:00"', '"2026-03-18T25:00"'), "load.bad-date", "finished"),
        (('before = "before/a.jpg"', 'before = "../../x.jpg"'), "load.bad-value", "pairs.1.before"),
        (('title = "Front brakes"', 'titel = "Front brakes"'), "load.unknown-key", "titel"),
    ],
)
def test_faults_of_step_toml(job, change, code, key):
    job.write("steps/040-front-brakes/step.toml", STEP.replace(*change))
    raised = job.load().raised
    assert (code, f"steps/040-front-brakes/step.toml, key {key}") in [(r.code, str(r.place)) for r in raised]
    assert len(raised) == (2 if "titel" in change[1] else 1)
    (step,) = job.load().job.steps
    assert step.zones == ("brake-front-left",)


SCHEDULES = """
title = "Bonnet painted"

[cure]
metal_temperature_min = 60
minutes = 20.5
unbroken = true
source = "Data sheet"

[[recoats]]
coat = "clear coat"
after = 2026-03-26T09:40:00
not_before_minutes = 15
not_after_hours = 24

[[recoats]]
after_step = "060"
began = "2026-03-27T10:00+01:00"
abraded = true
"""


def test_schedules_of_a_step(job):
    job.write("steps/060-paint/step.toml", SCHEDULES)
    loaded = job.load()
    assert loaded.raised == ()
    (step,) = loaded.job.steps
    assert (step.cure.metal_temperature_min, step.cure.minutes) == (Decimal(60), Decimal("20.5"))
    assert (step.cure.unit, step.cure.unbroken, step.cure.source) == ("", True, "Data sheet")
    assert str(step.cure.place.at("minutes")) == "steps/060-paint/step.toml, key cure.minutes"
    clear, other = step.recoats
    assert (clear.coat, clear.not_before_minutes, clear.not_after_hours) == ("clear coat", Decimal(15), Decimal(24))
    assert clear.after.isoformat() == "2026-03-26T09:40:00+00:00"  # in the job's time zone
    assert (clear.began, clear.abraded, other.abraded, other.after_step) == (None, False, True, "060")
    assert str(other.place.at("began")) == "steps/060-paint/step.toml, key recoats.2.began"


def test_a_step_without_schedules_has_none(job):
    job.write("steps/060-paint/step.toml", 'title = "Bonnet painted"\n')
    (step,) = job.load().job.steps
    assert (step.cure, step.recoats) == (None, ())


@pytest.mark.parametrize(
    ("change", "code", "key"),
    [
        (("minutes = 20.5", 'minutes = "20,5"'), "load.bad-number", "cure.minutes"),
        (("unbroken = true", 'unbroken = "yes"'), "load.wrong-type", "cure.unbroken"),
        (("minutes = 20.5", "minuets = 20"), "load.unknown-key", "cure.minuets"),
        (("after = 2026-03-26T09:40:00", 'after = "26.03.2026"'), "load.bad-date", "recoats.1.after"),
        (("[cure]", "[[cure]]"), "load.wrong-type", "cure"),
    ],
)
def test_faults_of_schedules(job, change, code, key):
    job.write("steps/060-paint/step.toml", SCHEDULES.replace(*change))
    raised = job.load().raised
    assert (code, f"steps/060-paint/step.toml, key {key}") in [(r.code, str(r.place)) for r in raised]
    (step,) = job.load().job.steps
    assert len(step.recoats) == 2
    if key == "cure":  # there, but unreadable: rules must not ask for it
        assert "minutes" in step.cure.bad


def test_step_folders(job):
    for name in ("brakes", "040-a", "40-b", "050-c"):
        job.write(f"steps/{name}/step.toml", 'title = "x"\n')
    (job.root / "steps/060-d/before").mkdir(parents=True)
    job.write("steps/loose.jpg", b"x")
    assert job.said() == [
        ("load.no-step-file", "steps/060-d/step.toml"),
        ("load.step-folder-name", "steps/40-b"),
        ("load.step-folder-name", "steps/brakes"),
        ("load.stray-file", "steps/loose.jpg"),
    ]
    steps = job.load().job.steps
    assert [s.number for s in steps] == [40, 50, 60, 40, None]
    assert not steps[2].lacks("title")


def test_photos_where_nothing_says_when_or_where_on_the_vehicle(job):
    job.write("steps/010-intake/step.toml", 'title = "Intake"\n')
    job.write("steps/010-intake/loose.jpg", b"1")
    job.write("steps/010-intake/befor/a.jpg", b"2")
    job.write("steps/010-intake/before/bonet/a.jpg", b"3")
    job.write("steps/010-intake/before/bonet/b.jpg", b"4")
    job.write("steps/010-intake/before/roof/deep/c.jpg", b"5")
    job.write("steps/010-intake/before/film.mp4", b"6")
    loaded = job.load()
    base = "steps/010-intake"
    assert {(r.code, str(r.place)) for r in loaded.raised} == {
        ("load.photo-outside-stage", f"{base}/loose.jpg"),
        ("load.photo-outside-stage", f"{base}/befor/a.jpg"),
        ("load.photo-outside-stage", f"{base}/before/roof/deep/c.jpg"),
        ("load.stray-file", f"{base}/before/film.mp4"),
        ("load.unknown-zone-folder", f"{base}/before/bonet"),
    }
    hint = next(r.says for r in loaded.raised if r.code == "load.unknown-zone-folder")
    assert "bonnet" in hint
    assert "(2)" in hint
    assert len(loaded.job.photos) == 5
    assert len(loaded.job.files) == 7 + 7


def test_numbers_keep_every_digit():
    assert parse("x = 0.1000000000000000055511151231257827")["x"] == Decimal("0.1000000000000000055511151231257827")
