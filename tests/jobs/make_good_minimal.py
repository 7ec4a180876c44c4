"""Write tests/jobs/good/minimal again: the smallest job that is clean at the handover gate.

An invented coupé of 1974: one brake hose renewed, one grille kept. `python tests/jobs/make_good_minimal.py`
"""

from __future__ import annotations

import io
import shutil
import sys
from datetime import datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from jobs.pictures import picture
from jobs.planting import MINIMAL, OTHER_STEP, STEP
from reportlab.lib.pagesizes import A5
from reportlab.pdfgen.canvas import Canvas

TEXTS: dict[str, str] = {
    "job.toml": """\
[job]
number = "Q-014"
title = "Brake hose and grille"
brief = "Brakes pull to one side; grille dull."
received = 2026-03-02
handover = 2026-03-20
timezone = "Europe/Berlin"
currency = "EUR"

[workshop]
name = "Werkstatt Falk"
address = "Lindenhof 3, Oberau"

[client]
name = "R. Moreau"

[[people]]
id = "AB"
name = "Anneke Brandt"
role = "mechanic"
qualification = "vehicle mechanic, journeyman's certificate"

[[people]]
id = "CD"
name = "Carlo Dunn"
role = "foreman"
qualification = "master mechanic"

[vehicle]
marque = "Selmond"
model = "Coupé 1600"
body = "coupe"
built = 1974
market = "europe"
chassis_number = "SC16-0041207"
chassis_number_photo = "documents/chassis-number.jpg"
engine_number = "E16-088312"
engine_number_photo = "documents/engine-number.jpg"
registration = "OB-1974"
colour = "dark green"

[odometer]
in = 61204
out = 61211
unit = "km"
digits = 5
photo_in = "documents/odometer-in.jpg"
photo_out = "documents/odometer-out.jpg"

[[history]]
on = "1998"
what = "Bought from the first owner"
basis = "owner"
odometer = 48900

[[instruments]]
id = "W1"
what = "torque wrench 10 to 120 N·m"
maker = "Tessera"
serial = "0042"
calibrated_on = 2026-01-10
interval_months = 12
certificate = "documents/certificate-w1.pdf"

[[aftercare]]
what = "Check the wheel nuts again"
due_distance = 50
source = "the maker's manual"
""",
    "condition.csv": """\
id,zone,what,grade_in,note,photos,outcome,outcome_refs,grade_out
O1,brake-front-left,Brake hose cracked at the union,4,,steps/010-brake-hose/before/hose.jpg,corrected,P1,0
""",
    "approvals.csv": """\
id,date,what,decision,given_by,means,document
A1,2026-03-03,"Renew the left front brake hose; clean the grille and keep it",approved,R. Moreau,letter,documents/approval.pdf
""",
    "parts.csv": """\
id,action,what,zone,part_number,quantity,source,stated_by,supplier,receipt,price,total,currency,step,fitted_on,why,old_part,approval,photos
P1,replace,"Brake hose, left front",brake-front-left,00712-4,1,oem,AB,Orrin Spares,documents/receipt-118.pdf,38.50,38.50,EUR,010,2026-03-04,cracked,handed to the client,A1,steps/010-brake-hose/after/hose.jpg
P2,preserve,Grille,grille,,1,original,AB,,,,,,020,,"original and sound, only cleaned",,A1,
""",
    "receipts.csv": """\
document,supplier,number,date,net,other,tax,total,currency
documents/receipt-118.pdf,Orrin Spares,118,2026-03-03,38.50,4.50,8.17,51.17,EUR
""",
    "materials.csv": """\
id,kind,maker,name,batch,expires,steps,data_sheet
M1,fluid,Vantor,"Brake fluid, glycol",0071,2027-06-30,010,documents/data-sheet-m1.pdf
""",
    "readings.csv": """\
id,stage,step,zone,point,kind,value,unit,detail,instrument,by,on,uncertainty,limit_min,limit_max,limit_source,exception,approval
R1,after,010,brake-front-left,union,tightening_torque,14,N·m,M10 union,W1,AB,2026-03-04T14:20,0.6,12,16,the maker's manual,,
R2,handover,,wheel-front-left,nut 1,tightening_torque,80,N·m,M12 nut,W1,CD,2026-03-20T09:30,3,72,88,the maker's manual,,
R3,handover,,wheel-front-left,nut 2,tightening_torque,81,N·m,M12 nut,W1,CD,2026-03-20T09:31,3,72,88,the maker's manual,,
""",
    f"{STEP}/step.toml": """\
title = "Renew the left front brake hose"
zones = ["brake-front-left"]
operation = "replace"
started = 2026-03-04T09:00:00
finished = 2026-03-04T15:00:00
done_by = ["AB"]
checked_by = ["CD"]
work_done = "Hose renewed, brakes bled, no leak under pressure."
outcome = "Pulls straight on the brake tester."
cautions = ["brakes", "lifting"]
approvals = ["A1"]

[[pairs]]
before = "before/hose.jpg"
after = "after/hose.jpg"
caption = "The hose at the union"
""",
    f"{OTHER_STEP}/step.toml": """\
title = "Clean the grille"
zones = ["grille"]
operation = "clean"
started = 2026-03-05T09:00:00
finished = 2026-03-05T11:00:00
done_by = ["AB"]
checked_by = ["CD"]
work_done = "Washed with water and a soft brush; nothing taken off."
outcome = "Clean, with its marks of age."
approvals = ["A1"]
""",
}

