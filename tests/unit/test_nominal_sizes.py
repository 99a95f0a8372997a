"""A nominal pipe size that is likely mistaken for a bore is noted, with the bore that such a pipe has."""

from __future__ import annotations

import pytest

from netsolve.problems import Problem
from netsolve.read import read_text

CIRCUIT = """format: 1
circuit: of a test
water: {{kind: fresh, temperature: 10 degC}}
joints:
  bucket: {{type: tank, level: 1 m}}
  spout: {{type: discharge, height: 0 m, bore: 16 mm}}
runs:
  line: {{from: bucket, to: spout, parts: [thing: {{{thing}}}]}}
{more}
"""


def notes(thing: str, more: str = "") -> list[Problem]:
    circuit = read_text(CIRCUIT.format(thing=thing, more=more))
    return [note for note in circuit.notes if note.code == "nominal-size"]


# Source of the bores: ASME B36.10M, schedule 40, outside diameter less two walls.
@pytest.mark.parametrize(
    ("thing", "message", "help"),
    [
        ("type: tube, bore: 1/2 in, length: 1 m", "'1/2 in' is a nominal size: a 1/2 in pipe has a bore of 15.8 mm", "NPS 1/2"),
        ("type: seacock, bore: 1-1/2 in", "a 1-1/2 in pipe has a bore of 40.9 mm (NPS 1-1/2)", "write NPS 1-1/2 or"),
        ("type: ball_valve, bore: '3/4\"'", "a 3/4 in pipe has a bore of 21.0 mm (NPS 3/4)", "NPS 3/4"),
        ("type: gate_valve, bore: 1 inch", "a 1 in pipe has a bore of 26.6 mm (NPS 1)", "the measured bore"),
        ("type: globe_valve, bore: 1¼ in", "a 1-1/4 in pipe has a bore of 35.1 mm", "NPS 1-1/4"),
        ("type: bend, style: standard, bore: 2 in", "a 2 in pipe has a bore of 52.5 mm", "NPS 2"),
        ("type: reducer, bore_in: 19 mm, bore_out: 3/8 in", "bore out of thing: '3/8 in' is a nominal size", "NPS 3/8"),
    ],
)  # fmt: skip
def test_a_bore_written_as_a_pipe_size_is_noted(thing: str, message: str, help: str) -> None:
    (note,) = notes(thing)
    assert note.severity == "note"
    assert message in note.message
    assert help in note.help
    assert note.at is not None
    assert note.at.line == 8


@pytest.mark.parametrize(
    "thing",
    [
        "type: hose, bore: 1/2 in, length: 1 m",  # sold by its bore
        "type: tube, bore: NPS 1/2, length: 1 m",
        "type: tube, bore: 15.8 mm, length: 1 m",
        "type: tube, bore: 0.5 in, length: 1 m",  # a decimal is a measure
        "type: tube, bore: 1/2 in ± 0.5 mm, length: 1 m",
        "type: tube, bore: 5/8 in, length: 1 m",  # no pipe is named so
        "type: tube, bore: 12.7 mm, length: 1 in",
        "type: hose_tail, bore: 10 mm, hose_bore: 1/2 in",
    ],
)
def test_a_measured_bore_and_a_hose_are_not(thing: str) -> None:
    assert notes(thing) == []


def test_a_change_is_noted_at_its_place() -> None:
    change = "changes: {bigger: {set: {thing.bore: 3/4 in}}}"
    (note,) = notes("type: tube, bore: 16 mm, length: 1 m", change)
    assert note.at is not None
    assert (note.at.line, note.at.text[note.at.column - 1 :][:6]) == (9, "3/4 in")


@pytest.mark.parametrize(
    ("bores", "message"),
    [
        # Source of the range: estimates of common practice, no source.
        ("bore: 1/2 in, hose_bore: 12.7 mm", "smaller than its hose: 1/2 in tails have 8.5 to 10.5 mm (estimate)"),
        ("bore: 19 mm, hose_bore: 19 mm", "3/4 in tails have 13.5 to 16 mm (estimate)"),
        ("bore: 45 mm, hose_bore: 45 mm", "a hose tail's hole is smaller than its hose by 1.5 to 5 mm (estimate)"),
    ],
)
def test_a_hose_tail_as_wide_as_its_hose_is_noted(bores: str, message: str) -> None:
    (note,) = notes(f"type: hose_tail, {bores}")
    assert message in note.message
    assert "drill's shank" in note.help
