"""A trace drawn for a paper: SVG in text, so that the same trace gives the same bytes on every machine.

It needs no plotting library, stands within the paper's own file, and holds what the candidate sees and nothing else.
"""

from __future__ import annotations

import base64
from html import escape

from steadyneedle.questions.shown import NeedleTrace

WIDTH, HEIGHT = 860, 380
LEFT, RIGHT, TOP, BOTTOM = 84, 836, 40, 316
INK, FAINT, DOT = "#1a1a1a", "#bbbbbb", "#0066a8"


def svg_of(trace: NeedleTrace) -> str:
    """The picture: one dot a reading, the band hatched, a line across at each step of the scale.

    >>> svg_of(NeedleTrace((0, 30), (9.5, 9.6), 9.4, 9.8, "A needle.")).count("<circle")
    2
    """
    lines, end = trace.lines, trace.seconds[-1]

    def across(seconds: float) -> float:
        return LEFT + 14 + (RIGHT - LEFT - 28) * seconds / end

    def up(bar: float) -> float:
        return BOTTOM - (BOTTOM - TOP) * (bar - lines[0]) / (lines[-1] - lines[0])

    unit, per = ("seconds", 1) if trace.every < 60 else ("minutes", 60)
    high, low = up(trace.high), up(trace.low)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" height="{HEIGHT}" '
        f'role="img" font-family="DejaVu Sans, Verdana, sans-serif" font-size="18" fill="{INK}">',
        f"<title>{escape(trace.text)}</title>",
        f'<defs><pattern id="band" width="14" height="14" patternUnits="userSpaceOnUse"><path d="M0 14 L14 0" '
        f'stroke="{FAINT}" stroke-width="1"/></pattern></defs>',
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#ffffff"/>',
        f'<rect x="{LEFT}" y="{high:.1f}" width="{RIGHT - LEFT}" height="{low - high:.1f}" fill="url(#band)"/>',
    ]
    for bar in lines:
        parts.append(_line(LEFT, up(bar), RIGHT, up(bar), FAINT, 0.8))
        parts.append(_words(LEFT - 10, up(bar) + 6, f"{bar:.1f}", "end"))
    parts += [_line(LEFT, edge, RIGHT, edge, INK, 1.4) for edge in (high, low)]
    parts += [_line(LEFT, TOP, LEFT, BOTTOM, INK, 1.4), _line(LEFT, BOTTOM, RIGHT, BOTTOM, INK, 1.4)]
    for seconds in range(0, end + 1, trace.every):
        parts.append(_line(across(seconds), BOTTOM, across(seconds), BOTTOM + 6, INK, 1.4))
        parts.append(_words(across(seconds), BOTTOM + 26, f"{seconds // per}", "middle"))
    parts += [
        f'<circle cx="{across(seconds):.1f}" cy="{up(bar):.1f}" r="5.5" fill="{DOT}"/>'
        for seconds, bar in zip(trace.seconds, trace.bars, strict=True)
    ]
    parts += [
        _words((LEFT + RIGHT) / 2, HEIGHT - 8, unit, "middle"),
        _words(10, TOP - 16, "IP, bar", "start"),
        _words(RIGHT, TOP - 16, f"band {trace.low:.1f} to {trace.high:.1f} bar, hatched", "end"),
        "</svg>",
    ]
    return "\n".join(parts)


def _line(x1: float, y1: float, x2: float, y2: float, colour: str, width: float) -> str:
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}" stroke-width="{width:.1f}"/>'
    )


def _words(x: float, y: float, words: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(words)}</text>'


def address_of(trace: NeedleTrace) -> str:
    """The picture as an address that holds it whole: a page loads nothing for it."""
    return f"data:image/svg+xml;base64,{base64.b64encode(svg_of(trace).encode('utf-8')).decode('ascii')}"


def as_markdown(trace: NeedleTrace) -> str:
    """The picture as a cell of a notebook shows it, its numbers as the words for whoever cannot see it.

    >>> as_markdown(NeedleTrace((0, 30), (9.5, 9.6), 9.4, 9.8, "A needle."))[:40]
    '![A needle.](data:image/svg+xml;base64,P'
    """
    words = "".join(sign for sign in trace.text if sign not in "[]\\\n")
    return f"![{words}]({address_of(trace)})"
