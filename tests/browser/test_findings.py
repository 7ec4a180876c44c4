"""The findings page in a real browser: ticked by mouse and keyboard, on a phone and on paper"""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("width", [360, 768, 1440])
def test_it_opens_whole(open_page, made, width):
    page = open_page(made.findings, width)
    assert page.locator("h1").inner_text() == "Before handover"
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate("[...document.images].every(i => i.complete && i.naturalWidth)")


def test_boxes_are_ticked_by_mouse_on_the_words(open_page, made):
    page = open_page(made.findings)
    box = page.locator("input[type=checkbox]").first
    page.locator("label").first.click()
    assert box.is_checked()
    box.click()
    assert not box.is_checked()


def test_boxes_are_ticked_by_keyboard(open_page, made):
    page = open_page(made.findings)
    links = page.locator("nav a").count()
    assert links
    for _ in range(links):
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.tagName") == "A"
    target = page.evaluate("document.activeElement.getAttribute('href').slice(1)")
    for box in page.locator("input[type=checkbox]").all()[:5]:
        page.keyboard.press("Tab")
        assert box.evaluate("e => e === document.activeElement && getComputedStyle(e).outlineStyle !== 'none'")
        page.keyboard.press("Space")
        assert box.is_checked()
    page.locator("nav a").last.focus()
    page.keyboard.press("Enter")
    assert page.locator(f"#{target}").evaluate("e => e.getBoundingClientRect().top < innerHeight")


def test_each_box_has_its_own_words(open_page, made):
    page = open_page(made.findings)
    boxes = page.locator("input[type=checkbox]")
    assert boxes.count() > 5
    assert page.evaluate("[...document.querySelectorAll('input')].every(i => i.labels.length === 1 && i.labels[0].innerText.trim().length > 10)")
