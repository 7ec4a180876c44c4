"""The web edition from the disk in a real browser: each tool by the mouse and by the keyboard alone"""

from __future__ import annotations

import hashlib
import re
import shutil

import pytest

pytestmark = pytest.mark.browser
WIDTHS = (360, 768, 1440)


def tab_to(page, element, most=400):
    """Press Tab until `element` has the focus, as somebody without a mouse does."""
    for _ in range(most):
        if element.evaluate("e => e === document.activeElement"):
            return
        page.keyboard.press("Tab")
    pytest.fail("cannot be reached by the keyboard")


def start_before(element):
    """Put the reader's place just before an element, so that the way by Tab is short."""
    element.evaluate(
        """e => { const stop = document.createElement("span"); stop.tabIndex = -1; (e.closest("svg") || e).before(stop); stop.focus(); }"""
    )


def uncovered(locator):
    """The first of several drawn shapes that lies on top at its middle, where the mouse would meet it."""
    on_top = """e => { e.scrollIntoView({ block: "center" }); const b = e.getBoundingClientRect();
                       return e.contains(document.elementFromPoint(b.x + b.width / 2, b.y + b.height / 2)); }"""
    return next(e for e in locator.all() if e.evaluate(on_top))


def shown(locator):
    return [e for e in locator.all() if e.is_visible()]


@pytest.fixture(params=["mouse", "keyboard"])
def use(request):
    """`use(page, element)`: click it, or reach it by Tab and press Enter."""

    def click(page, element, key="Enter"):
        element.click()

    def press(page, element, key="Enter"):
        start_before(element)
        tab_to(page, element, 60)
        page.keyboard.press(key)

    return click if request.param == "mouse" else press


@pytest.mark.parametrize("width", WIDTHS)
def test_it_opens_whole(open_page, made, until, width):
    page = open_page(made.web, width)
    assert page.title()
    for step in range(0, page.evaluate("document.documentElement.scrollHeight"), 2000):
        page.evaluate(f"scrollTo(0, {step})")
        page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")  # what is near is asked for
    until(page, "[...document.images].filter(i => i.checkVisibility()).every(i => i.complete && i.naturalWidth)")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    wide = page.evaluate(
        """() => [...document.querySelectorAll("main *, header *, footer *")].filter(e => e.checkVisibility() && !e.closest(".hidden, .scroller, .table, pre, svg, .pair, .skip")
             && e.getBoundingClientRect().right > innerWidth + 1).map(e => e.outerHTML.slice(0, 90))"""
    )
    assert wide == []


def test_it_stays_in_the_window_when_text_is_twice_as_large(open_page, made):
    """WCAG 2.1, 1.4.4 and 1.4.10: no sideways scrolling of the page at 320 CSS pixels, nor with text of 200 %."""
    assert open_page(made.web, 320).evaluate("document.documentElement.scrollWidth") <= 320
    page = open_page(made.web, 768)
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert page.evaluate("document.documentElement.scrollWidth") <= 768


def test_the_first_stop_leads_past_the_contents(open_page, made):
    page = open_page(made.web)
    page.keyboard.press("Tab")
    assert page.locator(".skip").evaluate("e => e === document.activeElement && e.getBoundingClientRect().top >= 0")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('main') !== null")


def test_all_of_it_can_be_read_without_the_script(open_page, made):
    page = open_page(made.web, java_script_enabled=False)
    assert page.locator(".check-by-hand").is_visible()
    assert page.locator(".place").count() == len(shown(page.locator(".place"))) > 5
    for hidden in (".pair-range", ".search", ".check-tools", ".viewer"):
        assert shown(page.locator(hidden)) == []
    assert page.locator("th button").count() == 0
    for before, after in zip(page.locator(".pair-before").all(), page.locator(".pair-after").all(), strict=True):
        left, right = before.bounding_box(), after.bounding_box()
        assert left["x"] + left["width"] <= right["x"]  # side by side, none over the other


# The slider -----------------------------------------------------------------------------------------------------------


def cut(pair):
    return pair.locator(".pair-after").evaluate("e => getComputedStyle(e).clipPath")


def test_slider_by_mouse(open_page, made):
    page = open_page(made.web)
    pair = page.locator("main .pair").first
    pair.scroll_into_view_if_needed()
    box = pair.locator(".pair-stage").bounding_box()
    y = box["y"] + box["height"] / 2
    assert "50%" in cut(pair)
    page.mouse.move(box["x"] + box["width"] * 0.5, y)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * 0.2, y, steps=4)
    page.mouse.up()
    assert pair.locator(".pair-range").input_value() == "20"
    assert "20%" in cut(pair)
    page.mouse.move(box["x"] + box["width"] * 0.9, y)  # let go: it stays
    assert "20%" in cut(pair)


