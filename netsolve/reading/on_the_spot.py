"""A change made on the spot: what a command's options ask for becomes one more change of the document.

Each option's words are a page of their own, so that whatever is wrong with them is shown in them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NoReturn

from netsolve.problems import CircuitError, Problem
from netsolve.reading.naming import FORBIDDEN, did_you_mean, fold, tidy
from netsolve.source import parse
from netsolve.text.document import Items, Node, Place, Table, Text
from netsolve.text.page import checked

FIT, REMOVE, SET, INSERT, BEFORE, AFTER = "--fit", "--remove", "--set", "--insert", "--before", "--after"


@dataclass(frozen=True)
class OnTheSpot:
    """What is asked for: names of parts, settings as `part.parameter = value`, new parts as `name: {type: …}`.

    New parts stand together `before` or `after` one that is there, in the order in which they are given.
    """

    fit: Sequence[str] = ()
    remove: Sequence[str] = ()
    settings: Sequence[str] = ()
    insert: Sequence[str] = ()
    before: str | None = None
    after: str | None = None

    def __bool__(self) -> bool:
        return any((self.fit, self.remove, self.settings, self.insert, self.before, self.after))

    def written_into(self, circuit: Table) -> Table:
        """The document with this as its last change, and with the new parts, which only this change fits.

        CircuitError where the words cannot be read or the new parts have no place.
        """
        inserted = [_inserted(words) for words in self.insert]
        if inserted or self.before or self.after:
            circuit = _with_parts(circuit, inserted, self._place(), after=self.after is not None)
        given = [_setting(words) for words in self.settings]
        fitted = [*(_text(FIT, words) for words in self.fit), *(part.entries[0][0] for part in inserted)]
        removed = [_text(REMOVE, words) for words in self.remove]
        name = self._name(circuit, [part.entries[0][0].value for part in inserted])
        verbs: dict[str, Node] = {"fit": _items(fitted), "remove": _items(removed), "set": _table(given)}
        changes = circuit.get("changes")
        others = changes.entries if isinstance(changes, Table) else ()
        written = [(Text(verb, False, name.place), node) for verb, node in verbs.items()]
        return _with(circuit, Text("changes", False, name.place), _table([*others, (name, _table(written))]))

    def _place(self) -> Text:
        """The part that new ones stand beside."""
        places = [_text(option, words) for option, words in ((BEFORE, self.before), (AFTER, self.after)) if words]
        if self.insert and len(places) == 1:
            return places[0]
        if len(places) > 1:
            _refuse("contradiction", "new parts stand either before a part or after one", places[1], "keep one")
        if places:
            _refuse("nothing-to-insert", "there is no new part to put there", places[0], "add --insert")
        _refuse("no-place", "it is not said where the new part goes", _text(INSERT, self.insert[0]), "add --after PART")

    def _name(self, circuit: Table, inserted: Sequence[str]) -> Text:
        """A name that says what is done, and is not one of the file's."""
        settings = [" at ".join(piece.strip() for piece in words.split("=", 1)) for words in self.settings]
        done = [f"{name} fitted" for name in (*self.fit, *inserted)] + [f"{name} removed" for name in self.remove]
        said = " and ".join([*done, *settings])
        name = tidy("".join(" " if char in FORBIDDEN.replace(".", "") else char for char in said))
        changes = circuit.get("changes")
        taken = {fold(key.value) for key, _ in changes.entries} if isinstance(changes, Table) else set()
        while fold(name) in taken:
            name += " on the spot"
        return _text("the command", name)


def _refuse(code: str, message: str, at: Text, help: str) -> NoReturn:
    raise CircuitError([Problem(code, message, help, at.span)])


def _text(option: str, words: str, start: int = 0, end: int | None = None) -> Text:
    """What an option says, or a piece of it."""
    page, content = checked(words, option)
    piece = content[start:end]
    first = start + len(piece) - len(piece.lstrip())
    return Text(piece.strip(), False, Place(page, 0, first, 0, max(first + 1, start + len(piece.rstrip()))))


