"""The web edition's page: whole, closed to the network, the same bytes each time, its evidence linked both ways"""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
from base64 import b64decode, b64encode
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from PIL import Image
from unit.render.html.elements import Elements

from buildbook.dossier.blocks import flat, texts_of
from buildbook.dossier.model import Claim, Heading, Table
from buildbook.dossier.passed_over import litter
from buildbook.errors import BuildbookError
from buildbook.render.html import render_html

STATIC = Path(render_html.__code__.co_filename).parent / "static"


def data_of(page):
    (element,) = [e for e in page.named("script") if e.attrs.get("type") == "application/json"]
    return json.loads("".join(element.texts))


def files_of(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_the_page_names_its_language_and_can_be_walked(edition):
    page = edition.page
    assert page.named("html")[0].attrs == {"lang": edition.dossier.language}
    assert "".join(page.named("title")[0].texts) == edition.dossier.title
    assert [len(page.named(tag)) for tag in ("h1", "main", "footer", "dialog")] == [1, 1, 1, 1]
    first = next(e for e in page.all if e.tag == "a")
    assert first.attrs["href"] == "#main"  # WCAG 2.1, 2.4.1: a way past what is repeated
    ranks = [int(e.tag[1]) for e in page.all if re.fullmatch("h[1-6]", e.tag) and "dialog" not in e.within]
    assert ranks[0] == 1
    assert all(b <= a + 1 for a, b in pairwise(ranks))  # no rank is left out on the way down
    assert all(e.attrs["alt"].strip() for e in page.named("img"))
    for button in page.named("button"):
        assert "".join(button.texts).strip() or button.attrs["aria-label"]
    for field in (e for e in page.named("input") if e.attrs["type"] != "range"):
        assert [e for e in page.named("label") if e.attrs["for"] == field.attrs["id"]]


def test_each_section_stands_in_the_contents(edition):
    contents = [
        e.attrs["href"]
        for e in edition.page.all
        if e.tag == "a" and e.parent and "nav" in e.within and "main" not in e.within
    ]
    for section in edition.dossier.sections:
        assert f"#{section.anchor}" in contents
        assert edition.page.by_id[section.anchor].tag == "section"


def test_ids_are_single_and_each_link_of_the_page_leads_somewhere(edition):
    ids = [e.attrs["id"] for e in edition.page.all if "id" in e.attrs]
    assert len(ids) == len(set(ids))
    links = [e.attrs["href"] for e in edition.page.all if e.attrs.get("href", "").startswith("#")]
    assert len(links) > 200
    assert {link[1:] for link in links} <= set(ids)
    for name in ("aria-labelledby", "for"):
        assert {e.attrs[name] for e in edition.page.all if name in e.attrs} <= set(ids)


def test_policy_lets_in_this_style_and_this_script_and_no_other(edition):
    """CSP Level 3, 8.3: a hash source is the base64 of the digest of the element's text as it stands in the page."""
    page = edition.page
    (policy,) = [e for e in page.named("meta") if e.attrs.get("http-equiv") == "Content-Security-Policy"]
    said = dict(part.strip().split(" ", 1) for part in policy.attrs["content"].split(";"))
    (style,) = page.named("style")
    (script,) = [e for e in page.named("script") if "type" not in e.attrs]

    def digest(element):
        return f"'sha256-{b64encode(hashlib.sha256(''.join(element.texts).encode()).digest()).decode()}'"

    assert said == {
        "default-src": "'none'", "img-src": "'self' data:", "font-src": "data:", "base-uri": "'none'", "form-action": "'none'",
        "style-src": digest(style), "script-src": digest(script),
    }  # fmt: skip
    assert policy.at < style.at < script.at
    assert not [e for e in page.all if "style" in e.attrs or any(name.startswith("on") for name in e.attrs)]
    assert not [e for e in page.all if e.tag in ("iframe", "object", "embed", "base", "form", "frame", "portal")]


def test_nothing_is_asked_of_any_network(edition):
    told = set()
    for element in edition.page.all:
        for name in ("src", "href", "srcset", "poster", "action", "data", "ping", "background", "xlink:href"):
            if name in element.attrs:
                parts = element.attrs[name].split(",") if name == "srcset" else [element.attrs[name]]
                told |= {part.split()[0] for part in parts if not part.startswith("#")}
    there = files_of(edition.folder)
    assert told - {"data:,"} <= set(there)
    assert {name for name in there if name.startswith("assets/")} <= told
    style, script = (STATIC / "edition.css").read_text("utf-8"), (STATIC / "edition.js").read_text("utf-8")
    assert not re.search(r"url\(|@import|@font-face|https?:", style)
    assert not re.search(r"\b(fetch|XMLHttpRequest|WebSocket|EventSource|sendBeacon|import|eval|Function|innerHTML|outerHTML|insertAdjacentHTML|document\.write)\b|https?:", script)


def test_pictures_are_copies_in_two_sizes_with_their_size_said(edition):
    there = files_of(edition.folder)
    assert {name.split("/")[0] for name in there} == {"index.html", "assets"}
    shown = {p.asset for p in edition.dossier.photos} | set(edition.dossier.assets)
    for asset in shown:
        for edge, mark in (("print", ""), ("small", "-s")):
            assert there[f"assets/{asset[:12]}{mark}.jpg"] == edition.library.rendition(asset, edge).read_bytes()
    assert len(there) == 1 + 2 * len(shown)
    eager = []
    for img in edition.page.named("img"):
        with Image.open(edition.folder / img.attrs["src"]) as small:
            sizes = {img.attrs["src"]: small.size}
        for part in filter(None, img.attrs.get("srcset", "").split(",")):
            href, wide = part.split()
            with Image.open(edition.folder / href) as picture:
                sizes[href] = picture.size
            assert wide == f"{sizes[href][0]}w"
        assert (int(img.attrs["width"]), int(img.attrs["height"])) in sizes.values()
        if img.attrs.get("loading") != "lazy":
            eager.append(img)
    assert len(eager) <= 2  # the opening picture, before and after


def test_same_arguments_same_bytes(edition, tmp_path):
    first = files_of(edition.folder)
    out = tmp_path / "again"
    out.mkdir()
    told = []
    backwards = dict(reversed(edition.files.items()))
    render_html(edition.dossier, edition.library.rendition, backwards, out, lambda done, of: told.append((done, of)))
    assert files_of(out) == first
    assert told == [(n, len(edition.dossier.assets)) for n in range(1, len(edition.dossier.assets) + 1)]


def test_the_order_of_sets_does_not_show():
    """Python's sets of strings change their order with the seed of the hash."""
    code = (
        "import hashlib; from unit.render import sample; from buildbook.render.html.assets import Asset, File\n"
        "from buildbook.render.html.page import page\n"
        "one = Asset(File('assets/a.jpg', 4, 3), File('assets/a-s.jpg', 4, 3))\n"
        "made = page(sample.sample(), {sample.asset(n): one for n in range(1, 21)}, {'manifest-sha256.txt': b'x'})\n"
        "print(hashlib.sha256(made.encode()).hexdigest())"
    )
    tests = str(Path(__file__).parents[3])
    found = {
        subprocess.run(
            [sys.executable, "-c", code], check=True, capture_output=True, text=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": tests},
        ).stdout
        for seed in ("1", "2")
    }  # fmt: skip
    assert len(found) == 1


def test_what_the_page_checks_itself_against(edition):
    check = data_of(edition.page)["check"]
    manifest = b64decode(check["manifest"])
    assert manifest == edition.files["manifest-sha256.txt"]
    assert check["seal"] == hashlib.sha256(manifest).hexdigest() == edition.dossier.seal
    assert check["beside"] == {"record.json": hashlib.sha256(b"{}\n").hexdigest()}
    assert check["litter"] == list(litter.NAMES)
    assert f"{len(manifest.splitlines())} files sealed" in edition.text
    grouped = " ".join(check["seal"][at : at + 4] for at in range(0, 64, 4))
    assert "".join(edition.page.by_id["check"].texts).find(grouped) > 0


# Evidence, both ways -------------------------------------------------------------------------------------------------


def leads_to(elements, photo):
    return any(
        e.tag == "a" and (e.attrs.get("href") == f"#{photo.target}" or e.attrs.get("data-photo") == photo.label)
        for e in elements
    )


def test_each_photo_names_what_it_is_evidence_for_and_is_reached_from_there(edition):
    shown = {photo["label"]: photo for photo in data_of(edition.page)["photos"]}
    assert list(shown) == [photo.label for photo in edition.dossier.photos]
    links = 0
    for photo in edition.dossier.photos:
        said = shown[photo.label]
        assert said["hash"] == photo.asset
        assert said["file"] == photo.path
        assert said["target"] == photo.target
        assert said["used"] == [[ref.label, ref.target] for ref in photo.used]
        assert leads_to(edition.page.all, photo)
        for ref in photo.used:
            links += 1
            assert leads_to(edition.page.under(ref.target), photo), (photo.label, ref)
    assert links >= len(shown)


def test_each_record_that_cites_a_photo_is_named_by_it(edition):
    """From the sections: every row, claim or heading with an anchor that links a photo stands in the photo's list."""
    by_target = {photo.target: photo for photo in edition.dossier.photos}
    cited = 0
    for section in edition.dossier.sections:
        for block in flat(section.blocks):
            if not isinstance(block, Table) or section.anchor == "section-index":
                continue
            for row in block.rows:
                for run in (run for cell in row.cells for run in cell):
                    if row.anchor and run.target in by_target:
                        cited += 1
                        assert row.anchor in [ref.target for ref in by_target[run.target].used], (row.anchor, run)
    assert cited > 3


def test_each_link_of_the_dossier_is_a_link_of_the_page(edition):
    hrefs = {e.attrs["href"][1:] for e in edition.page.all if e.attrs.get("href", "").startswith("#")}
    for section in edition.dossier.sections:
        for block in flat(section.blocks):
            targets = {run.target for words in texts_of(block) for run in words}
            if isinstance(block, Claim):
                targets |= {ref.target for ref in block.evidence}
            targets &= set(edition.page.by_id)
            assert targets - {""} <= hrefs


def test_each_place_lists_its_records_and_is_reached_from_the_plan(edition):
    page = edition.page
    for place in edition.dossier.places:
        assert page.by_id[place.anchor].tag == "article"
        assert [e for e in page.named("a") if e.attrs["href"] == f"#{place.anchor}" and "nav" in e.within]
        inside = page.under(place.anchor)
        hrefs = [e.attrs.get("href", "") for e in inside]
        for item in (*place.observations, *place.steps, *place.parts, *place.readings):
            assert all(f"#{run.target}" in hrefs for run in item.ref if run.target)
        opened = {e.attrs["data-photo"] for e in inside if "data-photo" in e.attrs}
        assert opened == {ref.label for ref in place.photos}
    drawn = {e.attrs["href"][1:] for e in page.named("a") if e.attrs.get("class") == "zone"}
    assert drawn
    assert drawn <= {place.anchor for place in edition.dossier.places}


# Other forms ---------------------------------------------------------------------------------------------------------


def page_of(dossier, edition, tmp_path, files=None):
    out = tmp_path / "web"
    out.mkdir()
    render_html(dossier, edition.library.rendition, edition.files if files is None else files, out)
    return Elements((out / "index.html").read_text("utf-8"))


def test_a_draft_says_so_and_has_no_issue(edition, tmp_path):
    page = page_of(replace(edition.dossier, draft=True, issue=0), edition, tmp_path)
    assert "DRAFT" in "".join(next(e for e in page.all if e.attrs.get("class") == "draft").texts)
    assert "Issue 0" not in "".join(page.all[0].texts)


def test_without_photos_plan_and_manifest_the_page_is_whole(edition, tmp_path):
    bare = replace(edition.dossier, photos=(), places=(), plan=None, assets=(), sections=(
        replace(edition.dossier.sections[0], blocks=(Heading(level=2, text="Alone", anchor="alone"),)),
    ), cover=replace(edition.dossier.cover, picture=None))  # fmt: skip
    page = page_of(bare, edition, tmp_path, {})
    assert page.named("img") == []
    assert "map" not in page.by_id
    assert data_of(page)["photos"] == []
    assert data_of(page)["check"]["manifest"] == ""


def test_a_rendition_that_is_no_jpeg_is_refused_by_name(edition, tmp_path):
    bad = tmp_path / "bad.jpg"
    bad.write_bytes(b"GIF89a")
    (tmp_path / "web").mkdir()
    with pytest.raises(BuildbookError, match=edition.dossier.assets[0][:12]):
        render_html(edition.dossier, lambda asset, edge: bad, edition.files, tmp_path / "web")