def test_slider_by_keyboard(open_page, made):
    page = open_page(made.web)
    pair = page.locator("main .pair").first
    slider = pair.locator(".pair-range")
    start_before(slider)
    tab_to(page, slider, 3)
    for key, value in (("ArrowRight", "51"), ("ArrowLeft", "50"), ("Home", "0"), ("End", "100")):
        page.keyboard.press(key)
        assert slider.input_value() == value
        assert f"{value}%" in cut(pair) or value in ("0", "100")
    assert slider.get_attribute("aria-valuetext") == "0 % after"
    assert pair.locator(".pair-after").evaluate("e => getComputedStyle(e).clipPath").endswith("100%)")
    assert slider.get_attribute("aria-label")


# The map --------------------------------------------------------------------------------------------------------------


def test_map(open_page, made, use):
    page = open_page(made.web)
    (first,) = shown(page.locator(".place"))  # the one with most to tell
    zones = page.locator(".map-plan a.zone[aria-label]")
    assert {z.get_attribute("href") for z in zones.all() if "is-chosen" in z.get_attribute("class")} == {f"#{first.get_attribute('id')}"}
    anchor = uncovered(page.locator(".map-plan a.zone[aria-label]:not(.is-chosen)")).get_attribute("href")[1:]
    assert first.get_attribute("id") != anchor
    zone = page.locator(f".map-plan a.zone[aria-label][href='#{anchor}']")
    use(page, zone)
    (place,) = shown(page.locator(".place"))
    assert place.get_attribute("id") == anchor
    assert place.evaluate("e => e === document.activeElement")
    assert "is-chosen" in zone.get_attribute("class")
    assert page.locator(".place-link[aria-current]").get_attribute("href") == f"#{anchor}"
    assert place.evaluate("e => { const b = e.getBoundingClientRect(); return b.top < innerHeight && b.bottom > 0; }")
    link = page.locator(".place-link").last
    use(page, link)
    (place,) = shown(page.locator(".place"))
    assert link.get_attribute("href") == f"#{place.get_attribute('id')}"
    assert place.locator("li, .thumbs a").count() > 0


def test_each_zone_of_the_plan_opens_its_place(open_page, made):
    page = open_page(made.web)
    zones = page.locator(".map-plan a.zone").all()
    assert len(zones) > 10
    for zone in zones:
        zone.dispatch_event("click")
        assert [f"#{p.get_attribute('id')}" for p in shown(page.locator(".place"))] == [zone.get_attribute("href")]


def test_a_link_to_a_place_opens_it(open_page, made, until):
    page = open_page(made.web)
    anchor = page.locator(".place").nth(2).get_attribute("id")
    page.evaluate(f"location.hash = '#{anchor}'")
    until(page, f"!document.getElementById('{anchor}').hidden")


# The register ---------------------------------------------------------------------------------------------------------


def register(page):
    return page.locator("#section-parts")


def test_search(open_page, made, use):
    page = open_page(made.web)
    parts = register(page)
    field, rows = parts.locator("input[type=search]"), parts.locator("tbody tr")
    total = rows.count()
    use(page, field, "End")
    word = max(rows.last.locator("td").nth(1).inner_text().split(), key=len).strip(",.;")
    page.keyboard.type(word.upper())
    left = shown(rows)
    assert 0 < len(left) < total
    assert all(word.lower() in row.inner_text().lower() for row in left)
    assert parts.locator("[role=status]").inner_text() == f"{len(left)} of {total} rows"
    page.keyboard.type(" nothing like it")
    assert shown(rows) == []
    page.keyboard.press("Control+A")
    page.keyboard.press("Delete")
    assert len(shown(rows)) == total
    assert parts.locator("[role=status]").inner_text() == ""


def column(table, at):
    cells = table.locator(f"tbody tr td:nth-child({at + 1})").all()
    return [(c.get_attribute("data-key"), c.inner_text().split("\n")[0].strip()) for c in cells]


def test_sort(open_page, made, use):
    page = open_page(made.web)
    table = register(page).locator("table[data-sorts]").first
    titles = [t.strip() for t in table.locator("thead th").all_inner_texts()]
    before = table.locator("tbody tr").all_inner_texts()
    for at, title in enumerate(titles):
        head, button = table.locator("thead th").nth(at), table.locator("thead th button").nth(at)
        use(page, button)
        assert head.get_attribute("aria-sort") == "ascending", title
        up = column(table, at)
        use(page, button, "Space")
        assert head.get_attribute("aria-sort") == "descending"
        down = column(table, at)
        others = [h.get_attribute("aria-sort") for h in table.locator("thead th").all()]
        assert others.count("none") == len(titles) - 1
        if all(re.fullmatch(r"-?\d+(\.\d+)?", key or "") for key, _ in up):
            numbers = [float(key) for key, _ in up]
            assert numbers == sorted(numbers)
            assert [float(key) for key, _ in down] == sorted(numbers, reverse=True)
        given = [key or text for key, text in up if (key or text) not in ("", "–")]
        assert sorted(given) == sorted(key or text for key, text in down if (key or text) not in ("", "–"))
    assert sorted(table.locator("tbody tr").all_inner_texts()) == sorted(before)  # no row is lost or doubled


