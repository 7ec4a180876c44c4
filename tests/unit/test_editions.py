"""Editions end to end: what one withholds is in no file of it, in no form; the seal and what else it says hold."""

from __future__ import annotations

import contextlib
import functools
import hashlib
import io
import json
import re
import shutil
import subprocess
import zipfile
import zlib
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pikepdf
import pytest

from buildbook.cli import run
from buildbook.compile import Archiving, compile_job
from buildbook.editions import Edition
from buildbook.editions.private import private_redactor
from buildbook.editions.redact import Redactor
from buildbook.errors import AnswerIsNo
from buildbook.load import load_job
from buildbook.photos import Library
from buildbook.seal.digest import seal_of
from buildbook.verify import verify_path

pytestmark = pytest.mark.slow
DEMO = Path(__file__).parents[2] / "demo_job"
MINIMAL = Path(__file__).parents[1] / "jobs" / "good" / "minimal"
DAY = date(2026, 4, 24)
_RUNS = " (runs of letters)"
_ASCII, _WIDE = re.compile(rb"[ -~]{8,}"), re.compile(rb"(?:\0[ -~]){7,}")
MONEY = re.compile(r"\bEUR\s?[0-9]|[0-9]\s?(?:EUR|€)")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory, library: Library) -> tuple[Path, Path]:
    """(job folder, folder of its issues): the demo in all three editions, archives as folder and ZIP."""
    place = tmp_path_factory.mktemp("editions")
    job = place / "job"
    shutil.copytree(DEMO, job)
    shutil.rmtree(job / "issued", ignore_errors=True)
    compile_job(
        job,
        place / "out",
        DAY,
        editions=list(Edition),
        archiving=Archiving(True, True),
        library=library,
    )
    return job, next((place / "out").iterdir())


def told(data: bytes, name: str, seen: set[bytes] | None = None) -> Iterator[tuple[str, str]]:
    """(where, text) of everything a file says, unpacked: a PDF's objects, streams, attachments; a ZIP's members.

    seen: digests of what was gone through already, which is not gone through again.
    """
    yield name, name
    if seen is None:
        seen = set()
    digest = hashlib.sha256(data).digest()
    if digest in seen:
        return
    seen.add(digest)
    if data[:5] == b"%PDF-":
        yield from _pdf(data, name, seen)
    elif data[:2] == b"PK":
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            for info in packed.infolist():
                yield from told(packed.read(info), f"{name}/{info.filename}", seen)
    else:
        yield from _texts(data, name)


def _texts(data: bytes, name: str) -> Iterator[tuple[str, str]]:
    """Text as it is; of anything else its runs of letters, of one and of two bytes."""
    with contextlib.suppress(UnicodeDecodeError):
        if b"\0" not in data:
            yield name, data.decode("utf-8")
            return
    yield name + _RUNS, "\n".join(run.decode("ascii") for run in _ASCII.findall(data))
    wide = ((max(0, run.start() - 1), run.end()) for run in _WIDE.finditer(data))  # its first letter may stand before
    yield name + _RUNS, "\n".join(data[a:b].replace(b"\0", b"").decode("ascii", "ignore") for a, b in wide)


def _pdf(data: bytes, name: str, seen: set[bytes]) -> Iterator[tuple[str, str]]:
    yield from _texts(data, name)
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for number, thing in enumerate(pdf.objects):
            where = f"{name} object {number}"
            if isinstance(thing, pikepdf.Stream):
                try:
                    inner = thing.read_bytes()
                except (pikepdf.PdfError, zlib.error):
                    inner = thing.read_raw_bytes()
                yield from told(inner, where, seen)
            yield where, _strings(thing)
        for page, text in enumerate(_shown(data)):
            yield f"{name} page {page + 1}", text


def _strings(thing: object, depth: int = 0) -> str:
    if depth > 12:
        return ""
    if isinstance(thing, pikepdf.String):
        return str(thing)
    if isinstance(thing, pikepdf.Array):
        return "\n".join(_strings(one, depth + 1) for one in thing if not getattr(one, "is_indirect", False))
    if isinstance(thing, pikepdf.Dictionary | pikepdf.Stream):
        return "\n".join(
            _strings(one, depth + 1) for _key, one in thing.items() if not getattr(one, "is_indirect", False)
        )
    return ""


