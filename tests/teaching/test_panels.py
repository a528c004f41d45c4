"""Panels: every control setting computes, text and picture come from one call, the page moves what Python computed."""

from __future__ import annotations

import math
import re
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from matplotlib.text import Text
from PIL import Image

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.units import Q
from steadyneedle.foundation import places
from steadyneedle.questions.plans import MODULES
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching import look
from steadyneedle.teaching.figures import band, dial
from steadyneedle.teaching.figures.drawing import Painter, png_of
from steadyneedle.teaching.figures.strokes import Scene, Stroke, Words, hatched
from steadyneedle.teaching.frame.digest import digest
from steadyneedle.teaching.frame.form import Form
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.frame.panel import Choice, DrawnPanel, Panel, Repainter, ScenePanel, Slider
from steadyneedle.teaching.frame.widgets import PanelWidget
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.lesson import Lesson
from steadyneedle.teaching.notes import on_bands
from steadyneedle.teaching.panels import bands


def all_panels() -> list[tuple[str, Panel]]:
    made = []
    for number in MODULES:
        lesson = Lesson(number)
        named = {name: lesson.make_panel(name) for name in lesson.panel_names()}
        made += [(f"{number} {name}", panel) for name, panel in named.items() if isinstance(panel, Panel)]
    return made


PANELS = all_panels()
each_panel = pytest.mark.parametrize("panel", [panel for _, panel in PANELS], ids=[name for name, _ in PANELS])


@each_panel
def test_every_setting_computes_and_says_its_numbers(panel: Panel) -> None:
    for values in panel.every_setting():
        text = panel.describe(panel.compute(**values))
        assert re.search(r"\d", text) and text.endswith(".") and "nan" not in text, (values, text)


@each_panel
def test_the_sentence_follows_the_main_control(panel: Panel) -> None:
    main = panel.controls[0]
    assert isinstance(main, Slider)
    said = {
        panel.describe(panel.compute(**{**panel.start(), main.name: value}))
        for value in (main.low, main.start, main.accept(main.high))
    }
    assert len(said) >= 2


def pixels(png: bytes) -> np.ndarray:
    return np.asarray(Image.open(BytesIO(png)).convert("RGB"), dtype=int)


def of_kind(kind: type[Panel]) -> pytest.MarkDecorator:
    chosen = [(name, panel) for name, panel in PANELS if isinstance(panel, kind)]
    assert chosen
    return pytest.mark.parametrize("panel", [panel for _, panel in chosen], ids=[name for name, _ in chosen])


@of_kind(DrawnPanel)
def test_a_blitted_picture_is_the_same_as_one_drawn_afresh(panel: DrawnPanel) -> None:
    repainter = Repainter(panel)
    repainter.paint(panel.start())
    main = panel.controls[0]
    assert isinstance(main, Slider)
    for value in (main.low, main.accept(main.low + (main.high - main.low) * 0.7)):
        values = {**panel.start(), main.name: value}
        blitted, _ = repainter.paint(values)
        fresh = png_of(panel.draw(panel.compute(**values)).figure)
        apart = np.abs(pixels(blitted) - pixels(fresh)).max(axis=2)
        assert (apart > 60).mean() < 0.002, "moving artists lie on top when blitted; nothing else may differ"


@of_kind(ScenePanel)
def test_a_table_has_a_row_and_a_sentence_for_every_step(panel: ScenePanel) -> None:
    main = panel.controls[0]
    assert isinstance(main, Slider)
    for values in panel.every_setting():
        table = panel.table(values)
        assert len(table["rows"]) == len(table["sentences"]) == len(main.settings())
        names = [motion["name"] for motion in table["motions"]]
        assert all(set(row) == set(names) for row in table["rows"])
        assert len(set(names)) == len(names) and all(f'data-part="{name}"' in table["svg"] for name in names)
        break
    assert len(str(panel.table(panel.start()))) < 120_000, "keep tables small"