def test_a_folded_table_opens_for_a_link_into_it(open_page, made):
    page = open_page(made.web)
    row = page.locator("details.fold tr[id]").first
    assert not row.is_visible()
    page.evaluate(f"location.hash = '#{row.get_attribute('id')}'")
    row.wait_for(state="visible")


# Charts ---------------------------------------------------------------------------------------------------------------


def test_chart_values(open_page, made):
    page = open_page(made.web)
    chart = page.locator(".chart:has(.mark)").first
    marks, readout = chart.locator(".mark"), chart.locator(".readout")
    chart.scroll_into_view_if_needed()
    mark = uncovered(marks)
    mark.hover()
    assert readout.inner_text() == mark.get_attribute("aria-label")
    start_before(chart)
    tab_to(page, marks.first, 4)
    page.keyboard.press("ArrowRight")
    assert marks.nth(1).evaluate("e => e === document.activeElement")
    assert readout.inner_text() == marks.nth(1).get_attribute("aria-label")
    page.keyboard.press("End")
    assert readout.inner_text() == marks.last.get_attribute("aria-label")
    assert chart.evaluate("c => c.querySelectorAll('[tabindex=\"0\"].mark').length") == 1


# The viewer -----------------------------------------------------------------------------------------------------------


def view(page, name):
    return page.locator(f"#viewer [data-view={name}]")


def test_viewer(open_page, made, until, use):
    page = open_page(made.web)
    opener = page.locator("main .photo a.photo-open").first
    use(page, opener)
    viewer = page.locator("#viewer")
    assert viewer.is_visible()
    label = opener.get_attribute("data-photo")
    assert view(page, "label").inner_text() == label
    original = made.job / view(page, "file").inner_text()
    assert view(page, "hash").inner_text() == hashlib.sha256(original.read_bytes()).hexdigest()
    for name in ("caption", "taken", "stage", "camera", "used"):
        assert view(page, name).inner_text().strip()
    until(page, "(() => { const i = document.querySelector('.viewer-stage img'); return i.complete && i.naturalWidth; })()")
    page.keyboard.press("Escape")
    assert not viewer.is_visible()
    assert opener.evaluate("e => e === document.activeElement")  # the reader is where they were


def test_viewer_leafs(open_page, made):
    page = open_page(made.web)
    page.locator("main .photo a.photo-open").first.click()
    first = view(page, "label").inner_text()
    total = int(view(page, "count").inner_text().split()[-1])
    seen = [first]
    for _ in range(total - 1):
        page.keyboard.press("ArrowRight")
        seen.append(view(page, "label").inner_text())
    assert len(set(seen)) == total
    page.keyboard.press("ArrowRight")
    assert view(page, "label").inner_text() == first  # round
    page.keyboard.press("ArrowLeft")
    assert view(page, "label").inner_text() == seen[-1]
    page.locator("[data-do=next]").click()
    assert view(page, "label").inner_text() == first
    page.locator("[data-do=previous]").click()
    assert view(page, "label").inner_text() == seen[-1]
    page.keyboard.press("Home")
    assert view(page, "count").inner_text().startswith("1 ")
    page.locator("[data-do=close]").click()
    assert not page.locator("#viewer").is_visible()


def test_focus_stays_in_the_viewer(open_page, made):
    page = open_page(made.web)
    page.locator("main .photo a.photo-open").first.click()
    for _ in range(12):
        page.keyboard.press("Tab")
        inside = page.evaluate("document.activeElement === document.body || document.activeElement.closest('#viewer') !== null")
        assert inside


def test_from_a_photo_to_what_it_proves_and_back(open_page, made, until, use):
    page = open_page(made.web)
    use(page, page.locator("main .photo a.photo-open").first)
    label = view(page, "label").inner_text()
    link = view(page, "used").locator("a").first
    target = link.get_attribute("href")[1:]
    use(page, link)
    assert not page.locator("#viewer").is_visible()
    until(page, f"(() => {{ const b = document.getElementById('{target}').getBoundingClientRect(); return b.bottom > 0 && b.top < innerHeight; }})()")
    back = page.locator(f"main a[data-photo={label}]:visible").first
    use(page, back)
    assert view(page, "label").inner_text() == label


