"""Where vector figures join the dossier: each list is walked in order, and what a maker returns is placed.

A maker is a pure function `(view) -> figures`; it returns none where the record holds nothing to draw. A maker for
readings is asked once for each kind, and its figures stand above the tables of that kind.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from buildbook.dossier.model import Figure
from buildbook.dossier.view import View

# At the opening of section 3: plans of the vehicle.
CONDITION_FIGURES: list[Callable[[View], Sequence[Figure]]] = []

# In section 6, above the tables of one kind of reading (named by the second argument).
READING_FIGURES: list[Callable[[View, str], Sequence[Figure]]] = []


def condition_figures(view: View) -> list[Figure]:
    return [figure for maker in CONDITION_FIGURES for figure in maker(view)]


def reading_figures(view: View, kind: str) -> list[Figure]:
    return [figure for maker in READING_FIGURES for figure in maker(view, kind)]
