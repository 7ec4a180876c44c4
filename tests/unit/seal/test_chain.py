from datetime import date

from buildbook.records.issued import sealed_files
from buildbook.records.job import Issued
from buildbook.records.photo import FileEntry
from buildbook.records.place import Place
from buildbook.seal.chain import plan_issue
from buildbook.seal.digest import parse_manifest

DAY = date(2026, 4, 24)


def entry(path, digest="a" * 64):
    return FileEntry(path=path, size=1, sha256=digest)


def issued(plan, on=DAY):
    return Issued(
        place=Place(f"issued/{plan.number:03d}.json"), number=plan.number, issued_on=on, seal=plan.seal,
        previous_seal=plan.previous_seal,
    )  # fmt: skip


def test_first_issue():
    plan = plan_issue([entry("job.toml")], [], DAY)
    assert (plan.number, plan.previous_seal, plan.again) == (1, "", False)


def test_nothing_changed_on_the_same_date_is_the_same_issue_again():
    first = plan_issue([entry("job.toml")], [], DAY)
    again = plan_issue([entry("issued/001.json", "b" * 64), entry("job.toml")], [issued(first)], DAY)
    assert again.again
    assert (again.number, again.manifest, again.seal) == (1, first.manifest, first.seal)


def test_a_change_or_another_date_is_the_next_issue_and_names_the_last_seal():
    first = plan_issue([entry("job.toml")], [], DAY)
    files = [entry("issued/001.json", "b" * 64), entry("job.toml", "c" * 64)]
    second = plan_issue(files, [issued(first)], DAY)
    assert (second.number, second.previous_seal, second.again) == (2, first.seal, False)
    assert "issued/001.json" in parse_manifest(second.manifest)  # so issue 2's seal covers issue 1's note
    later = plan_issue(
        [entry("issued/001.json", "b" * 64), entry("job.toml")], [issued(first)], date(2026, 4, 25)
    )
    assert later.number == 2


def test_a_third_issue_made_again_leaves_out_its_own_note_only():
    files = [entry("issued/001.json"), entry("issued/002.json"), entry("issued/010.json"), entry("x")]
    assert [f.path for f in sealed_files(files, 2)] == ["issued/001.json", "x"]
