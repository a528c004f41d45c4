"""Notebook files: cleaning keeps the picture, the digest sees only what a person wrote."""

from __future__ import annotations

import copy
import json
from pathlib import Path

import pytest

from steadyneedle.foundation import notebooks
from steadyneedle.foundation.notebooks import VIEW

VIEW_AND_PICTURE = {
    "output_type": "display_data",
    "metadata": {},
    "data": {VIEW: {"model_id": "x"}, "image/png": "AA=="},
}
VIEW_ALONE = {"output_type": "display_data", "metadata": {}, "data": {VIEW: {"model_id": "x"}}}
BOOK = {
    "cells": [
        {"cell_type": "markdown", "id": "a", "metadata": {}, "source": "# One"},
        {
            "cell_type": "code", "id": "b", "metadata": {"tags": ["t"], "execution": {"iopub": 1}}, "source": ["x\n", "y"],
            "execution_count": 7, "outputs": [VIEW_AND_PICTURE, VIEW_ALONE],
        },
    ],
    "metadata": {"widgets": {"state": {}}, "kernelspec": {"name": "other"}},
    "nbformat": 4,
    "nbformat_minor": 5,
}  # fmt: skip


def test_cleaning_drops_views_and_state() -> None:
    clean = notebooks.clean(copy.deepcopy(BOOK))
    assert "widgets" not in clean["metadata"]
    assert clean["cells"][1]["outputs"] == [{**VIEW_AND_PICTURE, "data": {"image/png": "AA=="}}]
    assert notebooks.clean(clean) == clean


def test_digest_sees_sources_only() -> None:
    other = copy.deepcopy(BOOK)
    other["cells"][1]["outputs"] = []
    other["cells"][1]["source"] = "x\ny"
    assert notebooks.source_digest(other) == notebooks.source_digest(BOOK)
    other["cells"][1]["source"] = "x\nz"
    assert notebooks.source_digest(other) != notebooks.source_digest(BOOK)


def test_freshly_run_counts_from_one_and_drops_noise() -> None:
    fresh = notebooks.freshly_run(copy.deepcopy(BOOK), {"lesson": "03"})
    assert fresh["cells"][1]["execution_count"] == 1
    assert fresh["cells"][0]["metadata"] == {"deletable": False, "editable": False}
    assert fresh["cells"][1]["metadata"] == {"deletable": False, "editable": False, "tags": ["t"]}
    assert fresh["metadata"]["steadyneedle"] == {"lesson": "03"}
    assert fresh["metadata"]["kernelspec"]["name"] == "python3"


@pytest.mark.parametrize("text", ["", "{", "[]", '{"cells": 3}', "[" * 100_000])
def test_a_damaged_file_is_said(tmp_path: Path, text: str) -> None:
    path = tmp_path / "x.ipynb"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(notebooks.NotebookError, match=r"x\.ipynb is damaged"):
        notebooks.read(path)


def test_text_is_as_jupyter_writes_it() -> None:
    text = notebooks.as_text(BOOK)
    assert json.loads(text) == BOOK and text.endswith("}\n") and '\n "cells"' in text