def test_controls_snap_and_refuse() -> None:
    slider = Slider("p", "Pressure", 8, 12, 0.05, "bar", 9.8)
    assert slider.accept(9.83) == 9.85 and slider.accept(99) == 12 and slider.accept(-1) == 8 and slider.decimals == 2
    assert len(slider.settings()) == 81 and slider.settings()[36] == 9.8
    for bad in (math.nan, "x", None):
        with pytest.raises((ValueError, TypeError)):
            slider.accept(bad)
    choice = Choice("c", "Class", ("1", "1.6"), "1")
    with pytest.raises(ValueError, match=r"Class is one of 1, 1\.6"):
        choice.accept("2")
    with pytest.raises(ValueError, match="low < high"):
        Slider("p", "Pressure", 8, 8, 0.05, "bar", 8)


def test_a_scene_needs_a_slider_to_move_along() -> None:
    choice = Choice("c", "Class", ("1", "1.6"), "1")
    with pytest.raises(ValueError, match="'Marks': the page moves a scene along its first control, a Slider"):
        ScenePanel("Marks", (choice,), dict, str, scene=lambda _: Scene(1, 1, ()), row=lambda _: {})


def test_a_widget_answers_every_move_and_survives_nonsense() -> None:
    widget = PanelWidget(dict(PANELS)["03 readings"])
    first = widget.picture
    widget.values = {**widget.values, "needle": 10.4}
    assert widget.answered == 1 and widget.picture != first and "10." in widget.sentence
    widget.values = {**widget.values, "own": "10.1 zehn"}
    assert widget.answered == 2 and "not a number" in widget.problem
    widget.values = {**widget.values, "own": "10.1 10.2"}
    assert widget.problem == "" and "Your class: 2 readings" in widget.sentence
    widget.values = {**widget.values, "own": "140 141 139"}
    assert widget.problem.startswith("140 bar is no intermediate pressure. Type the readings with their unit")
    widget.values = {**widget.values, "own": "140 psi, 145 psi"}
    assert widget.problem == "" and "2 readings from 9.65 to 10.00 bar" in widget.sentence
    widget.values = {"division": "17 bar"}
    assert "one of" in widget.problem


def test_what_is_typed_beside_a_slider_is_read_with_its_unit() -> None:
    """139 psi is 9.584 bar (x 0.0689476, NIST SP 811, appendix B); the control steps by 0.05 bar."""
    widget = PanelWidget(dict(PANELS)["03 verdict"], ",")
    for typed, value in (("139 psi", 9.6), ("9,7 bar", 9.7), ("990kPa", 9.9), ("10,1 kgf/cm²", 9.9), (9.8, 9.8)):
        widget.values = {**widget.values, "reading": typed}
        assert widget.problem == "" and widget.read["reading"] == pytest.approx(value)
    for typed, said in (
        ("139 bar", "Reading goes from 8,00 to 11,00 bar."),
        ("9.7 mPa", "MPa"),
        ("9 bananas", "Unknown unit"),
    ):
        before = widget.answered
        widget.values = {**widget.values, "reading": typed}
        assert said in widget.problem and widget.answered == before + 1


@each_panel
def test_every_slider_takes_its_own_unit_typed(panel: Panel) -> None:
    for one in panel.controls:
        if isinstance(one, Slider):
            assert one.read(f"{one.start:.9g} {one.unit}".strip(), "point") == pytest.approx(one.accept(one.start)), (
                one.name
            )


def test_other_controls_bring_a_new_table() -> None:
    widget = PanelWidget(dict(PANELS)["03 verdict"])
    before = widget.table
    widget.values = {**widget.values, "accuracy": "4"}
    assert widget.table["rows"] != before["rows"] and "can never pass" in widget.table["sentences"][0]


