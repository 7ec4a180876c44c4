"""Asking one rule or a few, in tests."""

from collections.abc import Iterable

from buildbook.records.finding import Raised
from buildbook.records.job import Job
from buildbook.rules.rule import Rule


def raised_by(rules: Rule | Iterable[Rule], job: Job) -> list[Raised]:
    """What the rules raise, in order."""
    found: list[Raised] = []
    for rule in (rules,) if isinstance(rules, Rule) else rules:
        assert rule.check is not None
        found.extend(rule.check(job))
    return found


def codes_of(rules: Rule | Iterable[Rule], job: Job) -> list[str]:
    return [raised.code for raised in raised_by(rules, job)]
