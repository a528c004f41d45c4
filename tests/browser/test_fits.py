"""Every lesson at the sizes it is looked at: panels fit, nothing is cut, figures can be read; on a wall from the back row.

A figure's smallest type is 18 of its 860 pixels (`tests/teaching/test_labels.py`), so its width says how large it is.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from in_lab import Lab, study, uncover
from playwright.sync_api import Browser, Page
from test_accessible import findings

from steadyneedle.foundation import notebooks, places
from steadyneedle.teaching import look

pytestmark = pytest.mark.browser
LESSONS = sorted(
    path.name for path in places.lessons().glob("*.ipynb") if "page" not in notebooks.mark_of(path)
)  # the glossary has nothing to operate
HEAD = 60
"""CSS pixels of the page's head."""
LAPTOP, LOW, WIDE = (1366, 768), (1366, 520), (1920, 1080)
ZOOMED = {"150 %": (911, 512), "200 %": (683, 384)}
"""What 1366 by 768 has left in CSS pixels."""
PHONE = (380, 700)
LEAST = 14.0
"""CSS pixels of the smallest type on a figure at 1366."""

SEEN = """() => [...document.querySelectorAll('.sn')].filter((one) => one.checkVisibility()).map((one) => {
    const box = one.getBoundingClientRect(), notice = one.querySelector('.sn-notice');
    const picture = one.querySelector('.sn-picture:not([hidden]) :is(svg, img)');
    const named = (all) => all.map((e) => e.textContent.trim().slice(0, 40)).filter(Boolean);
    const written = [...one.querySelectorAll('button, label, legend, h4, p, span, td, th, li, strong, select, output')]
        .filter((e) => e.checkVisibility() && !e.closest('svg'));
    const sized = written.filter((e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim()));
    return {
        title: one.querySelector('legend, h4')?.textContent || '', panel: one.matches('.sn-panel'),
        bench: one.matches('.sn-bench'), width: box.width, height: box.height,
        needed: notice ? notice.getBoundingClientRect().bottom - box.top : box.height,
        picture: picture && picture.getBoundingClientRect().width,
        outside: named(written.filter((e) => !e.closest('.sn-standing table')).filter((e) => { const r = e.getBoundingClientRect(); return r.right > box.right + 1 || r.left < box.left - 1; })),
        cut: named(written.filter((e) => e.tagName !== 'SELECT' && e.clientWidth && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display !== 'inline')),
        smallest: Math.min(...sized.map((e) => parseFloat(getComputedStyle(e).fontSize))),
    };
})"""
SIDEWAYS = "document.scrollingElement.scrollWidth - innerWidth"


def seen(page: Page, size: tuple[int, int]) -> list[dict[str, Any]]:
    """Every panel and form at a window's size; none is cut, and nothing needs scrolling sideways."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    found: list[dict[str, Any]] = page.evaluate(SEEN)
    assert len(found) > 4
    assert page.evaluate(SIDEWAYS) <= 0, size
    for one in found:
        assert not one["outside"] and not one["cut"], (size, one)
    return found


def type_of(one: dict[str, Any]) -> float:
    """CSS pixels of the smallest type on a panel's figure."""
    return float(one["picture"] / look.WIDTH * look.SMALLEST)


@pytest.fixture(scope="module")
def lab(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """A workbook of these tests alone: what others answer changes how high a form is."""
    with study(tmp_path_factory.mktemp("fits") / "work", browser) as running:
        yield running


@pytest.fixture(scope="module")
def class_room(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """The same on a wall."""
    with study(tmp_path_factory.mktemp("wall") / "work", browser, "--present") as running:
        yield running


@pytest.mark.parametrize("lesson", LESSONS)
def test_panels_fit_and_can_be_read(lab: Lab, lesson: str) -> None:
    page = lab.page(lesson, *LAPTOP)
    uncover(page)
    for size in (LOW, LAPTOP):
        for one in seen(page, size):
            assert one["smallest"] >= LEAST, (size, one)
            if one["picture"]:
                assert type_of(one) >= LEAST and one["height"] <= size[1] - (0 if size is LOW else HEAD), (size, one)
    for one in seen(page, WIDE):
        assert not one["panel"] or one["width"] > 0.8 * WIDE[0], "a wide window is used"
    for zoom, size in ZOOMED.items():
        for one in seen(page, size):
            assert not one["picture"] or type_of(one) * LAPTOP[0] / size[0] >= LEAST, (zoom, one)
    seen(page, PHONE)
    page.close()


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_wall_shows_a_panel_whole_and_large(class_room: Lab, axe: str, lesson: str) -> None:
    """Controls, picture and sentence on one screen; all type, on figures too, a thirtieth of the screen's height."""
    page = class_room.page(lesson, *LAPTOP)
    uncover(page)
    for width, high in (WIDE, LAPTOP):
        found = seen(page, (width, high))
        head = page.locator(".sn-head").bounding_box()
        assert head is not None
        for one in found:
            assert one["smallest"] >= high / 30 - 0.1, one
            if one["picture"]:
                assert type_of(one) >= high / 30 - 0.2, one
            if one["panel"]:
                # the rows that choose what is on lesson 02's bench, and on a laptop's screen, may follow below
                whole = (width, high) == WIDE and not (one["bench"] and lesson.startswith("02"))
                assert one["height" if whole else "needed"] <= high - head["height"], one
                assert one["width"] > 0.95 * width, one
    assert findings(page, axe) == []
    page.close()
