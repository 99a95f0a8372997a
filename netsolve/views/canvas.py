"""A drawing area for a chart: a scale for each direction, and SVG elements on it; words go in as words."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from netsolve.problems import printable
from netsolve.views.markup import INK
from netsolve.views.svg import FONT


@dataclass(frozen=True, slots=True)
class Scale:
    """Values from `low` to `high` laid out from `start` to `stop` on the page."""

    low: float
    high: float
    start: float
    stop: float

    def at(self, value: float) -> float:
        """Where a value stands on the page."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.stop - self.start)

    def ticks(self, most: int = 7) -> list[float]:
        """Round values between the two ends, at most so many."""
        rough = (self.high - self.low) / most
        power = 10.0 ** math.floor(math.log10(rough))
        step = next(power * times for times in (1, 2, 5, 10) if power * times >= rough * (1 - 1e-9))
        first, last = math.ceil(self.low / step - 1e-9), math.floor(self.high / step + 1e-9)
        return [round(number * step, 10) for number in range(first, last + 1)]


def line(points: Iterable[tuple[float, float]], *, colour: str = INK, width: float = 2, dashes: str = "") -> str:
    """A line through points on the page."""
    style = f' stroke-dasharray="{dashes}"' if dashes else ""
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="{width}"{style}/>'


def area(points: Iterable[tuple[float, float]], fill: str) -> str:
    """A filled shape without an outline."""
    return f'<polygon points="{" ".join(f"{x:.1f},{y:.1f}" for x, y in points)}" fill="{fill}"/>'


def words(
    x: float,
    y: float,
    text: str,
    *,
    size: int = 12,
    colour: str = INK,
    anchor: str = "",
    bold: bool = False,
    turn: int = 0,
) -> str:
    """Words that begin at a place on the page, or end there (`end`), or stand around it (`middle`)."""
    more = f' text-anchor="{anchor}"' if anchor else ""
    more += ' font-weight="bold"' if bold else ""
    more += f' transform="rotate({turn} {x:.1f} {y:.1f})"' if turn else ""
    place = f'x="{x:.1f}" y="{y:.1f}"'
    return f'<text {place} font-size="{size}" fill="{colour}"{more}>{escape(printable(text))}</text>'


def picture(parts: Sequence[str], width: float, height: float, *, title: str, description: str, name: str) -> str:
    """The whole as SVG with its title and text alternative; `name` begins the ids."""
    box = f'width="{width:.0f}" height="{height:.0f}" viewBox="0 0 {width:.0f} {height:.0f}"'
    labels = f'role="img" aria-labelledby="{name}-title {name}-desc" font-family="{FONT}"'
    said = f'<title id="{name}-title">{escape(printable(title))}</title>'
    said += f'<desc id="{name}-desc">{escape(printable(description))}</desc>'
    body = "\n".join([said, f'<rect width="{width:.0f}" height="{height:.0f}" fill="#ffffff"/>', *parts])
    return f'<svg xmlns="http://www.w3.org/2000/svg" {box} {labels}>\n{body}\n</svg>\n'


def stacked(pictures: Sequence[str]) -> str:
    """Several pictures one below the other, as one."""
    sizes = [re.search(r'width="(\d+)" height="(\d+)"', each) for each in pictures]
    heights = [int(size[2]) if size else 0 for size in sizes]
    width = max((int(size[1]) for size in sizes if size), default=0)
    starts = [sum(heights[:place]) for place in range(len(heights))]
    inside = (each.replace("<svg ", f'<svg y="{start}" ', 1) for each, start in zip(pictures, starts, strict=True))
    box = f'width="{width}" height="{sum(heights)}" viewBox="0 0 {width} {sum(heights)}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {box}>\n{"".join(inside)}</svg>\n'
