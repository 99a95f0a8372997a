"""Tables of measured points in CSV files: `flow gph, head m` in the first line, bare numbers below it.

Each column is headed by its name and its unit, a space between them. Columns are separated by commas, decimals written
with a point. Blank lines, and lines that begin with `#`, are passed over.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath

from netsolve.problems import Span

PATTERN = r"\.[cC][sS][vV]\s*$"
"""What the name of such a file ends in, for editors."""

MAX_BYTES = 1_000_000
MAX_POINTS = 2_000

_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")


class CsvError(ValueError):
    """A file that cannot be used: a code, what is wrong, what to do, and the place in it where there is one."""

    def __init__(self, code: str, message: str, help: str, at: Span | None = None) -> None:
        super().__init__(message)
        self.code, self.message, self.help, self.at = code, message, help, at


@dataclass(frozen=True)
class Cell:
    """A text between two commas, and where it stands."""

    text: str
    at: Span


@dataclass(frozen=True)
class Sheet:
    """A file's columns and its points, each a text with its unit by the name of the column."""

    columns: tuple[str, ...]
    header: Span
    lines: tuple[tuple[Cell, ...], ...]
    units: tuple[str, ...]

    @property
    def points(self) -> list[dict[str, str]]:
        """The points as if they had been written in the circuit."""
        return [
            {
                name: f"{cell.text} {unit}".strip()
                for name, cell, unit in zip(self.columns, line, self.units, strict=True)
            }
            for line in self.lines
        ]

    def place(self, index: int | None = None, column: str | None = None) -> Span:
        """The place of a number, else of its line's first, else of the header."""
        if index is None:
            return self.header
        return self.lines[index][self.columns.index(column) if column in self.columns else 0].at


def is_name(text: str) -> bool:
    """Whether a text names a CSV file."""
    return re.search(PATTERN, text) is not None


def read(name: str, folder: Path | None) -> Sheet:
    """The table in a file beside or below the folder; raises CsvError."""
    path = _inside(name, folder)
    rows = list(_rows(_text(path, name), name))
    if len(rows) < 3:
        help = "write the columns with their units in the first line, and the points below"
        raise CsvError("not-a-table", f"'{name}' holds no two points", help)
    if len(rows) > MAX_POINTS:
        raise CsvError("too-large", f"'{name}' holds more than {MAX_POINTS} points", "leave some out")
    columns, units = _header(rows[0])
    for row in rows[1:]:
        _check_row(row, columns, units)
    return Sheet(columns, rows[0][0].at, tuple(rows[1:]), units)


def first_point(name: str, folder: Path | None) -> dict[str, str]:
    """The file's first point, or nothing where it cannot be read."""
    try:
        return read(name, folder).points[0]
    except CsvError:
        return {}


def _inside(name: str, folder: Path | None) -> Path:
    """The file, which may lie beside the circuit or below, and nowhere else, not even by a link."""
    if folder is None:
        raise CsvError("no-folder", f"'{name}' is a file, and this circuit is not one", "write the points as a list")
    posix, windows = PurePosixPath(name), PureWindowsPath(name)
    help = "put the file beside the circuit or in a folder below, and write its name from there"
    if posix.is_absolute() or windows.anchor or ".." in windows.parts or "\0" in name:
        raise CsvError("outside", f"'{name}' leads out of the circuit's folder", help)
    path = folder / posix
    try:
        within = path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):  # links in a circle
        within = False
    if not within:
        raise CsvError("outside", f"'{name}' leads out of the circuit's folder", help)
    return path


def _text(path: Path, name: str) -> str:
    try:
        if not path.is_file():  # neither a folder nor a pipe, which would never end
            raise CsvError("no-such-file", f"there is no file '{name}'", "check the name and the folder")
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise CsvError("unreadable", f"'{name}' cannot be read: {why}", "check the rights to read it") from None
    if len(data) > MAX_BYTES:
        raise CsvError("too-large", f"'{name}' holds more than {MAX_BYTES // 1_000_000} MB", "check that it is a table")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise CsvError("not-text", f"'{name}' is not a text in UTF-8", "save it as CSV in UTF-8") from None


def _rows(text: str, file: str) -> Iterator[tuple[Cell, ...]]:
    """The cells of every line that holds something; quotes around a cell are taken off."""
    for number, line in enumerate(re.split(r"\r\n|\r|\n", text), start=1):
        if line.strip() and not line.lstrip().startswith("#"):
            yield tuple(_cells(line, number, file))


def _cells(line: str, number: int, file: str) -> Iterator[Cell]:
    start = 0
    for piece in line.split(","):
        shown = piece.strip()
        column = start + len(piece) - len(piece.lstrip()) + 1
        yield Cell(shown.strip('"').strip(), Span(file, number, column, max(1, len(shown)), line))
        start += len(piece) + 1


def _header(cells: tuple[Cell, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    if len(cells) == 1 and re.search(r"[;\t]", cells[0].at.text):
        help = "separate the columns by commas, and write decimals with a point"
        raise CsvError("bad-header", "the columns are not separated by commas", help, cells[0].at)
    names, units = [], []
    for cell in cells:
        if not cell.text or _NUMBER.match(cell.text):
            help = "write the columns in the first line, as in flow gph, head m"
            raise CsvError("bad-header", "a name and a unit are wanted at the head of each column", help, cell.at)
        name, _, unit = cell.text.partition(" ")
        if name in names:
            raise CsvError("bad-header", f"two columns are called '{name}'", "take one of them away", cell.at)
        names.append(name)
        units.append(unit.strip())
    return tuple(names), tuple(units)


def _check_row(cells: tuple[Cell, ...], columns: tuple[str, ...], units: tuple[str, ...]) -> None:
    if len(cells) != len(columns):
        help = "write decimals with a point, and one number for each column"
        raise CsvError("bad-point", f"{len(columns)} numbers are wanted, not {len(cells)}", help, cells[0].at)
    for cell in cells:
        if not _NUMBER.fullmatch(cell.text):
            help = "write units in the first line only, and decimals with a point"
            raise CsvError("not-a-number", f"a bare number is wanted, not '{cell.text}'", help, cell.at)
