"""Faults of identity, traceability, people and money."""

from __future__ import annotations

from jobs.planting import Edit

PLANTS: dict[str, Edit] = {}
