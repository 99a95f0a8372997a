"""Where components and rules come from, by their origin, as plain text for a terminal and as data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from textwrap import fill
from typing import Any

from netsolve.study.origins import Origin
from netsolve.views.catalogue import WIDTH


def origins_text(found: Sequence[Origin]) -> str:
    """One block for each origin: its version, then what is from there and whether it loads."""
    blocks = []
    for origin, version in dict.fromkeys((each.origin, each.version) for each in found):
        mine = [each for each in found if (each.origin, each.version) == (origin, version)]
        blocks.append("\n".join([f"{origin}{f', version {version}' if version else ''}", *map(_line, mine)]))
    unusable = sum(not each.usable for each in found)
    end = f"{len(found)} in all, {unusable} of them not usable" if unusable else f"{len(found)} in all; all load"
    return "\n\n".join([*blocks, end])


def _line(each: Origin) -> str:
    complaint = each.complaint.removeprefix(f"'{each.name}' from {each.origin}").lstrip(":, ")  # which is the heading
    said = "loads" if not complaint else complaint if not each.usable else f"loads, but {complaint}"
    return fill(
        said,
        WIDTH,
        initial_indent=f"  {each.name:20} {each.what:10} ",
        subsequent_indent=" " * 34,
        break_long_words=False,
        break_on_hyphens=False,
    )


def origins_data(found: Sequence[Origin]) -> dict[str, Any]:
    """The same as data."""
    return {"format": 1, "origins": [asdict(each) for each in found]}