def test_instructor_sheets_reach_the_panel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "own.csv").write_text(
        "name,ip_low_psi,ip_high_psi,supply_bar,source\nOurs,130,140,200,our manual\n", encoding="utf-8"
    )
    monkeypatch.setenv(places.SHEETS_VARIABLE, str(tmp_path))
    panel = Lesson("03").make_panel("verdict")
    sentence = panel.describe(panel.compute(**panel.start()))
    assert "130 to 140 psi" in sentence
    table = panel.table(panel.start())
    assert ">130<" in table["svg"] and ">psi<" in table["svg"]


@pytest.mark.parametrize(
    ("unit", "low", "high", "typed"), [("psi", 130, 140, 139), ("kpa", 900, 1000, 985), ("mpa", 0.9, 1.0, 0.95)]
)
def test_controls_are_in_the_unit_of_the_sheet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, unit: str, low: float, high: float, typed: float
) -> None:
    """A reading is set as the gauge shows it, in round steps; the guard band goes to three tenths of the band."""
    (tmp_path / "own.csv").write_text(
        f"name,ip_low_{unit},ip_high_{unit},source\nOurs,{low},{high},ours\n", encoding="utf-8"
    )
    monkeypatch.setenv(places.SHEETS_VARIABLE, str(tmp_path))
    verdict, risk = (Lesson("03").make_panel(name) for name in ("verdict", "risk"))
    assert isinstance(verdict, ScenePanel) and isinstance(risk, DrawnPanel)
    for one in (verdict.controls[0], *risk.controls):
        assert isinstance(one, Slider) and one.unit.lower() == unit
    reading = verdict.main()
    assert reading.low < low and high < reading.high and reading.accept(typed) == typed
    assert f"{typed:g} {reading.unit} lies in the band" in verdict.describe(
        verdict.compute(**{**verdict.start(), "reading": typed})
    )
    assert len(reading.settings()) < 200
    guard = risk.controls[0]
    assert isinstance(guard, Slider) and guard.high == pytest.approx(0.3 * (high - low))
    axes = risk.figure(risk.compute(**risk.start())).axes[0]
    assert guard.high < axes.get_xlim()[1] < 1.1 * guard.high and axes.get_xlabel().endswith(reading.unit)


def test_needle_angles() -> None:
    """A dial spans 270 degrees (EN 837-1:1996, grade A*): zero at -135, end at +135, middle straight up."""
    assert [dial.needle_degrees(v, 16) for v in (0, 8, 16)] == [-135, 0, 135]


@pytest.mark.parametrize("span", [10, 16, 25, 40, 250, 400])
def test_dial_steps_are_one_two_or_five(span: float) -> None:
    """Scale interval 1, 2 or 5 x 10^n: EN 837-1:1996, grade A*."""
    for scale in dial.face_of(span):
        leading = f"{scale.division:.0e}"[0]
        assert leading in "125" and scale.end / scale.numbered <= 12


def test_needle_shift_matches_the_axis() -> None:
    axis = band.axis_for(9.8, 10.2, (8, 11), 0.1, "bar", 2)
    assert band.needle_shift(axis, axis.start) == 0
    assert band.needle_shift(axis, axis.end) == pytest.approx(band.RIGHT - band.LEFT)


def test_hatching_stays_inside_the_band() -> None:
    for stroke in hatched(100, 163, 20, 70):
        assert all(100 <= x <= 163 and 20 - 1e-9 <= y <= 70 + 1e-9 for x, y in stroke.points)


def test_a_scene_placed_by_hand() -> None:
    """The needle of a dial at 0 bar points to 225 degrees: its tip lies left below the centre."""
    outer, inner = dial.face_of(16)
    scene = dial.dial_scene(outer, inner)
    marks = scene.placed({"needle": dial.needle_degrees(0, 16), "outer": "a", "inner": "b", "factor": "c"})
    needle = next(m for m in marks if isinstance(m, Stroke) and m.colour == "#d55e00")
    tip = needle.points[2]
    assert tip[0] < dial.CENTRE[0] and tip[1] > dial.CENTRE[1]
    assert [m.text for m in marks if isinstance(m, Words)][-3:] == ["a", "b", "c"]


