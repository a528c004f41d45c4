"""A lesson as a page: live without a click, nothing of JupyterLab in sight, nothing written, nothing strange run."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from in_lab import PATIENCE, Lab, run_all, study, uncover, wait_until_live
from playwright.sync_api import Browser, Page, expect

from steadyneedle.foundation import notebooks, places
from steadyneedle.lesson_view import launch
from steadyneedle.lesson_view.running import served
from steadyneedle.workplace import update_copy

pytestmark = pytest.mark.browser
LESSON = "01-pressure-and-units.ipynb"
FAILED = re.compile("model not found|Failed to initialize")
"""What is said of a widget that gives up."""


FOURTH = "04-creep-and-its-cause.ipynb"
TO_THE_END = """() => new Promise((done) => {
    const end = document.scrollingElement.scrollHeight - innerHeight;
    scrollTo({ top: end, behavior: 'instant' });
    const now = scrollY;
    requestAnimationFrame(() => requestAnimationFrame(() => done({ end: Math.floor(end), now: Math.floor(now), drawn: Math.floor(scrollY) })));
})"""


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[Page]:
    page = lab.page(LESSON, height=768)
    uncover(page)
    yield page
    page.close()


def top_of(page: Page, cell: str) -> float:
    """How far below the head a cell begins."""
    return float(
        page.evaluate(
            "(id) => document.querySelector(`[data-cell='${id}']`).getBoundingClientRect().top"
            " - document.querySelector('.sn-head').getBoundingClientRect().height",
            cell,
        )
    )


def until_kept(page: Page, lab: Lab, true: Callable[[dict], object]) -> None:
    """Until the learner's file holds what the page sent: the kernel writes it."""
    for _ in range(PATIENCE // 100):
        if true(kept(lab)):
            return
        page.wait_for_timeout(100)
    raise AssertionError(kept(lab))


def kept(lab: Lab) -> dict:
    return json.loads((lab.folder / "my-work.json").read_text(encoding="utf-8")).get("page", {})


def test_nothing_of_jupyterlab_is_in_sight(page: Page) -> None:
    expect(page).to_have_title("01 Pressure and its units")
    for gone in ("#jp-top-panel", "#jp-MainMenu", ".jp-SideBar", "#jp-bottom-panel", ".jp-Toolbar", ".jp-InputPrompt",
                 ".jp-OutputPrompt", ".jp-Collapser", ".sn-source", ".sn-how-to-run", ".cm-editor"):  # fmt: skip
        for one in page.locator(gone).all():
            assert not one.is_visible(), gone
    assert page.locator("[role=tab], [role=menubar]").locator("visible=true").count() == 0
    names = page.locator(".sn-head :is(a, button)").evaluate_all(
        "(all) => all.map((e) => e.getAttribute('aria-label') || e.textContent)"
    )
    assert names == ["← 00 Start here", "02 How the first stage reduces →", "My progress", "Show the code",
                     "Small text", "Medium text", "Large text", "Dark"]  # fmt: skip


def test_everything_is_live_and_every_cell_is_in_the_page(page: Page) -> None:
    book = notebooks.read(places.lessons() / LESSON)
    assert page.locator(".sn-cell").count() == len(book["cells"])
    assert page.locator(".sn-live").count() == len(notebooks.code_of(book))
    assert page.locator(".sn-still").locator("visible=true").count() == 0
    assert page.locator(".sn-panel").count() == 4 and page.locator(".sn-form").count() > 10
    text = page.inner_text("main")
    assert "Sources" in text and "Loading widget" not in text and "Error" not in text
    assert page.evaluate("getComputedStyle(document.scrollingElement).overflowY") != "hidden", (
        "the document itself scrolls"
    )


def test_prose_is_large_enough_its_lines_are_short_and_a_wide_window_is_used(page: Page) -> None:
    measure = """() => { const p = document.querySelector('.sn-markdown p'); const s = getComputedStyle(p);
        return [parseFloat(s.fontSize), p.getBoundingClientRect().width / parseFloat(s.fontSize),
                document.querySelector('.sn-panel').getBoundingClientRect().width]; }"""
    size, measured, wide = page.evaluate(measure)
    assert size >= 17 and measured <= 45 and wide > 1150
    page.set_viewport_size({"width": 1920, "height": 1080})
    try:
        large, measured, wide = page.evaluate(measure)
        assert large > size and measured <= 45 and wide > 1500
    finally:
        page.set_viewport_size({"width": 1366, "height": 768})


def test_text_size_ground_and_code_are_chosen_in_the_head_and_kept(page: Page, lab: Lab) -> None:
    def size() -> float:
        return float(page.evaluate("parseFloat(getComputedStyle(document.querySelector('.sn-markdown p')).fontSize)"))

    small = size()
    page.get_by_role("button", name="Large text").click()
    assert size() > small * 1.3
    page.get_by_role("button", name="Dark", exact=True).click()
    expect(page.locator("body")).to_have_attribute("data-jp-theme-name", "JupyterLab Dark")
    page.get_by_role("button", name="Show the code").click()
    expect(page.locator(".sn-source").first).to_be_visible()
    expect(page.locator(".sn-source").first).to_contain_text('lesson = open_lesson("01")')
    page.get_by_role("button", name="Show the code").click()
    expect(page.locator(".sn-source").first).to_be_hidden()
    until_kept(
        page, lab, lambda entry: (entry.get("text"), entry.get("ground"), entry.get("lesson")) == (3, "dark", "01")
    )
    page.reload()
    wait_until_live(page)
    uncover(page)
    assert size() > small * 1.3
    expect(page.locator(".sn-lesson")).to_have_attribute("data-ground", "dark")
    page.get_by_role("button", name="Small text").click()
    page.get_by_role("button", name="Light", exact=True).click()
    expect(page.locator("body")).to_have_attribute("data-jp-theme-name", "JupyterLab Light")
    assert size() == small


def test_my_progress_leads_to_the_table_and_can_be_answered_better(page: Page) -> None:
    page.get_by_role("button", name="My progress").click()
    expect(page.get_by_role("heading", name="My progress")).to_be_in_viewport()
    page.locator(".sn-standing a").first.click()
    expect(page.locator("#sn-01-exercises-the_other_scale")).to_be_in_viewport()
    page.evaluate("window.scrollTo({top: 0, behavior: 'instant'})")
    page.evaluate("document.addEventListener('steadyneedle:progress', (event) => event.preventDefault(), {once: true})")
    page.get_by_role("button", name="My progress").click()
    page.wait_for_timeout(200)
    assert page.evaluate("window.scrollY") == 0, "somebody else answered"


def test_nothing_is_ever_written_into_a_lesson(page: Page, lab: Lab) -> None:
    before = {path: path.read_bytes() for path in lab.folder.rglob("*.ipynb")}
    requests: list[str] = []
    page.on("request", lambda request: requests.append(f"{request.method} {request.url}"))
    slider = page.locator(".sn-panel input[type=range]").last
    slider.focus()
    page.keyboard.press("ArrowRight")
    page.locator("body").click(position={"x": 5, "y": 300})
    for keys in ("Control+s", "d", "d", "x", "a", "Enter", "Shift+Enter", "Control+Shift+c"):
        page.keyboard.press(keys)
    page.locator(".sn-markdown").nth(1).dblclick()
    page.wait_for_timeout(500)
    assert page.locator(".cm-editor, .jp-Dialog, .jp-CommandPalette:visible").locator("visible=true").count() == 0
    model = "document.querySelector('.sn-lesson').page.context"
    page.evaluate(f"{model}.save()")
    page.evaluate(f"{model}.createCheckpoint()")
    assert page.evaluate(f"{model}.model.dirty") is False
    writing = [one for one in requests if re.match("(PUT|PATCH|POST|DELETE).*/api/contents", one)]
    assert writing == []
    assert before == {path: path.read_bytes() for path in lab.folder.rglob("*.ipynb")}
    assert not list(lab.folder.rglob(".ipynb_checkpoints"))
    asked: list[str] = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.goto("about:blank")
    page.go_back()
    wait_until_live(page)
    uncover(page)
    assert asked == [], "nobody is asked whether to discard anything"


def test_a_lesson_opens_where_it_was_left_and_the_next_one_lies_beside_it(lab: Lab) -> None:
    page = lab.page("03-specification-bands.ipynb", height=633)
    cell = notebooks.read(places.lessons() / "03-specification-bands.ipynb")["cells"][14]["id"]
    page.evaluate("(by) => window.scrollBy({top: by, behavior: 'instant'})", top_of(page, cell) - 40)
    until_kept(page, lab, lambda entry: entry.get("places", {}).get("03", {}).get("cell") == cell)
    assert kept(lab)["places"]["03"]["offset"] == pytest.approx(-40, abs=2)
    failed: list[str] = []
    page.on("console", lambda said: failed.append(said.text) if FAILED.search(said.text) else None)
    page.reload()
    page.wait_for_selector("body:not(.sn-opening) .sn-lesson")
    assert top_of(page, cell) == pytest.approx(40, abs=3), "the page appears there"
    wait_until_live(page)
    assert top_of(page, cell) == pytest.approx(40, abs=3), "and nothing jumps while the rest comes alive"
    assert failed == [], "every widget comes alive at the first attempt"
    page.get_by_role("link", name="04 Creep and its cause →").click()
    wait_until_live(page)
    expect(page).to_have_title("04 Creep and its cause")
    assert page.evaluate("window.scrollY") == 0
    until_kept(page, lab, lambda entry: entry.get("lesson") == "04")
    assert kept(lab)["places"]["03"]["cell"], "each lesson has a place of its own"
    page.close()


def test_scrolling_never_waits_for_a_cell(lab: Lab) -> None:
    """The kernel is stopped altogether while the lesson's first cells run: the page goes to its end all the same."""
    page = lab.page(FOURTH)
    kernels = lab.kernels()
    for kernel in kernels:
        os.kill(kernel, signal.SIGSTOP)
    try:
        page.reload()
        page.wait_for_selector("body:not(.sn-opening) .sn-lesson")
        at = page.evaluate(TO_THE_END)
        assert at["end"] > 5000 and at["now"] == at["end"], "at once"
        assert at["drawn"] == at["end"], "and in the next picture of the page"
        page.mouse.wheel(0, -600)
        page.wait_for_function("(end) => scrollY < end", arg=at["end"])
        assert page.locator(".sn-lesson").get_attribute("data-state") == "still", "all this while nothing has run"
    finally:
        for kernel in kernels:
            os.kill(kernel, signal.SIGCONT)
    wait_until_live(page)
    page.close()


def test_a_printed_lesson_is_whole(page: Page) -> None:
    page.emulate_media(media="print")
    try:
        assert not page.locator(".sn-head").is_visible()
        last = page.locator(".sn-cell").last
        assert last.is_visible() and last.bounding_box()["y"] + page.evaluate("scrollY") > 3000  # type: ignore[index]
        clipped = """() => { for (let e = document.querySelector('.sn-cell:last-child'); e; e = e.parentElement)
            if (['auto', 'scroll', 'hidden', 'clip'].includes(getComputedStyle(e).overflowY) && e !== document.documentElement) return e.className || e.tagName;
            return ''; }"""
        assert page.evaluate(clipped) == "", "no box cuts the lesson off"
    finally:
        page.emulate_media(media="screen")


def change(path: Path, source: str) -> None:
    """A lesson with one changed cell, still marked as ours."""
    book = notebooks.read(places.lessons() / (path.name if (places.lessons() / path.name).exists() else LESSON))
    [*_, cell] = [one for one in book["cells"] if notebooks.source_of(one).startswith("lesson.exercise(")]
    cell["source"] = source
    path.write_text(notebooks.as_text(book), encoding="utf-8")


def test_of_a_lesson_with_a_strange_cell_nothing_runs(lab: Lab, tmp_path: Path) -> None:
    ran = tmp_path / "ran"
    path = lab.folder / "a lesson by mail.ipynb"
    change(path, f"open({str(ran)!r}, 'w')")
    page = lab.open(path.name)
    page.on("dialog", lambda dialog: dialog.accept())
    expect(page.locator(".sn-say p")).to_have_text("This page holds code that is not ours.")
    expect(page.get_by_role("heading", name="Warm-up", exact=True)).to_be_visible()
    page.wait_for_timeout(2500)
    assert not ran.exists() and page.locator(".sn-live").count() == 0
    assert page.locator(".sn-still img").count() == 5, "the still pictures are there: four panels, a dial in a question"
    page.get_by_role("button", name="Run it anyway").click()
    wait_until_live(page)
    assert ran.exists() and page.locator(".sn-panel").count() == 4
    expect(page.locator(".sn-say")).to_be_hidden()
    page.close()
    path.unlink()


def test_a_fresh_copy_keeps_the_learners_file_under_a_dated_name(lab: Lab) -> None:
    path = lab.folder / "00-start-here.ipynb"
    change(path, "print('mine')")
    try:
        mine = path.read_bytes()
        page = lab.open(path.name)
        page.get_by_role("button", name="Fresh copy").click()
        expect(page.locator(".sn-say p")).to_contain_text(
            re.compile(r"Yours is kept as 00-start-here \(yours, \d{4}-\d\d-\d\d\)\.ipynb")
        )
        wait_until_live(page)
        [own] = lab.folder.glob("00-* (yours, *.ipynb")
        assert json.loads(own.read_bytes()) == json.loads(mine)
        assert notebooks.read(path) == notebooks.read(places.lessons() / path.name)
        page.close()
        own.unlink()
    finally:
        shutil.copy(places.lessons() / path.name, path)


def test_other_notebooks_keep_jupyterlabs_own_view(lab: Lab) -> None:
    book = notebooks.read(places.lessons() / LESSON)
    del book["metadata"]["steadyneedle"]
    (lab.folder / "mine.ipynb").write_text(notebooks.as_text(book), encoding="utf-8")
    page = lab.open("mine.ipynb")
    expect(page.locator(".jp-NotebookPanel .jp-Cell").first).to_be_visible()
    expect(page.locator(".jp-Toolbar").first).to_be_visible()
    assert page.locator(".sn-lesson").count() == 0
    page.locator(".jp-Cell.jp-CodeCell").first.click()
    page.keyboard.press("Control+s")
    for _ in range(PATIENCE // 100):
        if list(lab.folder.glob(".ipynb_checkpoints/mine*")):
            break
        page.wait_for_timeout(100)
    else:
        raise AssertionError("it is saved as ever")
    page.close()
    (lab.folder / "mine.ipynb").unlink()
    shutil.rmtree(lab.folder / ".ipynb_checkpoints")


def test_links_hold_under_another_base_address(browser: Browser, tmp_path: Path) -> None:
    """As on a server for many, where each one's addresses begin with a name."""
    for name in ("room", "work"):
        (tmp_path / name).mkdir()
    update_copy(tmp_path / "work")
    settings = launch.settings(tmp_path / "room", tmp_path / "work", base_url="/user/heron/")
    with served(tmp_path / "room", settings, "token") as server:
        assert server.address.endswith("/user/heron")
        there = Lab(tmp_path / "work", server.address, "token", browser)
        page = there.page(LESSON)
        assert page.evaluate("document.querySelectorAll('.sn-head a')[1].pathname") == (
            "/user/heron/doc/tree/02-how-the-first-stage-reduces.ipynb"
        )
        page.locator("main").get_by_role("link", name="00", exact=True).first.click()
        page.wait_for_url(re.compile(r"/user/heron/doc/(workspaces/[^/]+/)?tree/00-start-here\.ipynb"))
        wait_until_live(page)
        expect(page).to_have_title("00 Start here")
        page.close()


def test_as_a_notebook_cells_run_in_any_order_and_saving_keeps_the_file(notebook_lab: Lab) -> None:
    path = notebook_lab.folder / LESSON
    before = path.read_bytes()
    page = notebook_lab.notebook(LESSON)
    expect(page.locator(".sn-how-to-run")).to_have_text("To bring this lesson to life choose Run, then Run All Cells.")
    third = page.locator(".jp-CodeCell").nth(2)
    third.scroll_into_view_if_needed()
    third.click()
    page.keyboard.press("Shift+Enter")
    expect(third.locator(".sn-form")).to_be_visible()
    expect(third.locator("text=NameError")).to_have_count(0)
    count = len(json.loads(before)["cells"])
    expect(page.locator(".jp-Cell")).to_have_count(count)
    page.locator(".jp-MarkdownCell").first.click()
    page.keyboard.press("Escape")
    page.keyboard.press("d")
    page.keyboard.press("d")
    assert page.locator(".jp-Cell").count() == count, "a locked cell stays"
    run_all(page)
    page.keyboard.press("Control+s")
    page.wait_for_selector("text='Saving completed'")
    assert json.loads(path.read_bytes())["cells"] == json.loads(before)["cells"]
    page.close()


def test_without_the_plug_in_the_first_cell_says_which_menu_runs_the_lesson(browser: Browser, tmp_path: Path) -> None:
    """In a workbook of its own: JupyterLab asks about a kernel that another page of the same lesson has lost."""
    with study(tmp_path / "work", browser) as lab:
        page = browser.new_page(viewport={"width": 1366, "height": 900})
        page.set_default_timeout(PATIENCE)
        page.route("**/steadyneedle-lesson-view/**", lambda route: route.abort())
        page.goto(f"{lab.address}/doc/tree/{LESSON}?token={lab.token}")
        how = page.locator(".sn-how-to-run")
        expect(how).to_have_text("To bring this lesson to life choose Run, then Run All Cells.")
        page.wait_for_function("() => document.querySelectorAll('.jp-Notebook .jp-Cell').length > 2")
        run_all(page)
        expect(page.locator(".sn").first).to_be_visible()
        page.close()


def test_a_word_leads_to_its_place_in_the_glossary_and_back(lab: Lab) -> None:
    """The glossary opens as a page in the same window, at the word; it has no code and no neighbours among lessons."""
    page = lab.page("04-creep-and-its-cause.ipynb")
    page.get_by_role("link", name="saw-tooth", exact=True).first.click()
    page.wait_for_url(re.compile(r"glossary\.ipynb"))
    heading = page.get_by_role("heading", name="saw-tooth")
    heading.wait_for()
    expect(heading).to_be_in_viewport()
    expect(page.get_by_role("heading", name="absolute pressure")).not_to_be_in_viewport()
    expect(page.locator(".sn-head nav a")).to_have_count(0)
    page.get_by_role("link", name="04", exact=True).click()
    expect(page).to_have_url(re.compile(r"04-creep-and-its-cause\.ipynb"))
    wait_until_live(page)
    page.go_back()
    expect(page).to_have_url(re.compile(r"glossary\.ipynb"))  # one press, one page
    page.close()
