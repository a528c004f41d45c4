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

TYPE = 13
"""Size of the smallest type on a picture, in points at 100 to the inch: 18 pixels, as `SMALLEST` of a scene."""

SMALLEST = 18.0
"""Likewise, in pixels. A picture 670 pixels wide, in a low window, then shows 14; one as wide as a wall's screen a
thirtieth of the screen's height."""

STYLE: Any = {
    "text.parse_math": False,  # names and sources from a sheet are shown as they stand, dollar signs too
    "figure.facecolor": GROUND,
    "axes.facecolor": GROUND,
    "savefig.facecolor": GROUND,
    "figure.dpi": 100,
    "font.family": ["DejaVu Sans"],
    "font.size": TYPE,
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


DARK = ':is([data-ground="dark"], [data-jp-theme-light="false"])'
"""What stands around a panel on a dark ground: our page, or JupyterLab under a dark theme."""

IN_DARK = 0.93
"""How far a dark ground turns light to dark: the `invert` of CSS, at which a ground of 0.99 becomes one of 0.08."""

DARK_FILTER = f"invert({IN_DARK}) hue-rotate(180deg)"
"""What the page lays over a picture on a dark ground: light and dark change places, hues stay."""

_HALF_TURN = ((-0.574, 1.430, 0.144), (0.426, 0.430, 0.144), (0.426, 1.430, -0.856))
"""The matrix of `hue-rotate(180deg)` (Filter Effects Module Level 1, section 8.5)."""


def in_dark(colour: str) -> str:
    """What `DARK_FILTER` makes of a colour, so that panels and pictures have the same dark ground.

    Parameters
    ----------
    colour : str
        Six hexadecimal digits after #.

    Returns
    -------
    str
        Likewise.

    References
    ----------
    W3C, Filter Effects Module Level 1, 2018: sections 8.5 and 8.6, `hue-rotate` and `invert`.

    Examples
    --------
    >>> in_dark("#fdfcf9"), in_dark("#1a1a1a")
    ('#151412', '#d7d7d7')
    """
    turned = [IN_DARK + int(colour[n : n + 2], 16) / 255 * (1 - 2 * IN_DARK) for n in (1, 3, 5)]
    mixed = [sum(share * part for share, part in zip(row, turned, strict=True)) for row in _HALF_TURN]
    return "#" + "".join(f"{round(min(max(part, 0.0), 1.0) * 255):02x}" for part in mixed)


def page_style() -> str:
    """The same values as CSS variables for the page, on a light and on a dark ground; paper is always light."""
    values = {
        "ink": INK,
        "ground": GROUND,
        "quiet": QUIET,
        "faint": FAINT,
        "blue": BLUE,
        "vermilion": VERMILION,
        "field": "#ffffff",
    }
    light = " ".join(f"--sn-{name}: {value};" for name, value in values.items())
    dark = " ".join(f"--sn-{name}: {in_dark(value)};" for name, value in values.items())
    return (
        f".sn {{ {light} }}\n"
        f"@media screen {{ {DARK} .sn {{ {dark} color-scheme: dark; }}\n"
        f"{DARK} :is(.sn-picture :is(img, svg), .sn-markdown img) {{ filter: {DARK_FILTER}; }} }}\n"
    )
