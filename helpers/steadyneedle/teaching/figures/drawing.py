"""A matplotlib figure with a few moving artists: drawn once, then only the moving ones again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import numpy as np
from matplotlib import rc_context
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.ticker import FuncFormatter
from PIL import Image

from steadyneedle.teaching import look

COLOURS = 240
"""Colours of a repainted picture: plenty for lines and their smooth edges, and four times as fast to send."""


CELL = 4


@dataclass
class Drawing:
    """A figure, the artists that move, and the function that moves them to a result.

    `update` returns False where the standing part no longer fits, for example another unit on the axis:
    the frame then draws a new figure.
    """

    figure: Figure
    moving: tuple[Artist, ...]
    update: Callable[[Any], bool]


Localise = Callable[[str], str]
"""Turns the decimal points of a text into the reader's mark."""


def axes_of_our_own(localise: Localise, width: int = look.WIDTH, height: int = look.HEIGHT) -> tuple[Figure, Axes]:
    """A figure in the workbook's look with one pair of axes, without pyplot."""
    with rc_context(look.STYLE):
        figure = Figure(figsize=(width / 100, height / 100), dpi=100)
        axes = figure.add_axes((0.10, 0.165, 0.87, 0.785))
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_formatter(FuncFormatter(lambda value, _: localise(f"{value:g}")))
    return figure, axes


def words_over(axes: Axes, words: str = "", at: tuple[float, float] = (0.0, 0.0), **style: Any) -> Text:
    """Words on a ground of their own, so that no line strikes them through; they move, to be drawn after the lines."""
    ground = {"facecolor": look.GROUND, "edgecolor": "none", "pad": 1.0}
    said: dict[str, Any] = {"fontsize": look.TYPE, "bbox": ground, "zorder": 4} | style
    return axes.text(*at, words, **said)


class Painter:
    """Turns a drawing into PNG bytes; after the first time only the moving artists are drawn."""

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing
        self._canvas = FigureCanvasAgg(drawing.figure)
        for artist in drawing.moving:
            artist.set_animated(True)
        with rc_context(look.STYLE):
            self._canvas.draw()
        self._ground = self._canvas.copy_from_bbox(drawing.figure.bbox)
        self._palette: Image.Image | None = None
        self._said: dict[Text, tuple[object, ...]] = {}
        self._kept: dict[Text, Any] = {}

    def paint(self) -> bytes:
        """PNG of the drawing as it stands now."""
        self._canvas.restore_region(self._ground)
        for artist in self.drawing.moving:
            if isinstance(artist, Text) and artist.get_bbox_patch() is not None:
                self._draw_words(artist)
            else:
                self.drawing.figure.draw_artist(artist)
        picture = _pixels(self._canvas)
        if self._palette is None:  # the colours of line art stay the same wherever its artists move
            self._palette = _commonest_colours(picture)
        return _png(picture.quantize(palette=self._palette, dither=Image.Dither.NONE))

    def _draw_words(self, words: Text) -> None:
        """Words on a ground of their own; said again in the same place, their pixels are laid again.

        Letters take most of the time of a picture. The ground covers whatever is below, so its inside never changes.
        """
        ground: Any = words.get_bbox_patch()
        says = (words.get_text(), *words.get_position(), words.get_color(), words.get_visible())
        if self._said.get(words) == says and words in self._kept:
            ground.draw(self._canvas.get_renderer())
            self._canvas.restore_region(self._kept[words])
            return
        self.drawing.figure.draw_artist(words)
        self._kept.pop(words, None)
        if self._said.get(words) == says and words.get_text() and words.get_visible():
            inside = ground.get_window_extent().padded(-1.0)
            if inside.width > 2 and inside.height > 2:
                self._kept[words] = self._canvas.copy_from_bbox(inside)
        self._said[words] = says


def png_of(figure: Figure, dpi: int = 0) -> bytes:
    """PNG of a figure drawn afresh; with `dpi` so many dots to the inch, which the file then says."""
    if dpi:
        figure.set_dpi(dpi)
    canvas = FigureCanvasAgg(figure)
    with rc_context(look.STYLE):
        canvas.draw()
    return _png(_pixels(canvas), dpi)


def _pixels(canvas: FigureCanvasAgg) -> Image.Image:
    size, pixels = canvas.get_width_height(), canvas.buffer_rgba()
    return Image.frombuffer("RGBA", size, pixels, "raw", "RGBA", 0, 1).convert("RGB")


def _commonest_colours(picture: Image.Image) -> Image.Image:
    """A palette of a picture's commonest colours, exactly as they are; rarer ones go to the nearest.

    Pillow looks a colour up by the corner of a cell four steps wide, so two colours closer than a cell
    could be taken for one another: the commoner of such a pair alone is kept.
    """
    counted: Any = picture.getcolors(picture.width * picture.height)
    left = np.array([colour for _, colour in sorted(counted, reverse=True)], np.int16)
    kept: list[int] = []
    while left.size and len(kept) < 3 * COLOURS:
        kept += left[0].tolist()
        left = left[np.abs(left - left[0]).max(axis=1) > CELL]
    palette = Image.new("P", (1, 1))
    palette.putpalette(kept)
    return palette


def _png(picture: Image.Image, dpi: int = 0) -> bytes:
    stream = BytesIO()
    said = {"dpi": (dpi, dpi)} if dpi else {}
    picture.save(stream, format="PNG", compress_level=1, **said)
    return stream.getvalue()
