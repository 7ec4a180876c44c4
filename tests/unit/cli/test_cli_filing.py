"""`cards` and `file`, as a person meets them."""

import os
import re
import shutil
import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from jobs.card_pictures import card_image, shot
from jobs.pictures import picture

from buildbook.cli import run
from buildbook.cli.cards import clock_text
from buildbook.records.card import Card, read_code
from buildbook.records.words import Stage

GOOD = Path(__file__).parents[2] / "jobs" / "good" / "minimal"


@pytest.fixture(autouse=True)
def own_cache(tmp_path, monkeypatch):
    monkeypatch.setenv("BUILDBOOK_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1774000000")  # 20 March 2026
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def job(tmp_path):
    shutil.copytree(GOOD, tmp_path / "job")
    (tmp_path / "job" / "inbox").mkdir()
    return tmp_path / "job"


def drop(job):
    """A card, two photos after it, one photo of a day when nothing was done, a note and a film."""
    at = datetime(2026, 3, 5, 9, 0)
    card = Card(job="Q-014", step=20, stage=Stage.DURING, zone="grille", made=datetime(2026, 3, 1, tzinfo=UTC))
    shot(job / "inbox/IMG_1.jpg", card_image(card, (1200, 900)), at)
    for n in (2, 3):
        picture(job / f"inbox/IMG_{n}.jpg", f"Grille {n}", at + timedelta(minutes=n))
    picture(job / "inbox/IMG_4.jpg", "Lost", datetime(2026, 3, 14, 12, 0))
    (job / "inbox/ABOUT.txt").write_text("a note")
    (job / "inbox/film.mp4").write_bytes(b"film")


def tree(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_the_dry_run_says_what_would_go_where_and_touches_nothing(job, capsys):
    drop(job)
    before = tree(job)
    assert run(["file", str(job), "--dry-run"]) == 1  # something would stay
    out = capsys.readouterr().out
    assert re.search(r"inbox/IMG_2\.jpg +steps/020-grille/during/grille/IMG_2\.jpg +after the card IMG_1\.jpg", out)
    assert re.search(r"inbox/IMG_1\.jpg +documents/cards/IMG_1\.jpg +shows the card of step 020, during, grille", out)
    assert re.search(r"inbox/IMG_4\.jpg +no card before it that day, and no step was open on 2026-03-14 12:00", out)
    assert re.search(r"inbox/film\.mp4 +it is no picture", out)
    assert "3 of 5 files would go, 2 would stay." in out
    assert tree(job) == before


def test_file_moves_what_has_its_place_and_the_check_agrees(job, capsys):
    drop(job)
    before = tree(job)
    assert run(["file", str(job)]) == 1
    out = capsys.readouterr().out
    assert re.search(r"inbox/IMG_2\.jpg +steps/020-grille/during/grille/IMG_2\.jpg ", out)
    after = tree(job)
    for old, new in (("IMG_1", "documents/cards"), ("IMG_2", "steps/020-grille/during/grille")):
        assert after[f"{new}/{old}.jpg"] == before[f"inbox/{old}.jpg"]
    assert sorted(p for p in after if p.startswith("inbox/")) == ["inbox/ABOUT.txt", "inbox/IMG_4.jpg", "inbox/film.mp4"]
    for name in ("IMG_4.jpg", "film.mp4"):
        (job / "inbox" / name).unlink()
    assert run(["file", str(job)]) == 0
    assert capsys.readouterr().out == "The inbox is empty.\n"
    assert run(["check", str(job)]) == 0
    assert "QUERY" not in capsys.readouterr().out


def test_a_job_without_an_inbox_has_nothing_to_file(job, capsys):
    (job / "inbox").rmdir()
    assert run(["file", str(job)]) == 0
    assert capsys.readouterr().out == "The inbox is empty.\n"


def test_photos_of_another_job_stay_where_asked_for(job, tmp_path, capsys):
    drop(job)
    other = tmp_path / "other"
    shutil.copytree(GOOD, other)
    shutil.copy(job / "inbox/IMG_3.jpg", other / "steps/010-brake-hose/after/x.jpg")
    assert run(["file", str(job), "--against", str(other)]) == 1
    assert "same bytes lie in another job, as other/steps/010-brake-hose/after/x.jpg" in capsys.readouterr().out
    assert (job / "inbox/IMG_3.jpg").exists()
    assert not (job / "inbox/IMG_2.jpg").exists()
    assert run(["file", str(job), "--against", str(tmp_path / "nowhere")]) == 3


def test_cards_writes_a_pdf_and_says_where(job, capsys):
    assert run(["cards", str(job)]) == 0
    assert capsys.readouterr().out == "Q-014-cards.pdf  (6 cards on 2 pages)\n"
    assert Path("Q-014-cards.pdf").read_bytes().startswith(b"%PDF-1.7")
    assert run(["cards", str(job), "--step", "20", "--stage", "after", "--size", "half", "--out", "one.pdf"]) == 0
    assert capsys.readouterr().out == "one.pdf  (1 cards on 1 pages)\n"
    assert sorted(p.name for p in Path.cwd().iterdir() if p.suffix == ".pdf") == ["Q-014-cards.pdf", "one.pdf"]


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["--step", "7"], 2, "There is no step '7'"),
        (["--out", "nowhere/cards.pdf"], 2, "cannot be written"),
        (["--stage", "later"], 2, "later"),
    ],
)
def test_cards_that_cannot_be_made_say_why(job, capsys, words, code, says):
    assert run(["cards", str(job), *words]) == code
    assert says in capsys.readouterr().err
    assert not list(Path.cwd().glob("*.pdf"))