def test_a_label_in_the_text_opens_its_photo(open_page, made, use):
    page = open_page(made.web)
    targets = {f"#{t}" for t in page.evaluate("JSON.parse(document.getElementById('data').textContent).photos.map(p => p.target)")}
    link = next(a for a in page.locator("main .claim .proof a").all() if a.get_attribute("href") in targets)
    use(page, link)
    assert view(page, "label").inner_text() == link.inner_text()


# Self-verification ----------------------------------------------------------------------------------------------------


def choose(page, use_keyboard, folder):
    pick = page.locator("#check-pick")
    with page.expect_file_chooser() as asked:
        if use_keyboard:
            start_before(pick)
            tab_to(page, pick, 3)
            page.keyboard.press("Enter")
        else:
            pick.click()
    asked.value.set_files(str(folder))
    page.wait_for_selector(".check-lists:not([hidden]), [data-said=files].is-bad")


def listed(page):
    found = {}
    for name in ("ok", "changed", "missing", "added", "unread"):
        part = page.locator(f"[data-list={name}]")
        found[name] = sorted(part.locator("li").all_text_contents())
        assert part.is_visible() == bool(found[name])
    return found


def test_the_seal_is_computed(open_page, made, use):
    page = open_page(made.web)
    use(page, page.locator("[data-check=seal]"))
    said = page.locator("[data-said=seal]")
    page.wait_for_selector("[data-said=seal].is-good")
    seal = hashlib.sha256((made.issue / "manifest-sha256.txt").read_bytes()).hexdigest()
    assert seal in said.inner_text().replace(" ", "")
    assert said.get_attribute("role") == "status"


@pytest.mark.parametrize("by_keyboard", [False, True])
def test_the_job_folder_is_checked(open_page, made, tmp_path, by_keyboard):
    page = open_page(made.web)
    copy = tmp_path / "job"
    shutil.copytree(made.job, copy)
    paths = sorted(p.relative_to(copy).as_posix() for p in copy.rglob("*") if p.is_file() and "issued" not in p.parts)
    choose(page, by_keyboard, copy)
    assert listed(page) == {"ok": paths, "changed": [], "missing": [], "added": [], "unread": []}
    assert page.locator("[data-said=files]").inner_text().startswith(f"All {len(paths)} files")
    changed, gone = "condition.csv", next(p for p in paths if p.endswith(".jpg"))
    (copy / changed).write_bytes((copy / changed).read_bytes() + b"\n")
    (copy / gone).rename(copy / "put aside.jpg")
    (copy / ".DS_Store").write_bytes(b"litter")
    choose(page, by_keyboard, copy)
    left = sorted(set(paths) - {changed, gone})
    assert listed(page) == {"ok": left, "changed": [changed], "missing": [gone], "added": ["put aside.jpg"], "unread": []}
    said = page.locator("[data-said=files]")
    assert "is-bad" in said.get_attribute("class")
    assert "1 changed, 1 missing, 1 added" in said.inner_text()


def test_the_archive_is_checked_with_what_lies_beside(open_page, made, tmp_path):
    page = open_page(made.web)
    choose(page, False, made.issue / "archive")
    said = page.locator("[data-said=files]").inner_text()
    assert said.startswith("All ")
    assert "record.json beside the record is the one of this issue." in said
    copy = tmp_path / "archive"
    shutil.copytree(made.issue / "archive", copy)
    (found,) = copy.rglob("record.json")
    found.write_bytes(b"{}")
    choose(page, False, copy)
    assert "record.json beside the record is NOT the one" in page.locator("[data-said=files]").inner_text()


def test_another_folder_is_told_apart(open_page, made, tmp_path):
    page = open_page(made.web)
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "a.txt").write_text("x")
    choose(page, False, tmp_path / "other")
    assert "none of the files" in page.locator("[data-said=files]").inner_text()


def test_a_page_whose_manifest_was_changed_says_so(open_page, made, tmp_path):
    """A manifest put into the page in place of the sealed one has another digest."""
    import json
    from base64 import b64encode

    shutil.copytree(made.web.parent, tmp_path / "web")
    path = tmp_path / "web" / "index.html"
    text = path.read_text("utf-8")
    manifest = (made.issue / "manifest-sha256.txt").read_bytes()
    forged = b64encode(manifest.replace(manifest[:4], b"0000", 1)).decode()
    whole = json.dumps(b64encode(manifest).decode())
    assert whole in text
    path.write_text(text.replace(whole, json.dumps(forged)), "utf-8")
    page = open_page(path)
    page.locator("[data-check=seal]").click()
    page.wait_for_selector("[data-said=seal].is-bad")
    assert "NOT the seal" in page.locator("[data-said=seal]").inner_text()
