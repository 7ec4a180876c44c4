"""The reference page of the rules, made from their own text: `python -m buildbook.rules.reference > docs/rules.md`."""

from __future__ import annotations

import re
import sys
from collections import Counter

from buildbook.records.finding import Gate, Grade
from buildbook.rules import AREAS, RULES
from buildbook.rules.rule import Rule

_INTRO = """\
# Rules

What `buildbook check` asks of a job folder. This page is made from the rules' own text by
`python -m buildbook.rules.reference`; `buildbook rules CODE` prints the same for one rule.

A **stop** means no handover with this; a **query** means that a person must look; a **note** is worth knowing. A rule
that a gate does not ask is shown as a dash. A code that is retired is never used again.

Marks of sources: PUB-A official text, PUB-B maker or handbook, PUB-C secondary page, MEM from memory, PRAC common
practice without a source.
"""


def grades_of(rule: Rule) -> str:
    """The grades at the three gates in words: `intake query · progress query · handover stop`."""
    return " · ".join(f"{gate} {_grade(rule.grade_at(gate))}" for gate in Gate)


def _grade(grade: Grade | None) -> str:
    return grade.value if grade else "–"


def rule_line(rule: Rule) -> str:
    """One line for a list: the code and what it asks."""
    return f"{rule.code:<34} {rule.asks}"


def rule_text(rule: Rule) -> str:
    """One rule explained, for a terminal."""
    parts = (("Asks", rule.asks), ("Why", rule.why), ("What to do", rule.fix), ("Source", rule.source))
    lines = [rule.code, *(f"  {name}: {said}" for name, said in parts), f"  Grades: {grades_of(rule)}"]
    return "\n".join(lines) + "\n"


def _escaped(text: str) -> str:
    """Text as Markdown that shows it as it is."""
    return re.sub(r"([\\`*_<>\[\]|#])", r"\\\1", text)


def _section(rule: Rule) -> str:
    return (
        f"### `{rule.code}`\n\n{_escaped(rule.asks)}\n\n"
        f"- Why: {_escaped(rule.why)}\n"
        f"- To put it right: {_escaped(rule.fix)}\n"
        f"- Source: {_escaped(rule.source)}\n"
        f"- Grades: {grades_of(rule)}\n"
    )


def reference() -> str:
    """The whole page as Markdown."""
    at_handover = Counter(rule.handover for rule in RULES if rule.handover)
    counts = ", ".join(f"{at_handover[grade]} {grade.value}" for grade in Grade if at_handover[grade])
    parts = [_INTRO, f"{len(RULES)} rules; at handover {counts}.\n"]
    for title, area in AREAS:
        if area:
            parts.append(f"## {title}\n")
            parts.extend(_section(rule) for rule in area)
    return "\n".join(parts)


if __name__ == "__main__":
    sys.stdout.buffer.write(reference().encode("utf-8"))
