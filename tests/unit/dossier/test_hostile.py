"""Whatever a person wrote is printed as it stands, and nothing a record can hold ends in an exception."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass, replace
from datetime import date
from decimal import Decimal

import factory
import pytest

from buildbook.dossier import build_dossier, record_json
from buildbook.dossier.blocks import words_of
from buildbook.records.job import Aftercare

HOSTILE = [
    "bolt < 5 mm & nut > 3 mm", "<b>never closed", "{n} {0} {step.__class__} %s %(x)s", "\\n \\u0000 \\", "a\u202ebc", "e\u0301\u0302",
    "אבג אב", "=1+1", "W" * 5000, " ", "P001", "line one\nline two",
]  # fmt: skip


def everywhere(job, said, free_text):
    """The job with every free text replaced."""
    changes = {}
    for field in fields(job):
        value = getattr(job, field.name)
        if is_dataclass(value) and type(value) in free_text:
            changes[field.name] = with_text(value, said, free_text)
        elif isinstance(value, tuple) and value and type(value[0]) in free_text:
            changes[field.name] = tuple(with_text(item, said, free_text) for item in value)
    return replace(job, title=said, brief=said, number=said, **changes)


def with_text(record, said, free_text):
    return replace(record, **dict.fromkeys(free_text[type(record)], said))


@pytest.mark.parametrize("said", HOSTILE)
def test_hostile_text_is_printed_as_it_stands(job, issue, findings, free_text, said):
    changed = everywhere(job, said, free_text)
    words = words_of(build_dossier(changed, findings, issue))
    assert words.count(said) > (20 if said.strip() else 0)
    assert json.loads(record_json(changed, findings, issue))["job"]["brief"] == said


@pytest.mark.parametrize("number", ["9" * 400, "0." + "0" * 400 + "1", "12345678901234567890123456.789", "-0.0", "NaN"])
def test_extreme_numbers(issue, number):
    value = Decimal(number)
    job = factory.job(
        readings=tuple(factory.reading(value=None, value_text=number, point=p) for p in "ab"),
        parts=(factory.part(total=value, price=value, quantity=value),),
        observations=(factory.observation(grade_in=value, grade_out=value),),
    )  # fmt: skip
    job = replace(job, readings=tuple(replace(r, value=value) for r in job.readings), limits=(factory.limit(max=value),))
    assert number in words_of(build_dossier(job, (), issue))


def test_the_ends_of_the_calendar(issue):
    for day in (date.min, date.max):
        job = factory.job(
            received=day, handover=day, steps=(factory.step(started=day, finished=day),),
            approvals=(factory.approval(on=day),), instruments=(factory.instrument(calibrated_on=day),),
            readings=(factory.reading(on=day),),
            aftercare=(Aftercare(place=factory.key("aftercare.1"), what="Wax", due_days=10**12),),
        )  # fmt: skip
        assert build_dossier(job, (), issue).sections
