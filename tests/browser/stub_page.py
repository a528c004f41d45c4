"""A page without JupyterLab: cells laid as the lesson view lays them, and widgets of ours whose kernel is this process."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable
from typing import Any

import anywidget
from playwright.sync_api import Browser, Page, Route

from steadyneedle.foundation import places

FILES = places.PACKAGE / "lesson_view" / "page"
ADDRESS = "http://stub.test/"

SHELL = """<!doctype html><html lang="en"><title>stub</title><link rel="stylesheet" href="cover.css">
<body><div class="sn-lesson"><main></main></div><script type="module">
import { cover } from "./cover.js";
const given = GIVEN;
const signal = () => { const heard = []; return {
  connect: (one) => heard.push(one), disconnect: (one) => heard.splice(heard.indexOf(one), 1), emit: () => heard.forEach((one) => one()) }; };
const session = { ready: Promise.resolve(), session: { kernel: { status: "idle", connectionStatus: "connected" } },
  statusChanged: signal(), connectionStatusChanged: signal(), kernelChanged: signal() };
// what stands in the page at each frame, painted or about to be
const seen = new Set();
const cells = [];
const look = () => { for (const one of cells) if (one.node.checkVisibility()) seen.add(one.node.dataset.name); requestAnimationFrame(look); };
requestAnimationFrame(look);
function lay() {
  for (const { name, tags } of given.cells) {
    const node = document.createElement("section");
    node.dataset.name = name;
    node.append(`the words of ${name}`);
    document.querySelector("main").append(node);
    cells.push({ node, tags });
  }
}
const uncovers = () => cover(cells, { lesson: given.lesson, work: given.work, session: given.session ? session : null });
await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
lay();
if (given.late) await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
Object.assign(window, { session, seen, cells, covering: given.plain ? null : uncovers() });
window.show = async (name, number, values) => {
  const heard = {};
  const decoded = (all) => { for (const one of given.bytes) if (all[one]) all[one] = new DataView(Uint8Array.from(atob(all[one]), (c) => c.charCodeAt(0)).buffer); return all; };
  decoded(values);
  const model = {
    get: (key) => values[key], set: (key, value) => { values[key] = value; }, save_changes: () => {},
    on: (key, then) => { (heard[key] ||= []).push(then); }, off: () => {},
    send: async (message) => {
      if (window.silent) return;
      Object.assign(values, decoded(await window.toKernel(number, message)));
      for (const key of Object.keys(values)) (heard[`change:${key}`] || []).forEach((then) => then());
    },
  };
  const holder = document.createElement("div");
  const before = cells.find((one) => one.node.dataset.name === name).node;
  (await import(`./widget-${number}.js`)).default.render({ model, el: holder });
  before.append(holder);
};
window.ready = true;
</script></body></html>"""


class StubPage:
    """One such page. `cells` are (name, tags); what is left out of `work` was never done."""

    def __init__(self, browser: Browser, lesson: str, cells: list[tuple[str, list[str]]], **given: Any) -> None:
        self._widgets: list[anywidget.AnyWidget] = []
        self.page: Page = browser.new_page()
        self.page.set_default_timeout(10_000)
        self.trouble: list[str] = []
        self.page.on("pageerror", lambda error: self.trouble.append(str(error)))
        self._given = {
            "lesson": lesson, "cells": [{"name": name, "tags": tags} for name, tags in cells], "bytes": ["picture"],
            "work": {}, "late": False, "plain": False, "session": True, **given,
        }  # fmt: skip
        self.page.route(f"{ADDRESS}**", self._serve)
        self.page.expose_function("toKernel", self._heard)
        self.page.clock.install()
        self.page.goto(ADDRESS)
        self.page.wait_for_function("window.ready")

    def _serve(self, route: Route) -> None:
        name = route.request.url.removeprefix(ADDRESS)
        if not name:
            route.fulfill(content_type="text/html", body=SHELL.replace("GIVEN", json.dumps(self._given)))
        elif name.startswith("widget-"):
            module = str(self._widgets[int(name[7:-3])]._esm)
            route.fulfill(content_type="text/javascript", body=module)
        else:
            kind = "text/css" if name.endswith(".css") else "text/javascript"
            route.fulfill(content_type=kind, path=FILES / name)

    def _heard(self, number: int, message: dict[str, Any]) -> dict[str, Any]:
        widget: Any = self._widgets[number]
        widget._handle_custom_msg(message, [])
        return self._values(widget)

    def _values(self, widget: anywidget.AnyWidget) -> dict[str, Any]:
        """What the page gets of a widget; bytes as text."""
        names = [
            name
            for name in widget.keys
            if not name.startswith("_") and name not in ("layout", "comm", "tabbable", "tooltip")
        ]
        values = {name: getattr(widget, name) for name in names}
        return {n: base64.b64encode(v).decode() if isinstance(v, bytes) else v for n, v in values.items()}

    def show(self, widget: anywidget.AnyWidget, cell: str) -> None:
        """Put a widget at the end of a cell."""
        self._widgets.append(widget)
        number = len(self._widgets) - 1
        self.page.evaluate(
            "([cell, number, values]) => window.show(cell, number, values)", [cell, number, self._values(widget)]
        )

    def visible(self) -> set[str]:
        """Names of the cells that can be seen."""
        script = "() => cells.filter((one) => one.node.checkVisibility()).map((one) => one.node.dataset.name)"
        return set(self.page.evaluate(script))

    def seen(self) -> set[str]:
        """Names of the cells that could be seen at any frame so far."""
        self.page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        return set(self.page.evaluate("() => [...seen]"))

    def kernel(self, status: str | None) -> None:
        """The kernel has another status; None, there is none any more."""
        self.page.evaluate(
            "(status) => { session.session.kernel = status && { status, connectionStatus: 'connected' }; session.statusChanged.emit(); }",
            status,
        )

    def wait(self, seconds: float) -> None:
        """Time passes."""
        self.page.clock.run_for(int(seconds * 1000))

    def until(self, done: Callable[[], bool]) -> None:
        """Until something is so; the page's clock runs by itself."""
        for _ in range(100):
            if done():
                return
            self.page.wait_for_timeout(50)
        raise AssertionError("it does not come about")

    def close(self) -> None:
        """Close it; nothing may have gone wrong in it."""
        self.page.close()
        assert self.trouble == []