def _setting(words: str) -> tuple[Text, Text]:
    """`feed hose.bore = 3/4 in` as a name and a value."""
    middle = words.find("=")
    if middle < 0:
        message = f"a setting is written part.parameter = value, not '{words.strip()}'"
        _refuse("bad-setting", message, _text(SET, words), 'for example --set "main.speed = 700 rpm"')
    return _text(SET, words, 0, middle), _text(SET, words, middle + 1)


def _inserted(words: str) -> Table:
    """`name: {type: …}` as an item of a list of parts that is not fitted as found."""
    item = _parsed(words)
    (name, value), *others = item.entries
    fitted = [key for key, _ in value.entries if key.value == "fitted"] if isinstance(value, Table) else []
    if others:
        _refuse("not-a-part", "more than one part is given", others[0][0], "give each its own --insert")
    if fitted:
        _refuse("contradiction", "a new part is fitted, whatever it says", fitted[0], "leave 'fitted' out")
    if not isinstance(value, Table):
        message = f"'{name.value}' needs a type and its parameters"
        _refuse("not-a-table", message, name, f"write {name.value}: {{type: …}}")
    own = [*value.entries, (Text("fitted", False, name.place), Text("no", False, name.place))]
    return _table([(name, _table(own))])


def _parsed(words: str) -> Table:
    try:
        return parse(words, INSERT)
    except CircuitError as error:
        whole = [each for each in error.problems if each.code in ("empty", "not-a-mapping")]
        if not whole:
            raise
        help = 'for example --insert "elbow: {type: bend, style: standard, bore: 16 mm}"'
        told = Problem("not-a-part", "a new part is a name with its type", help, whole[0].at)
        raise CircuitError([told]) from None


def _with_parts(circuit: Table, parts: Sequence[Node], beside: Text, *, after: bool) -> Table:
    """The document with new parts beside one of its own."""
    runs = circuit.get("runs")
    known: list[str] = []
    for key, run, items in _lists(runs):
        names = [_part_name(item) for item in items.values]
        known += names
        if fold(beside.value) in [fold(name) for name in names]:
            place = [fold(name) for name in names].index(fold(beside.value)) + after
            mended = replace(items, values=(*items.values[:place], *parts, *items.values[place:]))
            assert isinstance(runs, Table)  # a run has been found in it
            return _with(circuit, Text("runs", False, runs.place), _with(runs, key, _with(run, _key(run), mended)))
    help = did_you_mean(beside.value, known, "name a part of a run")
    raise CircuitError([Problem("unknown-part", f"there is no part '{beside.value}'", help, beside.span)])


def _lists(runs: Node | None) -> Iterator[tuple[Text, Table, Items]]:
    """The runs that have a list of parts, with it; what has another shape the reader will tell of."""
    for key, run in runs.entries if isinstance(runs, Table) else ():
        parts = run.get("parts") if isinstance(run, Table) else None
        if isinstance(run, Table) and isinstance(parts, Items):
            yield key, run, parts


def _key(run: Table) -> Text:
    return next(key for key, _ in run.entries if key.value == "parts")


def _part_name(item: Node) -> str:
    return item.entries[0][0].value if isinstance(item, Table) and item.entries else ""


def _items(texts: Sequence[Text]) -> Node:
    """A list of names; nothing where there is none."""
    return Items(tuple(texts), texts[0].place) if texts else _nothing()


def _table(entries: Sequence[tuple[Text, Node]]) -> Table:
    place = entries[0][0].place if entries else _nothing().place
    return Table(tuple(entries), place, {key.value: node for key, node in entries})


def _nothing() -> Text:
    return _text("the command", "")


def _with(table: Table, key: Text, node: Node) -> Table:
    """The table with another value under a key, at its place, or at the end where it has no such key."""
    entries = [(each, node if each.value == key.value else value) for each, value in table.entries]
    if key.value not in table.index:
        entries.append((key, node))
    return Table(tuple(entries), table.place, {each.value: value for each, value in entries})
