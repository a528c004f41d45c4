"""The one look: colours, line styles, type. The matplotlib style file and the page's style read from here.

Colours are those of Okabe and Ito, published for colour-blind readers, and never the only carrier:
measured is solid with dots, predicted is dashed with a hollow diamond, a band is a hatched ribbon whose edges
carry their values, uncertainty is a whisker with caps, what would happen otherwise is thin and grey.
"""

from __future__ import annotations

from typing import Any

INK = "#1a1a1a"
GROUND = "#fdfcf9"
QUIET = "#595959"
FAINT = "#c9c6bf"
BLUE = "#0072b2"
VERMILION = "#d55e00"
GREEN = "#009e73"
PURPLE = "#cc79a7"

DESIGN_STYLES = {
    "Alder": (BLUE, "-", "o"), "Rowan": (GREEN, "--", "s"), "Hazel": (VERMILION, "-", "D"),
    "Juniper": (INK, "--", "^"), "Linden": (PURPLE, "-.", "v"),
}  # fmt: skip
"""Colour, line and mark of each design: told apart by shape as well as by colour."""

MEASURED: dict[str, Any] = {"color": BLUE, "linestyle": "-", "marker": "o"}
PREDICTED: dict[str, Any] = {"color": VERMILION, "linestyle": "--", "marker": "D", "markerfacecolor": "none"}
OTHERWISE: dict[str, Any] = {"color": QUIET, "linestyle": "-", "linewidth": 1.0}

WIDTH, HEIGHT = 860, 340
"""Size of a picture, in pixels."""

STYLE: Any = {
    "text.parse_math": False,  # names and sources from a sheet are shown as they stand, dollar signs too
    "figure.facecolor": GROUND,
    "axes.facecolor": GROUND,
    "savefig.facecolor": GROUND,
    "figure.dpi": 100,
    "font.family": ["DejaVu Sans"],
    "font.size": 13,
    "axes.labelsize": 14,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.linewidth": 1.2,
    "axes.grid": False,
    "xtick.color": INK,
    "ytick.color": INK,
    "text.color": INK,
    "lines.linewidth": 2.5,
    "lines.markersize": 9,
    "hatch.color": QUIET,
    "hatch.linewidth": 0.8,
    "path.simplify": True,
}
"""matplotlib settings of every figure."""


def page_style() -> str:
    """The same values as CSS variables for the page."""
    values = {
        "ink": INK,
        "ground": GROUND,
        "quiet": QUIET,
        "faint": FAINT,
        "blue": BLUE,
        "vermilion": VERMILION,
    }
    return ".sn { " + " ".join(f"--sn-{name}: {value};" for name, value in values.items()) + " }\n"
