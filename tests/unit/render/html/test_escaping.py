"""What people write is text in every place of the page: it makes no element, no attribute, no script.

Strings: `awkward.json` of the tests of the PDF, and forms that end a script, a style, a comment or an attribute (the
states of the tokenizer in the HTML Living Standard, 13.2.5).
"""

from __future__ import annotations

import json
import re
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest
from unit.render import sample
from unit.render.html.elements import Elements, shape

from buildbook.dossier.model import Cover, Dossier, PhotoEntry, PlaceEntry, PlaceItem, Ref, text
from buildbook.render.html.assets import Asset, File
from buildbook.render.html.page import page

BREAKING = [
    "</script><script>alert(1)</script>",
    "<!--<script>",
    "]]><!--",
    "</style><style>*{display:none}",
    "\"><img src=x onerror=alert(1)>",
    "' autofocus onfocus='alert(1)",
    "javascript:alert(1)",
    "{{ 7 * 7 }}{% raw %}",
    "{w} {seal} {0} {",
    "\u2028\u2029 line ends of JSON",
    "&lt;b&gt; &#60; &amp;lt;",
]
PLAIN = "word"
ASSET = Asset(File("assets/a.jpg", 1600, 1200), File("assets/a-s.jpg", 400, 300))
KEPT = frozenset({"anchor", "target", "asset", "link", "heading", "style", "tone", "align", "seal", "previous_seal", "language", "paper", "colour", "stroke", "fill", "payload"})  # fmt: skip


def whole() -> Dossier:
    """The sample with photos to leaf through and places."""
    item = PlaceItem(ref=text(Ref("O1", "obs-O04")), says=text("Seen"))
    photos = tuple(
        PhotoEntry(
            label=f"P{n:03d}", target=f"photo-{n}", asset=sample.asset(n), width=4, height=3, alt="Seen from the side",
            path="steps/a.jpg", caption="Front", zone="Roof", stage="after", taken="4 March", camera="Camera",
            used=(Ref("S040", "step-S040"),),
        )
        for n in (1, 2)
    )  # fmt: skip
    place = PlaceEntry(
        anchor="place-roof", title="Roof", heading="zone-roof", observations=(item,), steps=(item,), parts=(item,),
        readings=(item,), photos=(Ref("P001", "photo-1"),),
    )  # fmt: skip
    return replace(sample.sample([PLAIN]), photos=photos, places=(place,), plan=sample.plan())


def said(thing: Any, word: str, name: str = "") -> Any:
    """The dossier with `word` for each text that is shown."""
    if isinstance(thing, str):
        return thing if name in KEPT or not thing else word
    if isinstance(thing, tuple):
        return tuple(said(one, word, name) for one in thing) if name != "commands" else thing
    if is_dataclass(thing):
        chosen = {f.name: said(getattr(thing, f.name), word, f.name) for f in fields(thing)}
        return replace(thing, **chosen)  # type: ignore[type-var]
    return thing


def made(word: str) -> str:
    dossier = said(whole(), word)
    assets = {sample.asset(n): ASSET for n in range(1, 21)}
    return page(dossier, assets, {"manifest-sha256.txt": b"x"}).encode("utf-8", "replace").decode("utf-8")


@pytest.fixture(scope="module")
def plain() -> Elements:
    return Elements(made(PLAIN))


def words(found: str) -> str:
    return " ".join(found.split())


@pytest.mark.parametrize("which", range(len(BREAKING)))
def test_breaking(which, plain):
    holds(BREAKING[which], plain)


def test_awkward(strings, plain):
    for one in strings:
        holds(one, plain)


def holds(one: str, plain: Elements) -> None:
    found = Elements(made(one))
    written = one.encode("utf-8", "replace").decode("utf-8")
    if "\n" not in one:
        assert shape(found) == shape(plain)
    text = words("".join(found.all[0].texts))
    assert text.count(words(written)) > 100
    assert words("".join(found.named("h1")[0].texts)) == words(written)
    attributes = [value for e in found.all for name, value in e.attrs.items() if name in ("alt", "aria-label")]
    assert sum(words(written) in words(value) for value in attributes) > 20
    (data,) = [e for e in found.named("script") if e.attrs.get("type") == "application/json"]
    photo = json.loads("".join(data.texts))["photos"][0]
    assert {photo[name] for name in ("label", "alt", "caption", "taken", "camera", "place", "stage", "file")} == {one}
    assert photo["used"] == [[one, "step-S040"]]


def test_the_check_sees_a_text_that_is_not_escaped(monkeypatch, plain):
    """The check above can fail: with escaping switched off each string that is markup is found."""
    from buildbook.render.html import page as module

    environment = module._environment

    def unescaped(*parts):
        made = environment(*parts)
        made.autoescape = False
        return made

    monkeypatch.setattr(module, "_environment", unescaped)
    with pytest.raises(AssertionError):
        holds("<b>x</b>", plain)
    with pytest.raises(AssertionError):
        holds(BREAKING[0], plain)


def test_no_template_lets_text_through_as_markup():
    """`safe` and `Markup` stand nowhere in the templates, and in the code only around our own style and script."""
    from pathlib import Path

    folder = Path(page.__code__.co_filename).parent
    for template in sorted((folder / "templates").iterdir()):
        assert not re.search(r"\|\s*safe|Markup|autoescape", template.read_text("utf-8")), template.name
    found = [line.strip() for path in sorted(folder.glob("*.py")) for line in path.read_text("utf-8").splitlines() if "Markup(" in line]
    assert [line.split("#")[0].strip() for line in found] == ["script=Markup(script),", "style=Markup(style),"]


def test_a_cover_without_a_picture_is_escaped_too(plain):
    cover = said(Cover(vehicle="a", subtitle="b", facts=(("c", "d"),), workshop="e", workshop_address="f", statement="g"), "<i>")
    assets = {sample.asset(n): ASSET for n in range(1, 21)}
    assert Elements(page(replace(whole(), cover=cover), assets, {})).named("i") == []
