"""A document to a circuit, reporting every problem at its place."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from netsolve.circuit import Circuit, Row
from netsolve.contract.declare import Declared
from netsolve.problems import in_file_order
from netsolve.reading.assumed import assumed
from netsolve.reading.building import Builder, Subject
from netsolve.reading.changes import Change, Condition, Variants, note_overruled
from netsolve.reading.complaints import Complaints
from netsolve.reading.ends import clash
from netsolve.reading.naming import did_you_mean, fold
from netsolve.reading.outline import Outline
from netsolve.reading.rows import Sheet
from netsolve.reading.settings import SettingReader
from netsolve.reading.shapes import Keys, empty, entries, text
from netsolve.reading.suspicions import suspect
from netsolve.reading.written import keys, plain
from netsolve.registry import PluginError, Registry
from netsolve.source import Node, Table, Text, parse

MAX_ROWS = 2_000
MAX_STATES = 20_000_000
"""Most parts times rows."""

VERDICT_CODES = (
    "reversed",
    "shut",
    "dry",
    "starved",
    "marginal",
    "overfed",
    "draws_air",
    "trapped",
    "cooler_too_small",
)
"""The findings that are of no rule but follow from a verdict."""

SECTIONS = (
    "format",
    "circuit",
    "about",
    "units",
    "gallon",
    "water",
    "engines",
    "joints",
    "runs",
    "conditions",
    "changes",
    "limits",
    "oils",
)


def read_text(text: str, file: str = "<text>", registry: Registry | None = None) -> Circuit:
    """The circuit that a text describes. Raises CircuitError."""
    return read(parse(text, file), registry or Registry.built_in())


def read(table: Table, registry: Registry, folder: Path | None = None) -> Circuit:
    """The circuit that a document describes; tables are looked for in the folder.

    Raises CircuitError with all problems of a stage: first what the file says piece by piece, then what its
    conditions and changes make of it.
    """
    complaints = Complaints()
    sections = Keys("circuit", SECTIONS, "unknown-key").sorted_out(table.entries, complaints)
    start = table.entries[0][0] if table.entries else Text("", False, table.place)
    units = _word(sections.get("units"), "units", ("metric", "us"), complaints)
    gallon = _word(sections.get("gallon"), "gallon", ("us", "imperial"), complaints)
    _check_sections(sections, start, complaints)

    builder = Builder(complaints, gallon or "us", folder)
    outline = Outline(registry, complaints, builder)
    document = outline.document(sections, start, gallon)
    sheet = Sheet(document, builder)
    reader = SettingReader(document, outline.names, builder, sheet.density, complaints)
    variants = Variants(document, outline.names, reader, complaints)
    _ = sheet.engines, sheet.oils, sheet.parts, sheet.places
    conditions = variants.conditions(sections.get("conditions"))
    changes = variants.changes(sections.get("changes"))
    limits = _limits(sections.get("limits"), registry, builder)
    about = {key.value: text(node, key.value, complaints) for key, node in _about(sections, complaints)}
    complaints.stop()

    rows = _rows(sheet, conditions, changes, start=start, complaints=complaints)
    complaints.stop()
    made = [*(each.settings for each in conditions), *(each.settings for each in changes)]
    settings = [each for group in made for each in group.values()]
    suspect(sheet, dict.fromkeys(settings), complaints)
    note_overruled(conditions, changes, complaints)
    name = sections.get("circuit")
    return Circuit(
        name=name.value if isinstance(name, Text) and name.value else Path(start.span.file).stem,
        rows=rows,
        conditions=tuple(condition.name for condition in conditions),
        changes=tuple(change.name for change in changes),
        about=about,
        units=units or "metric",
        gallon=gallon or "us",
        limits=limits,
        assumed=tuple(assumed(sheet, gallon_written=gallon is not None, water_written="water" in sections)),
        notes=in_file_order(complaints.notes),
        file=start.span.file,
        make_row=partial(_further_row, sheet, reader, conditions, changes),
    )


def _further_row(
    sheet: Sheet,
    reader: SettingReader,
    conditions: Iterable[Condition],
    changes: Iterable[Change],
    condition: str,
    change: str,
    settings: Mapping[str, str],
) -> Row:
    """The row of a condition and a change with further settings; the problems are those of the settings."""
    reader.complaints.begin()
    text = "\n".join(f"{json.dumps(path)}: {json.dumps(value)}" for path, value in settings.items())
    made = reader.read(parse(text, "<settings>"), "the settings") if settings else {}
    reader.complaints.stop()
    chosen = next(each for each in conditions if each.name == condition)
    row = sheet.row(chosen, next(each for each in changes if each.name == change), made.values())
    reader.complaints.stop()
    if row is None:
        raise ValueError("a row without a problem could not be made")
    return row


def _check_sections(sections: Mapping[str, Node], start: Text, complaints: Complaints) -> None:
    written = sections.get("format")
    if written is None:
        complaints.error("missing-section", "the file does not say its format", "begin with 'format: 1'", start.span)
    elif plain(written) != "1":
        shown = f"format '{plain(written)}' is not known" if isinstance(written, Text) else "the format is a number"
        complaints.error("unknown-format", shown, "write format: 1", written.span)
    text(sections.get("circuit"), "the name of the circuit", complaints)
    for section in ("joints", "runs"):
        node = sections.get(section)
        if node is None or empty(node) or (isinstance(node, Table) and not node.entries):
            message = f"the circuit has no {section}"
            help = f"add {section}:, with one to a line below it"
            complaints.error("missing-section", message, help, start.span)


def _about(sections: Mapping[str, Node], complaints: Complaints) -> list[tuple[Text, Node]]:
    node = sections.get("about")
    if isinstance(node, Text) and node.value:
        return [(Text("about", False, node.place), node)]
    return list(entries(node, "'about'", complaints))


def _word(node: Node | None, what: str, choices: tuple[str, ...], complaints: Complaints) -> str | None:
    """One of a few words; None where nothing is written, or something else, which is told."""
    if node is None:
        return None
    written = plain(node) if isinstance(node, Text) else "…"
    if written.strip().casefold() in choices:
        return str(written.strip().casefold())
    help = did_you_mean(written, choices, f"write {what}: {' or '.join(choices)}")
    complaints.error("unknown-word", f"{what} is {' or '.join(choices)}, not '{written}'", help, node.span)
    return None


def _limits(node: Node | None, registry: Registry, builder: Builder) -> dict[str, Any]:
    """The thresholds of each rule in SI, or `off`."""
    limits: dict[str, Any] = {}
    for key, value in entries(node, "'limits'", builder.complaints):
        code = key.value.strip()
        if fold(str(plain(value))) == "off":
            limits[code] = "off"
        elif code in registry.rule_entries:
            limits[code] = _thresholds(code, key, value, registry=registry, builder=builder)
        elif code in VERDICT_CODES:
            message = f"'{code}' is a verdict: it has no limit, and can only be silenced"
            builder.complaints.error("bad-limit", message, f"write {code}: off", value.span)
        else:
            limits[code] = plain(value)
        if code not in registry.rule_entries and code not in VERDICT_CODES:
            help = did_you_mean(code, [*registry.rule_entries, *VERDICT_CODES], "leave it out")
            builder.complaints.note("unknown-limit", f"there is no rule '{code}' to limit", help, key.span)
    return limits


def _thresholds(code: str, key: Text, value: Node, *, registry: Registry, builder: Builder) -> Any:
    """The thresholds of one rule as written, SI by name; what is wrong is told."""
    try:
        rule: type[Declared] = registry.rule(code)
    except PluginError as error:
        builder.complaints.error("plugin-failed", str(error), "mend the plugin", key.span)
        return {}
    names = tuple(keys(rule))
    single = "limit" if "limit" in names else names[0] if len(names) == 1 else ""
    if not names or not (single or isinstance(value, Table)):
        help = f"write {code}: {{{', '.join(f'{name}: …' for name in names)}}}"
        message = f"'{code}' has no single limit" if names else f"'{code}' has nothing to set"
        builder.complaints.error("bad-limit", message, help if names else f"write {code}: off", value.span)
        return {}
    pairs = value.entries if isinstance(value, Table) else ((Text(single, False, key.place), value),)
    given = Keys(code, names).sorted_out(pairs, builder.complaints)
    record = builder.build(rule, given, subject=Subject(code, key.span))
    return {name: getattr(record, name) for name in rule.model_fields if record and name in record.model_fields_set}


def _rows(
    sheet: Sheet,
    conditions: tuple[Condition, ...],
    changes: tuple[Change, ...],
    *,
    start: Text,
    complaints: Complaints,
) -> tuple[Row, ...]:
    count = len(conditions) * len(changes)
    if count > MAX_ROWS or count * len(sheet.parts) > MAX_STATES:
        message = f"{len(conditions)} conditions under {len(changes)} changes are {count} rows, too many"
        complaints.error("too-large", message, f"keep to {MAX_ROWS} rows, or split the file", start.span)
        return ()
    rows = []
    for change in changes:
        if _ports_clash(sheet, change, complaints):
            continue
        rows += [sheet.row(condition, change) for condition in conditions]
    return tuple(row for row in rows if row is not None)


def _ports_clash(sheet: Sheet, change: Change, complaints: Complaints) -> bool:
    """Tell of a port that two runs share once a change has opened one of them."""
    shared = clash(sheet.runs(change).values()) if change.blanked else None
    if shared is None:
        return False
    port, first, second = shared
    message = f"change '{change.name}' leaves runs '{first}' and '{second}' open on the same port, {port}"
    at = change.at.span if change.at else None
    complaints.error("port-twice", message, f"blank: {first}, or blank: {second}", at)
    return True
