"""The document's logical structure: what each mark on a page is, in reading order (ISO 32000-1, 14.7)."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Content:
    """A marked-content sequence: page (from 0) and number on it."""

    page: int
    number: int


@dataclass(frozen=True, slots=True)
class LinkMark:
    """A link annotation, by its number among the document's links."""

    number: int


@dataclass(frozen=True, slots=True)
class Area:
    """What a figure covers: page (from 0) and left, low, right, high in points from the bottom left of it."""

    page: int
    left: float
    low: float
    right: float
    high: float


@dataclass(eq=False, slots=True)
class Node:
    """A structure element. role: standard structure type (P, H1, Table, ...). alt: for figures. area: of a figure."""

    role: str
    kids: list[Node | Content | LinkMark] = field(default_factory=list)
    alt: str = ""
    scope: str = ""  # of header cells: Column or Row
    span: int = 1  # columns a cell spans
    area: Area | None = None

    def add(self, role: str, *, alt: str = "", scope: str = "", span: int = 1) -> Node:
        """A new child element, after the ones there are."""
        node = Node(role, alt=alt, scope=scope, span=span)
        self.kids.append(node)
        return node
