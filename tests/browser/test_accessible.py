"""What we put into the page has no serious accessibility finding; nothing is said by colour alone."""

from __future__ import annotations

import re
from typing import Any

import pytest
from in_lab import Lab, uncover
from playwright.sync_api import Page, expect

from steadyneedle.teaching import look

pytestmark = pytest.mark.browser


def show_all(page: Page) -> None:
    """Have every prediction shown, so that every form says all it has to say."""
    uncover(page)
    waiting = page.get_by_role("button", name="Show me all")
    if waiting.count():
        waiting.click()
        expect(waiting).to_have_count(0)
    for name in ("Show me without predicting", "Show me without saying"):
        waiting = page.get_by_role("button", name=name)
        for left in range(waiting.count(), 0, -1):
            waiting.first.click()
            expect(waiting).to_have_count(left - 1)


def findings(page: Page, axe: str) -> list[str]:
    """Serious and critical findings inside our outputs."""
    page.evaluate(axe)
    result: dict[str, Any] = page.evaluate(
        "() => axe.run({include: [['.jp-OutputArea-output']]}, {resultTypes: ['violations']})"
    )
    return [
        f"{one['id']}: {one['help']}: {node['html'][:160]}"
        for one in result["violations"]
        if one["impact"] in ("serious", "critical")
        for node in one["nodes"]
    ]


@pytest.mark.parametrize(
    "lesson",
    [
        "00-start-here.ipynb",
        "01-pressure-and-units.ipynb",
        "02-how-the-first-stage-reduces.ipynb",
        "03-specification-bands.ipynb",
        "04-creep-and-its-cause.ipynb",
        "05-cleaning-choices.ipynb",
    ],
)
def test_axe_finds_nothing_serious(lab: Lab, axe: str, lesson: str) -> None:
    page = lab.page(lesson, height=16000)
    show_all(page)
    for part in ("check", "hint", "solution"):
        page.evaluate(
            "(part) => document.querySelectorAll(`.sn [data-part=${part}]`).forEach((one) => one.click())", part
        )
    pressed = page.locator(".sn [data-part=solution]").count()
    expect(page.locator(".sn [data-part=solution][aria-disabled=true]")).to_have_count(pressed)
    expect(page.locator(".sn strong:text-is('Worked solution')")).to_have_count(pressed)
    assert findings(page, axe) == []
    page.get_by_role("button", name="Dark", exact=True).click()
    expect(page.locator("body")).to_have_attribute("data-jp-theme-name", "JupyterLab Dark")
    assert findings(page, axe) == [], "on a dark ground"
    page.get_by_role("button", name="Light", exact=True).click()
    names = page.locator(".sn input, .sn select, .sn button").evaluate_all(
        "(all) => all.filter((e) => e.offsetParent).map((e) => e.getAttribute('aria-label') || (e.labels && e.labels[0] && e.labels[0].textContent) || e.textContent)"
    )
    assert len(names) > 8 and all(name.strip() for name in names), "every control has a name"
    for picture in page.locator(".sn-picture:not([hidden])").all():
        text = picture.get_attribute("aria-label") or picture.locator("img").get_attribute("alt")
        assert text and re.search(r"\d", text), "alternative text carries numbers"
    page.close()


def test_axe_would_see_a_fault(lab: Lab, axe: str) -> None:
    """The check itself works: a field without a name is found."""
    page = lab.page("00-start-here.ipynb", height=6000)
    page.evaluate("document.querySelector('.sn').append(document.createElement('input'))")
    assert any(found.startswith("label") for found in findings(page, axe))
    page.close()


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, WCAG 2.1 definition."""

    def luminance(colour: str) -> float:
        parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
        linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("ground", ["light", "dark"])
def test_words_stand_out_from_the_ground(ground: str) -> None:
    seen = look.in_dark if ground == "dark" else str
    for colour in (look.INK, look.QUIET, look.BLUE):
        assert contrast(seen(colour), seen(look.GROUND)) >= 4.5, colour
    for stroke in (look.VERMILION, look.BLUE, look.GREEN):
        assert contrast(seen(stroke), seen(look.GROUND)) >= 3, "strokes: 3 to 1 (WCAG 2.1, 1.4.11)"
