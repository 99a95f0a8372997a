"""One item of a list of parts: `- name: {type: …}`, and the ways in which it is written wrong."""

from __future__ import annotations

from dataclasses import dataclass

from netsolve.reading.complaints import Complaints
from netsolve.reading.shapes import empty
from netsolve.source import Items, Node, Table, Text, cut_short


@dataclass(frozen=True)
class Item:
    """A name and what is written under it."""

    name: Text
    pairs: tuple[tuple[Text, Node], ...]


def part_item(node: Node, complaints: Complaints) -> Item | None:
    """The part that an item of a list is, or None after telling what is wrong with it."""
    if isinstance(node, Text):
        _tell_bare(node, complaints)
        return None
    if isinstance(node, Items) or not node.entries:
        complaints.error("not-a-part", "a part has a name", _CURE, node.span)
        return None
    name, value = node.entries[0]
    if len(node.entries) > 1:
        return _several(node, complaints)
    if isinstance(value, Table):
        return Item(name, value.entries)
    if empty(value):
        return Item(name, ())
    written = value.value if isinstance(value, Text) else "…"
    help = f"write {name.value}: {{type: {written}}}"
    complaints.error("not-a-table", f"'{name.value}' needs a type and its parameters", help, value.span)
    return None


def _tell_bare(node: Text, complaints: Complaints) -> None:
    if cut_off := cut_short(node):
        message = f"' #' begins a comment, so '{cut_off}' is cut off the name '{node.value}'"
        complaints.error("name-cut-short", message, "leave the # out of the name", node.span)
        return
    help = f"write - {node.value or 'name'}: {{type: hose, …}}"
    complaints.error("not-a-part", f"'{node.value}' is a name without a type", help, node.span)


def _several(node: Table, complaints: Complaints) -> Item | None:
    """More than one name in an item: what belongs to the part stands beside its name, or `- ` was forgotten."""
    name, value = node.entries[0]
    keys = [key.value for key, _ in node.entries]
    if "type" in keys[1:] and (empty(value) or isinstance(value, Table)):
        message = f"the parameters of '{name.value}' stand beside its name, not under it"
        help = f"indent {', '.join(keys[1:])} by two more spaces"
        complaints.error("not-indented", message, help, name.span)
        own = value.entries if isinstance(value, Table) else ()
        return Item(name, (*own, *node.entries[1:]))
    if "type" in keys:
        complaints.error("not-a-part", "a part is written by its name", _CURE, name.span)
        return None
    message = f"'{keys[1]}' stands in the same item as '{keys[0]}'"
    complaints.error("not-a-part", message, "begin each part with '- '", node.entries[1][0].span)
    return None


_CURE = "write - feed hose: {type: hose, …}"
