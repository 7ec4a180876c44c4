"""Marks for fixed strings that a table holds: they go into the catalogues, and whoever prints them looks them up."""

from __future__ import annotations


def N_(message: str, context: str = "") -> str:
    """The string itself. context: tells apart what English says with one word; the look-up must name it too."""
    return message


def forms(one: str, many: str) -> tuple[str, str]:
    """The forms of a string that counts."""
    return one, many