def test_a_job_without_a_number_has_no_cards(job, capsys):
    text = (job / "job.toml").read_text("utf-8")
    (job / "job.toml").write_text(text.replace('number = "Q-014"\n', ""), "utf-8")
    assert run(["cards", str(job)]) == 3
    assert run(["cards", str(job), "--clock"]) == 3
    assert "job.number" in capsys.readouterr().err


def test_the_clock_card_reads_back_from_the_terminal_with_the_second_it_was_shown(job, capsys, monkeypatch):
    """Half blocks to pixels, as a terminal draws them; read by zxing-cpp."""
    from PIL import Image

    from buildbook.photos.codes import card_codes

    shown = datetime(2026, 3, 5, 9, 0, 7, tzinfo=UTC)
    plain = re.sub(r"\x1b\[[0-9;]*m", "", clock_text("Q-014", shown))
    rows = [line for line in plain.splitlines() if line and set(line) <= set("█▀▄ ")]
    image = Image.new("L", (len(rows[0]), 2 * len(rows)), 0)
    for y, row in enumerate(rows):
        for x, char in enumerate(row):
            image.putpixel((x, 2 * y), 255 if char in "█▀" else 0)
            image.putpixel((x, 2 * y + 1), 255 if char in "█▄" else 0)
    (code,) = card_codes(image.resize((image.width * 8, image.height * 8), Image.Resampling.NEAREST))
    card = read_code(code, "Q-014")
    assert card.is_clock
    assert card.made == shown
    assert run(["cards", str(job), "--clock"]) == 0  # no terminal: once
    assert "Photograph this with each camera." in capsys.readouterr().out


def test_a_whole_drop_with_a_wrong_clock(job, capsys):
    """A camera a day and a quarter ahead: the clock card mends it, and the check has nothing to ask."""
    wrong = timedelta(hours=30)
    at = datetime(2026, 3, 5, 9, 0) + wrong
    shown = datetime(2026, 3, 5, 8, 0, tzinfo=UTC)
    shot(job / "inbox/a.jpg", card_image(Card(job="Q-014", made=shown), (1200, 900)), at, camera="Ostra K4")
    picture(job / "inbox/b.jpg", "Grille at work", at + timedelta(minutes=2), camera="Ostra K4")
    assert run(["file", str(job)]) == 0
    assert (job / "steps/020-grille/during/b.jpg").exists()
    capsys.readouterr()
    assert run(["check", str(job), "--format", "json"]) == 0
    assert '"query": 0' in capsys.readouterr().out


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs pdftotext (poppler-utils)")
def test_words_of_any_script_stand_on_the_card(job):
    path = job / "steps/020-grille/step.toml"
    path.write_text(re.sub(r'title = ".*"', 'title = "<b>南 空 อนันต์</b> & “Grille”"', path.read_text("utf-8")), "utf-8")
    assert run(["cards", str(job), "--step", "020", "--out", "c.pdf"]) == 0
    told = subprocess.run(["pdftotext", "c.pdf", "-"], capture_output=True, text=True, check=True, env=os.environ).stdout
    assert "<b>南 空 อนันต์</b> & “Grille”" in " ".join(told.split())


def test_what_is_no_file_is_listed_with_its_reason_and_stays(job, capsys):
    drop(job)
    (job / "inbox/IMG_9.jpg").symlink_to(job / "inbox/IMG_2.jpg")
    os.mkfifo(job / "inbox/pipe.jpg")
    (job / "inbox/odd\nname.jpg").write_bytes(b"x")
    for words in (["--dry-run"], []):
        assert run(["file", str(job), *words]) == 1
        out = capsys.readouterr().out
        assert re.search(r"inbox/IMG_9\.jpg +it is a link to another place in the job folder", out)
        assert re.search(r"inbox/pipe\.jpg +it is a pipe, not a file with something in it", out)
        assert re.search(r"inbox/odd\\u000aname\.jpg +its name holds the invisible character U\+000A", out)
        assert re.search(r"3 of 8 files (would go|went), 5 (would )?stay\.", out)
    assert (job / "inbox/IMG_9.jpg").is_symlink()


@pytest.mark.parametrize("words", [["--dry-run"], []])
def test_an_inbox_that_cannot_be_listed_is_not_called_empty(job, words, capsys, monkeypatch):
    drop(job)
    real = os.scandir

    def held(path):
        if str(path).endswith("inbox"):
            raise PermissionError(13, "Permission denied")
        return real(path)

    monkeypatch.setattr(os, "scandir", held)
    assert run(["file", str(job), *words]) == 3
    said = capsys.readouterr()
    assert "inbox: The folder cannot be listed" in said.err
    assert "empty" not in said.out


def test_stopped_in_the_middle_it_says_what_was_moved_and_that_it_goes_on(job, capsys, monkeypatch):
    from buildbook.filing import move

    drop(job)
    real, calls = move._move, []

    def stopped(root, item):
        if calls:
            raise KeyboardInterrupt
        calls.append(item)
        return real(root, item)

    monkeypatch.setattr(move, "_move", stopped)
    assert run(["file", str(job)]) == 130
    said = capsys.readouterr()
    assert re.search(r"inbox/IMG_2\.jpg +steps/020-grille/during/grille/IMG_2\.jpg", said.out)
    assert "1 of 3 files were moved whole; the rest lie in the inbox." in said.out
    assert "goes on where it stopped" in said.err
    monkeypatch.setattr(move, "_move", real)
    assert run(["file", str(job)]) == 1
    assert "2 of 4 files went" in capsys.readouterr().out
