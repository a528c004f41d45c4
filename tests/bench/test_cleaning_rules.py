"""An instructor's own cleaning rules: refused by row and column, laid over ours visibly, the stricter wins."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadyneedle.bench import cleaning
from steadyneedle.bench.cleaning import CleaningRulesError, Rules, Step, best_plan, cell, judge_plan, read_rules
from steadyneedle.foundation import places

HEADER = "part,method,limit_minutes,at_celsius,at_percent,instead,why,source\n"
TAIL = ("rinse", "neutralise", "rinse", "dry with oil-free gas", "inspect", "lubricate", "retest IP")


def rules(folder: Path, *lines: str, header: str = HEADER) -> Rules:
    path = folder / "ours.csv"
    path.write_text(header + "".join(f"{line}\n" for line in lines), encoding="utf-8")
    return read_rules(path)


def acid(part: str, minutes: float, own: Rules | None) -> cleaning.PlanVerdict:
    return judge_plan([part], ["scale"], ["strip", Step("ultrasonic acid", minutes), *TAIL], own)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("brass lend,acid,3,20,5,,,manual p. 4", "row 2, column part: 'brass lend' is not known; write 'brass land'"),
        ("brass land,acidd,3,20,5,,,manual p. 4", "row 2, column method: 'acidd' is not known; write 'acid'"),
        ("brass land,strip,3,,,,,manual p. 4", "row 2, column method: 'strip' is not known"),
        ("brass land,acid,three,20,5,,,manual p. 4", "row 2, column limit_minutes: 'three' is no limit; write a number of minutes"),
        ("brass land,acid,-3,20,5,,,manual p. 4", "row 2, column limit_minutes: '-3' is no limit"),
        ("brass land,acid,nan,20,5,,,manual p. 4", "row 2, column limit_minutes: 'nan' is no limit"),
        ("brass land,acid,3,cold,5,,,manual p. 4", "row 2, column at_celsius: 'cold' must be a number above 0"),
        ("brass land,acid,3,20,500,,,manual p. 4", "row 2, column at_percent: '500' must be a number above 0 and up to 100"),
        ("brass land,acid,3,20,5,maybe,,manual p. 4", "row 2, column instead: 'maybe' is neither yes nor no"),
        ("brass land,acid,3,20,5,,,", "row 2, column source: empty: name the manual and its page"),
        ("NBR ring,replace,5,,,,,manual p. 4", "row 2, column limit_minutes: '5' is no limit; write always, not needed"),
        ("NBR ring,replace,not needed,,,,,manual p. 4", "row 2, column instead: write yes"),
        ("brass land,acid,3", "row 2: 3 cells, but the header has 8 columns"),
        ("brass land,acid,3,20,5,,,a\nbrass land,acid,4,20,5,,,b", "row 3, column method: 'acid' on 'brass land' stands here twice"),
        ('brass land,acid,3,20,5,,"open,manual', "a double quote is not closed"),
        ("", "holds no rule"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_named_by_row_and_column(tmp_path: Path, line: str, said: str) -> None:
    with pytest.raises(CleaningRulesError) as caught:
        rules(tmp_path, line)
    assert said in str(caught.value) and str(caught.value).startswith("ours.csv")


def test_headers_and_files_that_are_none(tmp_path: Path) -> None:
    with pytest.raises(CleaningRulesError, match="column limit_minutes: is missing"):
        rules(tmp_path, "brass land,acid,x", header="part,method,source\n")
    with pytest.raises(CleaningRulesError, match="column minutes: not a column of rules"):
        rules(tmp_path, header="part,method,minutes,source\n")
    with pytest.raises(CleaningRulesError, match="There is no file"):
        read_rules(tmp_path / "none.csv")
    with pytest.raises(CleaningRulesError, match="is a folder"):
        read_rules(tmp_path)
    with pytest.raises(ValueError, match="rules must come from read_rules"):
        judge_plan(["brass land"], ["salt"], [], rules=[1])  # type: ignore[arg-type]


def test_our_own_limits_have_the_same_form() -> None:
    ours = read_rules(places.datasets() / "cleaning" / "limits.csv")
    assert len(ours.own) > 100
    assert judge_plan(["brass land"], ["scale"], ["mild acid"], ours).outcome == judge_plan(
        ["brass land"], ["scale"], ["mild acid"]).outcome  # fmt: skip


def test_a_stricter_row_wins_and_is_named(tmp_path: Path) -> None:
    own = rules(tmp_path, "brass land,acid,2,20,5,,our maker says so,manual p. 4")
    assert acid("brass land", 3, None).outcome == "within limits"
    verdict = acid("brass land", 3, own)
    assert verdict.outcome == "harm" and "our maker says so" in verdict.because
    assert (
        "Own rule: ours.csv, row 2: acid on brass land, 2 min at 20 °C, 5 % (ours: 10 min at 20 °C, 5 %)."
        in verdict.sentences
    )
    best = best_plan(["brass land"], ["scale"], own)
    assert best.steps is None and any("ours.csv, row 2" in one for one in best.sentences)
    assert cell("brass land", "scale", own).method == "not covered: ask the maker"


def test_a_looser_row_wins_only_where_it_stands_instead(tmp_path: Path) -> None:
    looser = "chromed body,acid,30,20,5,{},thick plating,manual p. 9"
    assert acid("chromed body", 8, None).outcome == "harm"
    beside = acid("chromed body", 8, rules(tmp_path, looser.format("no")))
    assert beside.outcome == "harm" and any("row 2" in one for one in beside.sentences)
    instead = acid("chromed body", 8, rules(tmp_path, looser.format("yes")))
    assert instead.outcome == "within limits" and any("row 2" in one for one in instead.sentences)


def test_a_material_a_method_and_a_word(tmp_path: Path) -> None:
    assert acid("brass land", 3, rules(tmp_path, "brass,ultrasonic acid,never,,,,,manual")).outcome == "harm"
    assert acid("brass land", 3, rules(tmp_path, "brass,acid,ask,,,,,manual")).outcome == "not covered"
    assert acid("stainless piston", 3, rules(tmp_path, "brass,acid,never,,,,,manual")).outcome == "within limits"


def test_a_row_covers_what_ours_leaves_open(tmp_path: Path) -> None:
    steps = ["strip", Step("alkaline degreaser", 5)]
    assert judge_plan(["FKM ring"], ["salt"], steps).outcome == "not covered"
    own = rules(tmp_path, "FKM,alkali,8,60,2,,,manual p. 2")
    assert judge_plan(["FKM ring"], ["salt"], steps, own).outcome != "not covered"


def test_a_soft_part_may_be_washed_and_kept_by_an_own_rule(tmp_path: Path) -> None:
    own = rules(tmp_path, "EPDM ring,replace,not needed,,,yes,wash and keep,manual p. 7")
    assert cell("EPDM ring", "salt").method == "replace"
    assert cell("EPDM ring", "salt", own).method == "rinse"
    verdict = judge_plan(["EPDM ring"], ["salt"], best_plan(["EPDM ring"], ["salt"], own).steps or (), own)
    assert verdict.outcome == "within limits" and any("row 2" in one for one in verdict.sentences)
    with_land = best_plan(["EPDM ring", "brass land"], ["salt"], own)
    assert with_land.steps is None and "plan of its own" in with_land.because


def test_a_hard_part_can_be_made_a_new_part(tmp_path: Path) -> None:
    own = rules(tmp_path, "stainless spring,replace,always,,,,at every service,manual p. 3")
    best = best_plan(["stainless spring", "brass land"], ["salt"], own)
    assert best.steps and Step("replace") in best.steps and "replaced: stainless spring" in best.because
    kept = [one for one in best.steps if one.method != "replace"]
    assert "ours.csv, row 2" in judge_plan(["stainless spring", "brass land"], ["salt"], kept, own).because


def test_semicolons_commas_and_another_order(tmp_path: Path) -> None:
    path = tmp_path / "ours.csv"
    path.write_text("source;limit_minutes;method;part;at_celsius\nmanual;2,5;acid;brass land;20\n", encoding="utf-8")
    assert read_rules(path).own[0].limit == 2.5


@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(st.text(max_size=12), min_size=1, max_size=9), max_size=4))
def test_no_file_gives_a_traceback(cells: list[list[str]]) -> None:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ours.csv"
        path.write_text(HEADER + "\n".join(",".join(row) for row in cells), encoding="utf-8", errors="replace")
        with pytest.raises(CleaningRulesError):
            read_rules(path)
