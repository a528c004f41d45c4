"""The proof, before the frame freezes, that a projector mode can be built on it.

A widget of our own in the page can enlarge type, put code and side bars out of sight, and catch the page keys of a
presenter's remote, with settings in a folder of their own so that the user's stay untouched.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from in_lab import run_all, study
from playwright.sync_api import Browser, expect

pytestmark = pytest.mark.browser

PRESENTER = '''
import anywidget
class Presenter(anywidget.AnyWidget):
    _esm = """
    function render({ model, el }) {
      const style = document.createElement("style");
      style.textContent = ".jp-CodeCell .jp-Cell-inputWrapper, .jp-SideBar, #jp-top-panel { display: none !important; } .sn { zoom: 1.5 }";
      document.head.append(style);
      let at = -1;
      const step = (event) => {
        if (event.key !== "PageDown" && event.key !== "PageUp") return;
        event.preventDefault(); event.stopImmediatePropagation();
        const stops = [...document.querySelectorAll(".sn")];
        at = Math.min(Math.max(at + (event.key === "PageDown" ? 1 : -1), 0), stops.length - 1);
        stops[at].scrollIntoView(); document.body.dataset.stop = String(at);
      };
      window.addEventListener("keydown", step, true);
      return () => { style.remove(); window.removeEventListener("keydown", step, true); };
    }
    export default { render };
    """
Presenter()
'''


def test_a_widget_can_present(browser: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    settings = tmp_path / "settings"
    place = settings / "@jupyterlab" / "apputils-extension"
    place.mkdir(parents=True)
    (place / "themes.jupyterlab-settings").write_text('{"theme": "JupyterLab Dark"}', encoding="utf-8")
    monkeypatch.setenv("JUPYTERLAB_SETTINGS_DIR", str(settings))
    home = Path(os.environ.get("HOME", "~")).expanduser() / ".jupyter" / "lab" / "user-settings"
    before = sorted(home.rglob("*")) if home.exists() else []
    with study(tmp_path / "work", browser, "--as-notebook") as lab:
        path = tmp_path / "work" / "00-start-here.ipynb"
        book = json.loads(path.read_text(encoding="utf-8"))
        book["cells"].insert(
            2,
            {
                "cell_type": "code",
                "id": "presenter",
                "metadata": {},
                "source": PRESENTER,
                "outputs": [],
                "execution_count": None,
            },
        )
        path.write_text(json.dumps(book), encoding="utf-8")
        page = lab.notebook("00-start-here.ipynb", 1280, 720)
        expect(page.locator("body")).to_have_attribute("data-jp-theme-name", "JupyterLab Dark")
        run_all(page)
        expect(page.locator(".jp-CodeCell .jp-Cell-inputWrapper").first).to_be_hidden()
        page.keyboard.press("PageDown")
        expect(page.locator("body")).to_have_attribute("data-stop", "0")
        page.locator(".sn input[type=radio]").first.focus()
        page.keyboard.press("PageDown")
        expect(page.locator("body")).to_have_attribute("data-stop", "1")
        page.keyboard.press("PageUp")
        expect(page.locator("body")).to_have_attribute("data-stop", "0")
        size = page.locator(".sn").first.evaluate("(e) => e.getBoundingClientRect().width / e.offsetWidth")
        assert size == pytest.approx(1.5, rel=0.01)
        page.close()
    assert (sorted(home.rglob("*")) if home.exists() else []) == before, "the user's settings stay untouched"
