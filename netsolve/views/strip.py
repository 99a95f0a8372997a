"""A run as one strip of the picture: name, verdict, flow and need on top, then a line for each part."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from netsolve import units
from netsolve.result import PartResult, RowResult, RunResult
from netsolve.study.comparison import UNSETTLED
from netsolve.views import warmth, wording
from netsolve.views.fold import Line, folded
from netsolve.views.markup import FAINT, INK, bar, cell, stacked, text, wrap
from netsolve.views.palette import Look, look

MINUS = "\N{MINUS SIGN}"

_NAME_WIDTH = 20
_HEAD_WIDTH = 30
_LEAST_SHARE = 0.005
_OUTLINES = {"added": "solid", "removed": "dotted", "changed": "dashed"}


def strip(row: RowResult, run: RunResult, *, system: str) -> str:
    """The label of a run in one row; of an unsettled row, without numbers."""
    parts = [row.parts[name] for name in run.parts if name in row.parts]
    fitted = [part for part in parts if part.fitted]
    head = [_verdict_line(run, system)] if row.settled else [_verdict(wording.word(run.verdict), run)]
    head += [*_needs(fitted, system), *_missing(run, system)]
    lines = [_single(part, run, system) for part in fitted] + [*_others(run, system)]
    return _label(run.name, head, folded(lines, system), look(run.verdict))


def strip_change(before: RowResult, after: RowResult, name: str, *, changed: frozenset[str], system: str) -> str:
    """The label of a run before and after a change; `changed` names the parts whose settings differ."""
    was, run = before.runs[name], after.runs[name]
    both = [(before.parts[part], after.parts[part]) for part in run.parts]
    head = [*_verdict_change(was, run), *_flow_change(was, run, system)]
    head += [*_needs([part for _, part in both if part.fitted], system), *_missing(run, system)]
    both = [pair for pair in both if pair[0].fitted or pair[1].fitted]
    words = {last.name: "changed" if last.name in changed else "" for _, last in both} | _come_and_gone(both)
    lines = [_double(first, last, run, words[last.name], system) for first, last in both]
    return _label(run.name, head, folded([*lines, *_others(run, system)], system), look(run.verdict))


def _come_and_gone(both: Sequence[tuple[PartResult, PartResult]]) -> dict[str, str]:
    """What is said of the parts that a change puts in and takes out; one in the place of the next has replaced it."""
    said = {last.name: "removed" if first.fitted else "added" for first, last in both if first.fitted != last.fitted}
    for (_, one), (_, other) in pairwise(both):
        if {said.get(one.name), said.get(other.name)} == {"removed", "added"}:
            old, new = (one, other) if said[one.name] == "removed" else (other, one)
            said |= {old.name: f"replaced by {new.name}", new.name: f"replaces {old.name}"}
    return said


def _verdict(words: str, run: RunResult) -> str:
    return text(words, size=13, colour=look(run.verdict).colour, bold=True)


def _flow(run: RunResult, system: str) -> str:
    return text(minus(wording.flow(run.flow, system)), size=13, bold=True)


def _verdict_line(run: RunResult, system: str) -> str:
    words = wording.word(run.verdict)
    return (_verdict(f"{words}  ", run) if words else "") + _flow(run, system)


def _verdict_change(was: RunResult, run: RunResult) -> Iterator[str]:
    words = [wording.word(each.verdict) for each in (was, run)]
    if words[0] == words[1]:
        still = "" if run.verdict in wording.NOTHING_WRONG else "still "
        words = [f"{still}{words[0]}" if words[0] else ""]
    if any(words):
        yield _verdict(" → ".join(word for word in words if word), run)


def _flow_change(was: RunResult, run: RunResult, system: str) -> Iterator[str]:
    if run.verdict == UNSETTLED:
        return
    if was.flow is None or run.flow is None:
        yield _opened_or_blanked(was, run, system)
        return
    change = minus(wording.difference(was.flow, run.flow, system=system))
    if change == wording.NO_CHANGE:
        yield _flow(run, system)
        yield text(change, size=12, bold=True)
        return
    other = "us" if system == "metric" else "metric"
    yield text(minus(wording.pair(was.flow, run.flow, "flow", system=system)), size=13, bold=True) + text(
        minus(f"    ({wording.pair(was.flow, run.flow, 'flow', system=other)})"), size=10
    )
    yield text(change, size=12, bold=True)


def _opened_or_blanked(was: RunResult, run: RunResult, system: str) -> str:
    if was.flow is not None:
        return text(f"blanked, was {minus(wording.flow(was.flow, system))}", size=13, bold=True)
    opened = text("opened: ", size=13, bold=True) if was.verdict == "shut" and run.flow is not None else ""
    return opened + _flow(run, system)


def _needs(parts: Sequence[PartResult], system: str) -> Iterator[str]:
    for part in parts:
        wanted = wording.need(part, system)
        if wanted:
            for line in wrap(f"{part.name} needs {wanted}", _HEAD_WIDTH + 6):
                yield text(line, size=10)


def _missing(run: RunResult, system: str) -> Iterator[str]:
    if run.missing is not None:
        yield text(f"{units.show(run.missing, 'pressure', system=system)} missing", size=10, bold=True)


def _single(part: PartResult, run: RunResult, system: str) -> Line:
    amount, strong = _taken(part.pressure_drop, system), _is_most(part.name, run)
    drop, asked = part.pressure_drop or 0.0, _is_asked(part)
    return Line(part.name, amount, _share(part), _note("", part, system), strong, pressure=drop, asked=asked)


def _double(first: PartResult, last: PartResult, run: RunResult, word: str, system: str) -> Line:
    drop = last.pressure_drop or 0.0
    if not first.fitted:
        note = _note(word, last, system)
        return Line(
            f"+ {last.name}", _taken(last.pressure_drop, system), _share(last), note, mark="added", pressure=drop
        )
    if not last.fitted:
        taken = _taken(first.pressure_drop, system)
        was = f"was {taken}" if taken else ""
        return Line(f"{MINUS} {last.name}", was, None, word, aside=True, mark="removed")
    amount, strong = _taken_change(first.pressure_drop, last.pressure_drop, system), _is_most(last.name, run)
    note, asked = _note(word, last, system), _is_asked(last)
    return Line(last.name, amount, _share(last), note, strong, mark=word, pressure=drop, asked=asked)


def _is_asked(part: PartResult) -> bool:
    return part.has_need


def _taken_change(before: float | None, after: float | None, system: str) -> str:
    if before is None or after is None or before < 0 or after < 0:
        return _taken(after, system)
    same = units.show(before, "pressure", system=system) == units.show(after, "pressure", system=system)
    return _taken(after, system) if same else wording.pair(before, after, "pressure", system=system)


def _note(word: str, part: PartResult, system: str) -> str:
    return ", ".join(each for each in (word, part.status, warmth.cooler(part, system)) if each)


def _others(run: RunResult, system: str) -> Iterator[Line]:
    """What takes of the pressure besides the parts: the lift, a back pressure, the losses at the ends."""
    for take in run.takes:
        if take.name not in run.parts and abs(take.share) >= _LEAST_SHARE:
            share = take.share if take.share > 0 else None
            amount, strong = _taken(take.pressure, system), _is_most(take.name, run)
            yield Line(take.name, amount, share, strong=strong, aside=True, pressure=take.pressure)


def _share(part: PartResult) -> float | None:
    return part.share if part.share is not None and part.share > 0 and (part.pressure_drop or 0) > 0 else None


def _is_most(name: str, run: RunResult) -> bool:
    """Whether this takes the most of the pressure in a run that misses a need: the one to blame."""
    if run.verdict in wording.NOTHING_WRONG or not run.takes:
        return False
    return max(run.takes, key=lambda take: take.share).name == name


def _taken(pressure: float | None, system: str) -> str:
    if pressure is None:
        return ""
    shown = units.show(abs(pressure), "pressure", system=system)
    return f"gives {shown}" if pressure < 0 else shown


def minus(words: str) -> str:
    """The words with a true minus sign, as pictures have it."""
    return words.replace("-", MINUS)


def _label(name: str, head: Sequence[str], lines: Sequence[Line], colours: Look) -> str:
    title = stacked(text(line, size=13, colour="#ffffff", bold=True) for line in wrap(name, _HEAD_WIDTH))
    rows = [
        f"<TR>{cell(title, span=4, fill=colours.colour, padding=4)}</TR>",
        f"<TR>{cell(stacked(head), span=4, fill=colours.tint, padding=4)}</TR>" if head else "",
        *(_line(line, colours) for line in lines),
    ]
    style = "" if colours.line == "solid" else f' STYLE="{colours.line}"'
    border = f'BORDER="{colours.border}" COLOR="{colours.colour}"{style}'
    inside = 'CELLBORDER="0" CELLSPACING="0" BGCOLOR="#ffffff"'
    return f"<<TABLE {border} {inside}>{''.join(rows)}</TABLE>>"


def _line(line: Line, colours: Look) -> str:
    names = [text(each, bold=line.strong, colour=FAINT if line.aside else INK) for each in wrap(line.name, _NAME_WIDTH)]
    names += [text(each, size=9, colour=FAINT) for each in (wrap(line.note, 24) if line.note else ())]
    sides = _outline(line.mark)
    name = cell(stacked(names), outline=sides("LTB"))
    amount = text(line.amount, bold=line.strong)
    if line.share is None:
        return (
            f"<TR>{name}{cell(amount, align='RIGHT', outline=sides('TB'))}{cell('', span=2, outline=sides('TRB'))}</TR>"
        )
    percent = text(f"{100 * line.share:.0f} %", size=10, bold=line.strong)
    cells = (
        name,
        cell(amount, align="RIGHT", outline=sides("TB")),
        cell(bar(line.share, colour=colours.colour), outline=sides("TB")),
        cell(percent, align="RIGHT", outline=sides("TRB")),
    )
    return f"<TR>{''.join(cells)}</TR>"


def _outline(mark: str) -> Callable[[str], str]:
    """The attributes that draw some sides of a frame around what a change has touched; none around anything else."""
    style = _OUTLINES.get(mark)
    return lambda sides: f'BORDER="2" COLOR="{INK}" SIDES="{sides}" STYLE="{style}"' if style else ""
