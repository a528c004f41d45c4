"""Lesson 04 in a real JupyterLab: a file is picked or a table typed, judged, and pictured."""

from __future__ import annotations

import re

import pytest
from in_lab import Lab
from playwright.sync_api import expect

from steadyneedle.foundation import places

pytestmark = pytest.mark.browser


def test_a_log_of_ones_own(lab: Lab) -> None:
    page = lab.page("04-creep-and-its-cause.ipynb", height=16000)
    form = page.locator(".sn-form", has=page.locator("h4:text-is('Your own log')"))
    form.get_by_role("button", name="Judge it").click()
    expect(form.locator(".sn-note")).to_have_text("Choose a file first.")
    form.get_by_label("Log, a file of text").set_input_files(places.datasets() / "logs" / "class_reading.csv")
    form.get_by_label("Specification sheet").select_option("Juniper")
    form.get_by_role("button", name="Judge it").click()
    expect(form.locator(".sn-feedback strong")).to_contain_text("Conforms: no.")
    expect(form.locator(".sn-feedback")).to_contain_text(re.compile(r"creeps: The needle climbs by 0[.,]0\d"))
    expect(form.locator("img")).to_have_attribute("alt", re.compile("bar/min"))
    form.get_by_label("Log, a file of text").set_input_files(places.datasets() / "logs" / "chamber_2.csv")
    form.get_by_role("button", name="Judge it").click()
    expect(form.locator(".sn-note")).to_contain_text("has no header, so nobody knows its units")
    form.get_by_label("Specification sheet").select_option("no sheet")
    form.get_by_label("Columns, if it has no header").fill("time_ms,skip,pressure_bar")
    form.get_by_role("button", name="Judge it").click()
    expect(form.locator(".sn-feedback strong")).to_contain_text("Conforms: cannot tell.")
    expect(form.locator(".sn-feedback")).to_contain_text("The needle fell by")
    form.get_by_label("Readings from").select_option("a table typed or pasted")
    expect(form.get_by_label("Log, a file of text")).to_be_hidden()
    form.get_by_label("Columns, if it has no header").fill("")
    form.get_by_role("button", name="Judge it").click()
    expect(form.locator(".sn-note")).to_have_text("Type or paste a table first.")
    rows = [f"{15 * n};{9 + n // 4}.80{n % 3}" for n in range(8)]
    form.get_by_label("Table").fill("\n".join(["time_s;pressure_mbar", *rows]))
    form.get_by_role("button", name="Judge it").click()
    expect(form.locator(".sn-note")).to_have_text(re.compile(r"^pressure: .* Or choose the decimal mark below\.$"))
    form.get_by_label("Decimal mark").select_option("comma (9,8)")
    form.get_by_role("button", name="Judge it").click()
    expect(form.locator(".sn-feedback")).to_contain_text(
        "Conforms: cannot tell. The needle does not behave like settle and creep"
    )
    expect(form.locator(".sn-saved")).to_have_text("Saved")
    page.reload()
    form = page.locator(".sn-form", has=page.locator("h4:text-is('Your own log')"))
    expect(form.get_by_label("Table")).to_have_value("\n".join(["time_s;pressure_mbar", *rows]), timeout=90_000)
    expect(form.get_by_label("Decimal mark")).to_have_value("comma (9,8)")
    expect(form.get_by_label("Log, a file of text")).to_be_hidden()
    page.close()
