"""Names: what may be one, when two are the same, and which one was probably meant."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from netsolve.reading.complaints import Complaints
from netsolve.source import Text, cut_short

RESERVED = frozenset({"water", "in", "out", "end", "as found", "as written"})
FORBIDDEN = ".,:=#[]{}"
NEVER_FIRST = "-?*&!%@|>'\"`"

_MOST_COMPARED = 2000


def fold(name: str) -> str:
    """The form in which names are compared: case and spaces do not count."""
    return " ".join(name.casefold().split())


def tidy(name: str) -> str:
    """A name as it is shown: single spaces, also where it was pasted with tabs or wider ones."""
    return " ".join(name.split())


def near(word: str, choices: Iterable[str]) -> str | None:
    """The choice most like the word, or None; none is sought among thousands."""
    from difflib import get_close_matches  # only a mistake needs it

    known = {fold(choice): choice for choice in choices}
    if len(known) > _MOST_COMPARED:
        return None
    found = get_close_matches(fold(word)[:100], known, 1)
    return known[found[0]] if found else None


def did_you_mean(word: str, choices: Iterable[str], otherwise: str = "") -> str:
    """The help that offers the nearest choice."""
    found = near(word, choices)
    return f"did you mean '{found}'?" if found else otherwise


def article(noun: str) -> str:
    """The noun with `a` or `an` before it."""
    return f"{'an' if noun[:1].casefold() in 'aeiou' else 'a'} {noun}"


@dataclass(frozen=True, slots=True)
class Name:
    """A name in use: as it was first written, what bears it, and where."""

    name: str
    what: str
    at: Text


@dataclass
class Names:
    """One namespace: the names in use, by their folded form."""

    complaints: Complaints
    dots: bool = False
    known: dict[str, Name] = field(default_factory=dict)
    refused: set[str] = field(default_factory=set)

    def add(self, what: str, text: Text) -> str | None:
        """The name, now in use; None, with the problem told, where it cannot be one or is taken."""
        if not self._may_be_name(what, text):
            self.refused.add(fold(text.value))
            return None
        name = tidy(text.value)
        first = self.known.setdefault(fold(name), Name(name, what, text))
        if first.at is text:
            return first.name
        message = f"{article(what)} is named '{name}', as {article(first.what)} is"
        if first.what == what:
            message = f"two {what}s are named '{first.name}'"
        self.complaints.error("duplicate-name", message, "give one of them another name", text.span, first.at.span)
        return None

    def find(self, name: str) -> Name | None:
        """The name in use that this one means."""
        return self.known.get(fold(name))

    def is_refused(self, reference: str) -> bool:
        """Whether a reference is to a name that has been refused already, so that nothing more is said of it."""
        folded = fold(reference)
        return any(folded == name or folded.startswith(f"{name}.") for name in self.refused)

    def of(self, *whats: str) -> list[str]:
        """The names that things of these sorts bear."""
        return [each.name for each in self.known.values() if each.what in whats]

    def _may_be_name(self, what: str, text: Text) -> bool:
        name = text.value.strip()  # not tidied: a line break in it is a fault
        wrong = self._fault(name)
        if cut_off := cut_short(text):
            told = f"' #' begins a comment, so '{cut_off}' is cut off the name '{name}'"
            self.complaints.error("name-cut-short", told, "leave the # out of the name", text.span)
            return False
        if wrong:
            help = "give it another name" if fold(name) in RESERVED else _CURE
            self.complaints.error("bad-name", f"{article(what)} cannot be named '{name}': {wrong}", help, text.span)
        return not wrong

    def _fault(self, name: str) -> str:
        if not name:
            return "the name is empty"
        if fold(name) in RESERVED:
            return "the word is reserved"
        if "\n" in name or "\r" in name:
            return "it has a line break"
        if name[0] in NEVER_FIRST:
            return f"it begins with {name[0]}"
        bad = [char for char in name if char in FORBIDDEN and not (self.dots and char == ".")]
        return f"it has a '{bad[0]}'" if bad else ""


_CURE = "use letters, digits, spaces and dashes"
