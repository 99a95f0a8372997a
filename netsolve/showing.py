"""How something shows itself in a notebook: it asks the view for it, the one look upwards that there is."""

from __future__ import annotations

from typing import Any


class Shown:
    """What a notebook can show as text, table and picture."""

    def _repr_html_(self) -> str:
        """The table and the picture."""
        from netsolve.views.notebook import html

        return html(self)

    def _repr_svg_(self) -> str | None:
        """The picture alone; None where none can be drawn."""
        from netsolve.views.notebook import drawn

        return drawn(self)

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, Any]:
        """All of them by media type, or those that are asked for."""
        from netsolve.views.notebook import bundle, wanted

        return wanted(bundle(self), include, exclude)
