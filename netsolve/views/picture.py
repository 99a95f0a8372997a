"""The picture of a row as SVG text or as the bytes of a file, with its text alternative."""

from __future__ import annotations

from netsolve.problems import printable
from netsolve.views.alternative import described
from netsolve.views.diagram import drawing
from netsolve.views.paper import pdf_of
from netsolve.views.render import render
from netsolve.views.scene import Scene
from netsolve.views.svg import finished


def svg(scene: Scene, *, name: str = "picture", across: bool = False) -> str:
    """The picture as SVG with title and description; `name` begins its ids. RenderError where it cannot be drawn."""
    drawn = render(drawing(scene, across=across), "svg")
    return finished(drawn, title=printable(scene.title), description=printable(described(scene)), name=name)


def picture(scene: Scene, format: str, *, across: bool = False) -> bytes:
    """The picture as the bytes of a file, from top to bottom or `across`: `svg`, `png`, `dot`, or `pdf`.

    Raises as `render` does; PDF is printed by a browser.
    """
    if format == "svg":
        return f'<?xml version="1.0" encoding="UTF-8"?>\n{svg(scene, across=across)}'.encode()
    if format == "pdf":
        return pdf_of(svg(scene, across=across))
    return render(drawing(scene, across=across), format)
