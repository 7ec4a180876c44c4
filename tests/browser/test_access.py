"""No serious violation of accessibility: axe-core, whose rules test WCAG 2.1 A and AA, on each state of both pages"""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser
RUN = """async () => { const r = await axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"] });
                       return { passes: r.passes.length, found: r.violations.map(v => `${v.impact} ${v.id}: ${v.nodes.slice(0, 3).map(n => n.target.join(" ")).join(" | ")}`) }; }"""


def violations(page, axe):
    if not page.evaluate("Boolean(window.axe)"):
        page.evaluate(axe)
    told = page.evaluate(RUN)
    assert told["passes"] > 15
    return [one for one in told["found"] if one.split()[0] in ("serious", "critical")]


@pytest.mark.parametrize("width", [360, 1440])
def test_web_edition(open_page, made, axe, width):
    page = open_page(made.web, width)
    assert violations(page, axe) == []
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    page.locator(".place-link").first.click()
    page.locator("input[type=search]").first.fill("a")
    page.locator("#check-pick").set_input_files(str(made.job))
    page.wait_for_selector(".check-lists:not([hidden])")
    assert violations(page, axe) == []
    page.locator("main .photo a.photo-open:visible").first.click()
    assert violations(page, axe) == []


@pytest.mark.parametrize("width", [360, 1440])
def test_findings(open_page, made, axe, width):
    page = open_page(made.findings, width)
    assert violations(page, axe) == []
    page.locator("input[type=checkbox]").first.check()
    assert violations(page, axe) == []


def test_the_check_sees_a_violation(open_page, made, axe):
    page = open_page(made.web)
    page.evaluate("document.querySelectorAll('main img').forEach(i => i.removeAttribute('alt'))")
    assert any("image-alt" in one for one in violations(page, axe))
