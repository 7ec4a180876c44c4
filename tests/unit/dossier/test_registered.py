"""The photo index says when each photo was first registered."""

from dataclasses import replace
from datetime import UTC, date, datetime

from factory import job, photo, step

from buildbook.dossier import IssueInfo, build_dossier
from buildbook.records.register import Registration

ISSUE = IssueInfo(number=1, issued_on=date(2026, 3, 20), draft=False, seal="ab" * 32, previous_seal="")


def words(made):
    return repr(next(s for s in build_dossier(made, (), ISSUE).sections if s.anchor == "section-index"))


def test_each_photo_says_when_it_was_registered_or_that_it_was_not():
    one, two = photo(), photo("steps/010-polish/after/two.jpg")
    at = datetime(2026, 3, 3, 9, 30, tzinfo=UTC)
    entries = tuple(
        Registration(n=n, at=when, path=f"inbox/{n}.jpg", size=one.size, sha256=one.sha256)
        for n, when in ((1, at), (2, at.replace(day=9)))
    )
    made = job(steps=(step(),), photos=(two, one))
    said = words(replace(made, register=entries))
    assert said.count("not registered") == 1
    # the first time, under whatever name, in the job's time zone
    assert said.count("registered 2026-03-03 10:30") == 1
    assert "2026-03-09" not in said
    none = words(made)
    assert "No register was kept" in none
    assert "not registered" not in none