PAPERS: dict[str, tuple[str, ...]] = {
    "documents/approval.pdf": ("To Werkstatt Falk", "3 March 2026", "Please renew the left front brake hose", "and clean the grille; I wish to keep it.", "R. Moreau"),
    "documents/receipt-118.pdf": ("Orrin Spares, receipt 118", "3 March 2026", "1 brake hose 00712-4   38.50", "carriage   4.50", "tax 19 %   8.17", "EUR 51.17"),
    "documents/certificate-w1.pdf": ("Calibration certificate", "torque wrench, serial 0042", "10 January 2026"),
    "documents/data-sheet-m1.pdf": ("Vantor brake fluid, glycol", "Data sheet"),
}

PICTURES: dict[str, tuple[str, datetime]] = {
    "documents/chassis-number.jpg": ("Chassis number SC16-0041207", datetime(2026, 3, 2, 9, 5)),
    "documents/engine-number.jpg": ("Engine number E16-088312", datetime(2026, 3, 2, 9, 9)),
    "documents/odometer-in.jpg": ("Odometer 61204 on arrival", datetime(2026, 3, 2, 9, 12)),
    "documents/odometer-out.jpg": ("Odometer 61211 on leaving", datetime(2026, 3, 20, 9, 40)),
    f"{STEP}/before/hose.jpg": ("Left front brake hose, cracked", datetime(2026, 3, 4, 9, 10)),
    f"{STEP}/after/hose.jpg": ("Left front brake hose, new", datetime(2026, 3, 4, 14, 30)),
    f"{OTHER_STEP}/before/grille.jpg": ("Grille, dull", datetime(2026, 3, 5, 9, 5)),
    f"{OTHER_STEP}/after/grille.jpg": ("Grille, clean", datetime(2026, 3, 5, 10, 50)),
}


def paper(*lines: str) -> bytes:
    """A one-page PDF with these lines, the same bytes each time."""
    made = io.BytesIO()
    canvas = Canvas(made, pagesize=A5, invariant=1)
    for number, line in enumerate(lines):
        canvas.drawString(40, 540 - 22 * number, line)
    canvas.save()
    return made.getvalue()


def main() -> None:
    if MINIMAL.exists():
        shutil.rmtree(MINIMAL)
    for name, text in TEXTS.items():
        target = MINIMAL / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8", newline="")
    for name, lines in PAPERS.items():
        (MINIMAL / name).parent.mkdir(parents=True, exist_ok=True)
        (MINIMAL / name).write_bytes(paper(*lines))
    for name, (title, taken) in PICTURES.items():
        picture(MINIMAL / name, title, taken)


if __name__ == "__main__":
    main()