def test_digest_follows_numbers_and_words() -> None:
    panel = dict(PANELS)["01 content"]
    one = panel.compute(**panel.start())
    other = panel.compute(**{**panel.start(), "pressure": 210})
    assert digest(one, "a") == digest(one, "a") != digest(other, "a")
    assert digest(one, "a") != digest(one, "b")


def test_a_repainted_picture_keeps_the_ground_and_the_ink() -> None:
    """A palette is sent; the ground must match the page around it to the last bit."""
    panel = dict(PANELS)["01 content"]
    painted, _ = Repainter(panel).paint(panel.start())
    colours = {tuple(colour) for row in pixels(painted) for colour in row}
    for wanted in (look.GROUND, look.INK, look.BLUE):
        assert tuple(int(wanted[n : n + 2], 16) for n in (1, 3, 5)) in colours, wanted


def test_painter_repaints_only_what_moved() -> None:
    panel = dict(PANELS)["01 depth"]
    assert isinstance(panel, DrawnPanel)
    painter = Painter(panel.draw(panel.compute(**panel.start())))
    assert painter.paint() == painter.paint()


class Stub:
    """A session that cannot save."""

    def view(self) -> Form:
        return Form("t", (), (), "")

    def typed(self, answers: dict[str, str]) -> None:
        from steadyneedle.foundation.store import StoreError

        raise StoreError("Not saved: the disk is full.")

    def act(self, button: str, answers: dict[str, str]) -> None:
        raise AssertionError("never reached")


def test_a_form_says_that_it_is_not_saved() -> None:
    form = FormWidget(Stub())
    form._heard(form, {"what": "typed", "answers": {"answer": "9,8"}, "number": 4}, [])
    assert form.saved == {"number": 4, "words": "Not saved: the disk is full."}


def test_pressure_numbers_agree_between_text_and_picture() -> None:
    panel = dict(PANELS)["01 dial"]
    result = panel.compute(pressure=9.8)
    assert isinstance(panel, ScenePanel)
    row = panel.row(result)
    assert row["outer"] == "9.8 bar" and row["inner"] == "142 psi" and row["factor"] == "bar × 14.5038 = psi"
    assert "9.8 bar (142 psi)" in panel.describe(result)
    assert result.psi == pytest.approx(Q(9.8, "bar").to("psi").magnitude)


@pytest.mark.parametrize("text", ["name,ip_low_bar\nOurs,9\n", "name,ip_low_bar\nOurs,nine\n", "name\n"])
def test_sheets_that_cannot_be_used_leave_a_sentence_and_the_example(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], text: str
) -> None:
    (tmp_path / "own.csv").write_text(text, encoding="utf-8")
    monkeypatch.setenv(places.SHEETS_VARIABLE, str(tmp_path))
    panel = Lesson("03").make_panel("verdict")
    assert "Juniper" in str(panel.controls) and "The invented example stands here instead." in capsys.readouterr().out


def test_a_reader_of_commas_sees_no_decimal_point(work: Path) -> None:
    with Progress(work).change("choices") as entry:
        entry["decimal"] = "comma"
    point = re.compile(r"\d\.\d")
    for number in MODULES:
        lesson = Lesson(number)
        for name in lesson.panel_names():
            panel = lesson.make_panel(name)
            if not isinstance(panel, Panel):
                continue
            result = panel.compute(**panel.start())
            assert not point.search(panel.describe(result)), name
            if isinstance(panel, ScenePanel):
                marks = panel.scene(result).placed(panel.row(result))
                texts = [mark.text for mark in marks if isinstance(mark, Words)]
            else:
                figure = panel.figure(result)
                png_of(figure)
                texts = [text.get_text() for text in figure.findobj(Text)]
            assert texts and not any(point.search(text) for text in texts), (name, texts)