@functools.lru_cache(maxsize=4)
def _shown(data: bytes) -> list[str]:
    """Text as a reader extracts it, so that a word set in pieces counts as one."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler) is not installed")
    run = subprocess.run(["pdftotext", "-raw", "-", "-"], input=data, capture_output=True, check=True)
    return run.stdout.decode("utf-8").split("\f")[:-1]


@functools.lru_cache(maxsize=4)
def everything(folder: Path) -> tuple[tuple[str, str], ...]:
    """Each text once: the archive, its ZIP and the folder hold the same files."""
    seen: dict[str, str] = {}
    for where, text in _everything(folder):
        seen.setdefault(text, where)
    return tuple((where, text) for text, where in seen.items())


def _everything(folder: Path) -> Iterator[tuple[str, str]]:
    seen: set[bytes] = set()
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            yield from told(path.read_bytes(), path.relative_to(folder).as_posix(), seen)


def leaks(folder: Path, redactor: Redactor) -> list[str]:
    return sorted({where for where, text in everything(folder) if _tells(where, text, redactor)})


def _tells(where: str, text: str, redactor: Redactor) -> bool:
    """Three letters in the noise of a packed picture are no name; anywhere else they are."""
    if not where.endswith(_RUNS):
        return redactor.finds(text)
    return any(re.search(r"[A-Za-z ]{6,}", run) and redactor.finds(run) for run in text.splitlines())


def test_the_resale_edition_tells_nothing_private_in_any_file(made: tuple[Path, Path]) -> None:
    job, issues = made
    redactor = private_redactor(load_job(job, DAY).job, Edition.RESALE)
    assert leaks(issues / "issue-01-resale", redactor) == []  # of 40 MB
    assert sum(len(text) for _where, text in everything(issues / "issue-01-resale")) > 5_000_000


def test_the_same_search_finds_it_in_the_owners(made: tuple[Path, Path]) -> None:
    job, issues = made
    redactor = private_redactor(load_job(job, DAY).job, Edition.RESALE)
    folder = issues / "issue-01"
    (packed,) = folder.glob("*.zip")
    for name in ("record.json", "web/index.html", "archive/data/job/job.toml"):
        assert any(redactor.finds(text) for _where, text in told((folder / name).read_bytes(), name))
    for part in (" object ", " page "):
        assert any(redactor.finds(text) for where, text in everything(folder) if f"dossier.pdf{part}" in where)
    with zipfile.ZipFile(packed) as archive:
        (inside,) = (n for n in archive.namelist() if n.endswith("/job/job.toml"))
        assert redactor.finds(archive.read(inside).decode("utf-8"))


def test_plain_strings_of_the_demo_are_found_in_the_owners_and_not_for_resale(made: tuple[Path, Path]) -> None:
    """Without any of our own patterns: the strings as they stand in job.toml."""
    job, issues = made
    found = load_job(job, DAY).job
    private = [found.client.name, found.client.email, found.vehicle.registration, *(p.name for p in found.people)]
    private += [part for part in found.client.address.splitlines() if part.strip()]
    owners = "\n".join(text for _where, text in everything(issues / "issue-01"))
    resale = "\n".join(text for _where, text in everything(issues / "issue-01-resale"))
    assert len(private) > 6
    assert all(private)
    for string in private:
        assert string in owners
        assert string not in resale


def test_amounts_are_gone_for_resale(made: tuple[Path, Path]) -> None:
    _job, issues = made
    for name, there in (("issue-01", True), ("issue-01-insurer", True), ("issue-01-resale", False)):
        pages = "\n".join(_shown((issues / name / "dossier.pdf").read_bytes()))
        assert bool(MONEY.search(pages)) is there
        record = (issues / name / "record.json").read_text("utf-8")
        assert ('"price"' in record) is there
        assert ("receipts-list.csv" in pikepdf.open(issues / name / "dossier.pdf").attachments) is there


def test_the_insurer_gets_costs_and_identity_and_no_contact(made: tuple[Path, Path]) -> None:
    job, issues = made
    found = load_job(job, DAY).job
    redactor = private_redactor(found, Edition.INSURER)
    for name in ("dossier.pdf", "record.json", "web/index.html", "VERIFY.txt", "issue.json"):
        data = (issues / "issue-01-insurer" / name).read_bytes()
        assert not [where for where, text in told(data, name) if redactor.finds(text)]
    record = (issues / "issue-01-insurer" / "record.json").read_text("utf-8")
    for kept in (found.client.name, found.vehicle.registration, found.vehicle.chassis_number):
        assert kept in record
    assert found.client.email not in record


def test_no_picture_of_the_resale_edition_says_anything_beside_itself(made: tuple[Path, Path]) -> None:
    from buildbook.photos.personal import beside_picture

    _job, issues = made
    private = {"position", "owner", "serial number", "maker's notes", "XMP", "comment", "unreadable"}
    seen = 0
    for path in (issues / "issue-01-resale").rglob("*.jpg"):
        assert not beside_picture(path).kinds & private, path
        seen += 1
    assert seen > 40
    originals = [beside_picture(p).kinds for p in (issues / "issue-01" / "archive").rglob("*.jpg")]
    assert any("position" in kinds for kinds in originals)


@pytest.mark.parametrize("name", ["issue-01", "issue-01-insurer", "issue-01-resale"])
def test_each_edition_is_verified_in_each_form(made: tuple[Path, Path], name: str) -> None:
    job, issues = made
    folder = issues / name
    (packed,) = folder.glob("*.zip")
    for path in (folder, folder / "archive", packed, folder / "dossier.pdf"):
        report = verify_path(path, job)
        assert report.ok, [s for s in report.steps if s.ok is False]
    assert seal_of((folder / "manifest-sha256.txt").read_bytes()) == verify_path(issues / "issue-01").seal


def test_what_is_withheld_is_told_and_not_missing(made: tuple[Path, Path]) -> None:
    _job, issues = made
    issue = json.loads((issues / "issue-01-resale" / "issue.json").read_text("utf-8"))
    (step,) = [s for s in verify_path(issues / "issue-01-resale").steps if s.name.startswith("The edition")]
    assert step.ok
    assert f"{len(issue['withheld'])} files" in step.says
    assert "withheld: 'job.toml'" in step.details
    for path in issue["withheld"]:
        assert not (issues / "issue-01-resale" / "archive" / "data" / "job" / path).exists()


def test_a_file_that_is_not_withheld_and_not_there_is_missing(made: tuple[Path, Path], tmp_path: Path) -> None:
    _job, issues = made
    folder = tmp_path / "issue-01-resale"
    shutil.copytree(issues / "issue-01-resale", folder)
    gone = next(p for p in (folder / "archive" / "data" / "job" / "steps").rglob("*.jpg"))
    gone.unlink()
    report = verify_path(folder)
    assert not report.ok
    assert any(gone.name in line for s in report.steps if s.ok is False for line in s.details)


@pytest.mark.parametrize("file", ["issue.json", "record.json"])
def test_a_longer_list_of_withheld_files_is_seen(made: tuple[Path, Path], tmp_path: Path, file: str) -> None:
    _job, issues = made
    folder = tmp_path / "issue-01-resale"
    shutil.copytree(issues / "issue-01-resale", folder)
    said = json.loads((folder / file).read_text("utf-8"))
    listed = said["withheld"] if file == "issue.json" else said["issue"]["withheld"]
    listed.append("steps/010-intake/before/bonnet/gauge.jpg")
    (folder / file).write_text(json.dumps(said), encoding="utf-8")
    assert not verify_path(folder).ok


def test_the_last_page_says_what_each_edition_withholds(made: tuple[Path, Path]) -> None:
    _job, issues = made
    for name, says in (
        ("issue-01", "This is the owner's edition: it withholds nothing."),
        ("issue-01-insurer", "This is the edition for the insurer."),
        ("issue-01-resale", "This is the edition for resale."),
    ):
        pages = [" ".join(p.split()) for p in _shown((issues / name / "dossier.pdf").read_bytes())]
        assert any(says in page for page in pages[-2:])
        assert "Prices, totals and other amounts of money" in " ".join(pages[-2:])


def test_made_again_it_is_the_same(tmp_path: Path) -> None:
    job, out = tmp_path / "job", tmp_path / "out"
    shutil.copytree(MINIMAL, job)
    made = functools.partial(compile_job, job, out, DAY, library=Library(tmp_path / "cache"))
    (resale,) = made(editions=[Edition.RESALE]).editions
    before = {p: p.read_bytes() for p in resale.glob("*.*")}
    assert len(before) >= 5
    assert made(editions=[Edition.RESALE]).already
    assert {p: p.read_bytes() for p in resale.glob("*.*")} == before


def test_a_file_name_that_tells_stops_the_edition_before_anything_is_written(tmp_path: Path) -> None:
    job = tmp_path / "job"
    shutil.copytree(MINIMAL, job)
    name = load_job(job, DAY).job.client.name.split()[-1]
    (job / "documents").mkdir(exist_ok=True)
    (job / "documents" / f"letter-{name}.txt").write_text("hello", encoding="utf-8")
    out = tmp_path / "out"
    with pytest.raises(AnswerIsNo, match=name):
        compile_job(job, out, DAY, editions=[Edition.RESALE], draft=True, library=Library(tmp_path / "cache"))
    assert not list(out.rglob("*.pdf"))


def test_a_draft_edition_by_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, out = tmp_path / "job", tmp_path / "out"
    shutil.copytree(MINIMAL, job)
    words = ["compile", str(job), "--draft", "--edition", "resale", "--out", str(out), "--cache", str(tmp_path / "c")]
    assert run(words) == 0
    (folder,) = out.glob("*/draft-resale")
    assert str(folder) in capsys.readouterr().out
    assert verify_path(folder).ok
    assert load_job(job, DAY).job.client.name not in (folder / "record.json").read_text("utf-8")


def test_what_changed_since_the_issue_before_tells_nothing_private(tmp_path: Path) -> None:
    job, out = tmp_path / "job", tmp_path / "out"
    shutil.copytree(MINIMAL, job)
    toml, parts = job / "job.toml", job / "parts.csv"
    client = 'name = "Ulrike Sandvoss"\naddress = "Mühlgasse 14, 99999 Quellwerder"\nphone = "+99 555 0142 7781"'
    toml.write_text(toml.read_text("utf-8").replace('name = "R. Moreau"', client), "utf-8")
    made = functools.partial(compile_job, job, out, editions=list(Edition), library=Library(tmp_path / "cache"))
    made(DAY)
    private = ("Sandvoss", "0142 7781", "Anneke Brandt", "39.90", "38.50")
    line = parts.read_text("utf-8").replace("38.50,38.50", "39.90,39.90")
    line = line.replace(",cracked,", ',"cracked, says Anneke Brandt; Ulrike Sandvoss agreed, +99 555 0142 7781",')
    parts.write_text(line, "utf-8")
    receipts = job / "receipts.csv"
    receipts.write_text(receipts.read_text("utf-8").replace("38.50", "39.90").replace("51.17", "52.57"), "utf-8")
    made(date(2026, 4, 25))
    (issues,) = out.iterdir()
    for name, there in (("issue-02", True), ("issue-02-resale", False)):
        pages = " ".join(" ".join(page.split()) for page in _shown((issues / name / "dossier.pdf").read_bytes()))
        assert "What changed since issue 1" in pages
        assert "cracked" in pages  # what is told of it is told in each
        assert [string in pages for string in private] == [there] * len(private), name
        assert verify_path(issues / name, job).ok
    redactor = private_redactor(load_job(job, DAY).job, Edition.RESALE)
    assert leaks(issues / "issue-02-resale", redactor) == []
    assert redactor.finds((issues / "issue-02" / "record.json").read_text("utf-8"))
