"""Writes the parts of demo_job/ that nobody types: the measured series, the sums, the papers, the pictures.

Run from anywhere: `python tests/demo/make_demo.py [--photos]`. What is typed by hand (job.toml, step.toml, condition,
approvals, parts, materials) is read and left alone.
"""

from __future__ import annotations

import argparse
import csv
import tomllib
from pathlib import Path

from demo_papers import Bill, paper, write_bills, write_certificate
from demo_readings import write_readings

JOB = Path(__file__).resolve().parents[2] / "demo_job"
KV, OLD, BB = "Kestrel & Vane Parts", "Oldfield Rubber Co.", "Brückner Bremsen"
HP, MT, HV = "Hollis Paint Supply", "Marlow Tyres", "Halvard Plating"
AT = {
    KV: "Quarry Lane 3, Ellerhaven", OLD: "Old Ropewalk 11, Sanderby", BB: "Werftstraße 40, Lindhafen",
    HP: "Canal Yard 2, Ellerhaven", MT: "Station Road 19, Ellerhaven", HV: "Galvanigatan 6, Norrvik",
}  # fmt: skip
BILLS = tuple(
    Bill(f"documents/receipt-{slug}.pdf", firm, AT[firm], number, date, extra)
    for slug, firm, number, date, extra in (
        ("kestrel-vane-1107", KV, "KV-1107", "2026-03-09", (("Carriage", "4.90"),)),
        ("brueckner-8841", BB, "R-8841", "2026-03-13",
         (("Brake fluid DOT 4, batch BF4-00918, 1 l", "14.80"), ("Assembly paste, batch 0031", "6.50"), ("Carriage", "9.90"))),
        ("kestrel-vane-1132", KV, "KV-1132", "2026-03-17", (("Carriage", "4.90"),)),
        ("hollis-2291", HP, "HP-2291", "2026-03-20",
         (("Epoxy primer HE-10, batch EP2601-07", "61.40"), ("Surfacer HS-22, batch SF2512-31", "74.80"),
          ("Base coat TB-41, mix MIX-26-0319-02", "118.00"), ("Clear coat HC-2K, batch CC2601-112", "139.50"),
          ("Thinner HT-3, batch TH2511-4", "18.20"))),
        ("hollis-2317", HP, "HP-2317", "2026-03-27",
         (("Polish no. 3, batch P3-0826", "24.00"), ("Polish no. 1, batch P1-0771", "22.50"),
          ("Ceramic C9, batch C9-26-000412", "96.00"))),
        ("kestrel-vane-1159", KV, "KV-1159", "2026-04-07", (("Carriage", "4.90"),)),
        ("oldfield-5520", OLD, "5520", "2026-04-08", (("Seal adhesive, batch OA-0092", "14.20"), ("Carriage", "12.00"))),
        ("halvard-0093", HV, "0093", "2026-04-15", (("Carriage both ways", "36.00"),)),
        ("kestrel-vane-1168", KV, "KV-1168", "2026-04-14", ()),
        ("marlow-7719", MT, "MT-7719", "2026-04-15", (("Fitting and balancing, four wheels", "48.00"), ("Disposal of four tyres", "10.00"))),
        ("oldfield-5561", OLD, "5561", "2026-04-16", (("Cutting to pattern", "18.00"), ("Carriage", "12.00"))),
    )
)  # fmt: skip
GREETING = "Northquay Coachworks, Pier Road 8, Ellerhaven"
LETTERS: dict[str, tuple[str, tuple[str, ...]]] = {
    "order-2026-03-02": ("Order", (
        GREETING, "2 March 2026", "", "A-01. I ask you to take in my Talmere 1900 Tourer, registration QX-417-T, chassis number TE19-0047213,",
        "to photograph and measure it, and to write an estimate. Final photographs and a road test are part of the order.", "",
        "Odometer on arrival: 84 312 km.", "", "Ilse Varga, Rua da Conceição 27", "For the workshop: Maren Oduya")),
    "estimate-2026-03-06": ("Estimate 2026-014, accepted", (
        GREETING, "6 March 2026", "", "1 and 2 (A-02). Brightwork off, cleaned and back on; underside cleaned with dry ice and protected.",
        "3 (A-03). Front brakes: discs, pads and hoses new, calipers overhauled.", "4 (A-04). Fuel hoses, clips and filter new.", "",
        "Old discs and one length of fuel hose are to be given back to me.", "", "Accepted: Ilse Varga, 6 March 2026")),
    "email-2026-03-13": ("E-mail of 13 March 2026", (
        "From: Ilse Varga    To: office@northquay.example", "", "Dear Maren,", "A-05: yes to painting the bonnet and the left front wing, and only those.",
        "Please polish the rest and take off no more than the 0.3 mil you named. A-06: yes to the ceramic coating on all painted panels.", "", "Ilse Varga")),
    "letter-2026-03-20": ("Letter of 20 March 2026", (
        "To " + GREETING, "", "A-07: clear the old headlamp lenses, do not replace them. New gaskets, new bulbs, and new seals all round.",
        "A-08: have the rims refinished, keep the trim rings, and fit four new tyres with valves.", "", "Ilse Varga")),
    "email-2026-03-27": ("E-mail of 27 March 2026", (
        "From: Ilse Varga    To: office@northquay.example", "", "A-09: please clean and keep the cloth and the carpets, even if a shadow stays.",
        "A new underlay is fine, and small parts as needed.", "", "Ilse Varga")),
    "letter-2026-04-02": ("Letter of 2 April 2026", (
        "To " + GREETING, "", "A-10: leave the tailgate and its gap of 6.1 mm as they are; the paint on the hinge bolts has never been broken and I want that kept.",
        "Leave the right rear wing as it is and do not open it.", "A-11: keep the dashboard pad with its crack. Fill it so that it does not run on. No new cover.", "", "Ilse Varga")),
    "email-2026-04-10": ("E-mail of 10 April 2026", (
        "From: Ilse Varga    To: office@northquay.example", "", "A-12: as said on the telephone today, yes to sixteen new wheel bolts. Please give me the old ones.", "", "Ilse Varga")),
    "data-sheet-brake-fluid": ("Data sheet: brake fluid DOT 4", (
        BB, "Dry boiling point at least 230 °C, wet boiling point at least 155 °C (FMVSS 116, S5.1).", "Do not mix with silicone fluid. Strips paint. Opened can: use the same day.")),
    "data-sheet-epoxy-primer": ("Data sheet: epoxy primer HE-10", (
        HP, "Dry film 15 to 25 µm. Recoat after 1 h, at most 72 h at 20 °C.", "Air 18 to 28 °C, humidity up to 75 %, metal at least 3 °C above the dew point.", "Contains isocyanates in the hardener: air-fed mask, booth.")),
    "data-sheet-clear-coat": ("Data sheet: clear coat HC-2K", (
        HP, "Dry film 45 to 60 µm. Flash off base coat 15 min, at most 24 h.", "Cure 20 min at 60 °C metal temperature, or 24 h at 20 °C.",
        "Air 18 to 28 °C, humidity up to 75 %, metal at least 3 °C above the dew point.", "Contains isocyanates in the hardener: air-fed mask, booth.")),
    "data-sheet-ceramic": ("Data sheet: Ceramic C9", (
        HP, "On new two-pack paint not before 7 days.", "Keep dry 24 h. No washing and no cover for 14 days. Apply at 10 to 30 °C.")),
}  # fmt: skip


def main() -> None:
    """Write what is generated."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--photos", action="store_true", help="draw the pictures too (takes minutes)")
    chosen = options.parse_args()
    with (JOB / "parts.csv").open(encoding="utf-8", newline="") as text:
        parts = list(csv.DictReader(text))
    write_bills(JOB, BILLS, parts, "EUR")
    for name, (title, lines) in LETTERS.items():
        paper(JOB / "documents" / f"{name}.pdf", title, lines)
    for instrument in tomllib.loads((JOB / "job.toml").read_text(encoding="utf-8"))["instruments"]:
        write_certificate(JOB / instrument["certificate"], instrument, "Calibration Service Sanderby, laboratory 12")
    print(f"{write_readings(JOB)} readings")
    if chosen.photos:
        from demo_scans import write_demo
        from draw_photos import draw_demo

        write_demo(JOB)
        draw_demo(JOB)


if __name__ == "__main__":
    main()
