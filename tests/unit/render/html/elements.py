"""A page read back with the standard library's parser: its elements in order, who lies in whom, and what each says."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = frozenset({"meta", "link", "img", "input", "br"})  # HTML Living Standard, 13.1.2: elements without an end tag


@dataclass(eq=False)
class Element:
    """at, end: its place in the order of the page, and that of the first element after it."""

    tag: str
    attrs: dict[str, str]
    parent: Element | None
    at: int
    end: int = 0
    texts: list[str] = field(default_factory=list)

    @property
    def within(self) -> list[str]:
        """Tags of itself and of all it lies in."""
        return [self.tag, *(self.parent.within if self.parent else [])]


class Elements(HTMLParser):
    """All elements of a page. An element that is not closed, or closed twice, is an error."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.all: list[Element] = []
        self._open: list[Element] = []
        self.feed(page)
        self.close()
        assert not self._open, self._open[-1].tag
        self.by_id = {e.attrs["id"]: e for e in self.all if "id" in e.attrs}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert len({name for name, _ in attrs}) == len(attrs), (tag, attrs)
        given = {name: value or "" for name, value in attrs}
        made = Element(tag, given, self._open[-1] if self._open else None, len(self.all))
        self.all.append(made)
        if tag not in VOID:
            self._open.append(made)
        else:
            made.end = len(self.all)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        closed = self._open.pop()
        assert closed.tag == tag, (closed.tag, tag)
        closed.end = len(self.all)

    def handle_data(self, data: str) -> None:
        for element in self._open:
            element.texts.append(data)

    def named(self, tag: str) -> list[Element]:
        return [e for e in self.all if e.tag == tag]

    def under(self, anchor: str) -> list[Element]:
        """What a reader sees who follows a link to `anchor`: the element, or, of a heading, all up to its next equal."""
        found = self.by_id[anchor]
        if found.tag not in ("h2", "h3", "h4"):
            return self.all[found.at : found.end]
        end = found.parent.end if found.parent else len(self.all)
        later = (e.at for e in self.all[found.end : end] if e.tag in ("h2", "h3", "h4") and e.tag <= found.tag)
        return self.all[found.at : next(later, end)]


def shape(page: Elements) -> list[tuple[str, tuple[str, ...]]]:
    """The page without its words: tags and the names of their attributes. Short words and dates have a class of their own."""
    found = [e for e in page.all if e.attrs != {"class": "c-whole"} or e.tag != "span"]
    return [(e.tag, tuple(name for name in e.attrs if name != "class")) for e in found]