def test_a_name_that_a_lesson_does_not_know_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match="no panel 'bench' here; there are dial, rulers"):
        Lesson("01").panel("bench")
    with pytest.raises(ValueError, match="no form 'choices' here; there are own_reading"):
        Lesson("03").form("choices")
    with pytest.raises(ValueError, match="no form 'choices' here; there are none"):
        Lesson("02").form("choices")
    with pytest.raises(ValueError, match="Lesson 02 has no prediction 'xyzzy'; it has forces, "):
        Lesson("02").predict("xyzzy")


def test_a_scatter_is_said_in_the_unit_of_its_sheet(tmp_path: Path) -> None:
    """A sheet in psi leads a figure in psi."""
    (tmp_path / "own.csv").write_text("name,ip_low_psi,ip_high_psi\nOurs,140,150\n", encoding="utf-8")
    common = on_bands.notes(Preferences(), lambda: load_sheets(tmp_path))["common"]
    assert common()[0].startswith("A common workshop gauge, 0 to 16 bar"), "where the sheet names none"
    gauge = "gauge_span_psi,gauge_class_percent,gauge_division_psi"
    (tmp_path / "own.csv").write_text(f"name,ip_low_psi,ip_high_psi,{gauge}\nOurs,140,150,300,1,2\n", encoding="utf-8")
    # 2 / sqrt(3) x sqrt(3^2 + 1^2) = 3.65 psi
    assert common() == ("The gauge on Ours's sheet, 0 to 300 psi, class 1, division 2 psi, has U = 3.7 psi.",)
    said = " ".join(on_bands.scatter_note(Preferences("comma", "psi"), lambda: load_sheets(tmp_path)))
    assert "140 to 150 psi" in said and "scatter by 3 psi around" in said


@pytest.mark.parametrize(
    ("unit", "low", "high"),
    [
        ("bar", 9.8, 9.805),
        ("mpa", 0.98, 0.981),
        ("mpa", 0.98, 1.005),
        ("pa", 980_000, 1_020_000),
        ("bar", 9.8, 9.800001),
    ],
)
def test_panels_of_bands_draw_whatever_band_a_sheet_gives(tmp_path: Path, unit: str, low: float, high: float) -> None:
    (tmp_path / "own.csv").write_text(f"name,ip_low_{unit},ip_high_{unit}\nOurs,{low},{high}\n", encoding="utf-8")
    made = bands.panels(Preferences(), lambda: load_sheets(tmp_path))
    verdict, risk = made["verdict"](), made["risk"]()
    assert isinstance(verdict, ScenePanel) and isinstance(risk, DrawnPanel)
    verdict.scene(verdict.compute(**verdict.start()))
    for guard in (0.0, risk.controls[0].high):
        assert "of 100 regulators tested" in risk.describe(risk.compute(**{**risk.start(), "guard": guard}))


def test_a_sheets_dollar_signs_are_no_formula(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """`mathjax_ignore` is MathJax's own class for what it leaves alone (MathJax documentation, ignoreHtmlClass)."""
    text = "name,ip_low_bar,ip_high_bar,source\nA $x^2$ B,9.8,10.2,from $5$ book\n"
    (tmp_path / "own.csv").write_text(text, encoding="utf-8")
    monkeypatch.setenv(places.SHEETS_VARIABLE, str(tmp_path))
    shown: list[dict[str, str]] = []
    monkeypatch.setattr("steadyneedle.teaching.lesson.display", lambda bundle, **_: shown.append(bundle))
    monkeypatch.setattr("steadyneedle.teaching.frame.publishing.display", lambda bundle, **_: shown.append(bundle))
    lesson = Lesson("03")
    lesson.table("sheets")
    lesson.form("own_reading")
    words = [bundle["text/html"] for bundle in shown if "$" in bundle.get("text/html", "")]
    assert words and all(one.startswith('<div class="mathjax_ignore">') for one in words), shown
