"""The shape of what is written: tables where tables belong, texts where texts do, and no key that means nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from netsolve.discovery.aliases import PARAMETER_ALIASES
from netsolve.reading.complaints import Complaints
from netsolve.reading.naming import article, near
from netsolve.source import Items, Node, Table, Text

_MOST_LISTED = 12


def empty(node: Node | None) -> bool:
    """Whether nothing is written here."""
    return node is None or (isinstance(node, Text) and not node.quoted and not node.value.strip())


def entries(node: Node | None, what: str, complaints: Complaints) -> tuple[tuple[Text, Node], ...]:
    """The names and values of a table; none where nothing is written, or something else, which is told."""
    if isinstance(node, Table):
        return node.entries
    if node is not None and not empty(node):
        written = f"'{node.value}'" if isinstance(node, Text) else "a list"
        message = f"{what} is a table of names and values, not {written}"
        complaints.error("not-a-table", message, "write {name: value, …}, or one name: value to a line", node.span)
    return ()


def gathered(
    pairs: Iterable[tuple[Text, Node]], signs: Iterable[str], complaints: Complaints
) -> tuple[tuple[Text, Node], ...]:
    """The pairs of a section, with what stands beside an empty name put under it and told.

    Any of the `signs`, which no name of the section bears, shows that this is what happened.
    """
    pairs = tuple(pairs)
    if not any(key.value in signs and not isinstance(value, Table) and not empty(value) for key, value in pairs):
        return pairs
    found: list[tuple[Text, Node, list[tuple[Text, Node]]]] = []
    for key, value in pairs:
        if found and empty(found[-1][1]) and not isinstance(value, Table) and not empty(value):
            found[-1][2].append((key, value))
        else:
            found.append((key, value, []))
    return tuple((key, _under(key, strays, complaints) if strays else value) for key, value, strays in found)


def _under(name: Text, strays: Iterable[tuple[Text, Node]], complaints: Complaints) -> Table:
    strays = tuple(strays)
    keys = ", ".join(key.value for key, _ in strays)
    message = f"the parameters of '{name.value}' stand beside its name, not under it"
    complaints.error("not-indented", message, f"indent {keys} by two more spaces", name.span)
    return Table(strays, name.place, {key.value: value for key, value in strays})


def text(node: Node | None, what: str, complaints: Complaints) -> str:
    """A text; empty where nothing is written, or something else, which is told."""
    if isinstance(node, Text):
        return node.value
    if node is not None:
        complaints.error("not-a-text", f"{what} is a text", "put it in quotes", node.span)
    return ""


def texts(node: Node | None, what: str, complaints: Complaints) -> tuple[Text, ...]:
    """One text, or a list of them."""
    if node is None or empty(node):
        return ()
    values = node.values if isinstance(node, Items) else (node,)
    for value in values:
        if not isinstance(value, Text):
            complaints.error("not-a-name", f"{what}: a name or a list of names is wanted", "", value.span)
    return tuple(value for value in values if isinstance(value, Text))


@dataclass(frozen=True)
class Keys:
    """What may stand in a table that belongs to something; `noun` is what it is said to belong to."""

    noun: str
    allowed: Mapping[str, object] | Iterable[str]
    code: str = "unknown-parameter"

    def sorted_out(self, pairs: Iterable[tuple[Text, Node]], complaints: Complaints) -> dict[str, Node]:
        """The entries by key. An unknown key is told, and taken for the one meant where there is one."""
        pairs = tuple(pairs)
        known = {key.value: node for key, node in pairs if key.value in self.names}
        for key, node in pairs:
            if key.value not in self.names:
                meant = self.tell_unknown(key, complaints)
                if meant is not None:
                    known.setdefault(meant, node)
        return known

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(self.allowed)

    def tell_unknown(self, key: Text, complaints: Complaints) -> str | None:
        """Tell of a key that there is not; the key that was meant."""
        meant = self._meant(key.value)
        help = f"did you mean '{meant}'?" if meant else self._listed()
        complaints.error(self.code, f"{article(self.noun)} has no '{key.value}'", help, key.span)
        return meant

    def _meant(self, key: str) -> str | None:
        folded = "_".join(key.casefold().replace("-", " ").split())
        if folded in self.names:
            return folded
        return near(folded, self.names) or next(
            (name for name in PARAMETER_ALIASES.get(folded, ()) if name in self.names), None
        )

    def _listed(self) -> str:
        shown = ", ".join(self.names[:_MOST_LISTED])
        return f"{article(self.noun)} has {shown}{', …' if len(self.names) > _MOST_LISTED else ''}"
