"""The annotated picture of a row, or of a change against `as found`, as DOT."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from netsolve import units
from netsolve.circuit import AS_FOUND
from netsolve.result import JointResult, Result, RunResult
from netsolve.views import headline, oil_box, warmth, wording
from netsolve.views.gauge import Gauge, gauge
from netsolve.views.markup import FAINT, INK, quoted, stacked, text, wrap
from netsolve.views.palette import look
from netsolve.views.provenance import assumed_things
from netsolve.views.scene import Scene, scene
from netsolve.views.strip import minus, strip, strip_change

_TITLE_WIDTH = 50
_SMALL_WIDTH = 78
_FOOT_WIDTH, _FOOT_LINES = 84, 3
_ABREAST = 3
_THINNEST, _THICKEST = 1.2, 6.0


def diagram(result: Result, *, condition: str | None = None, change: str | None = None, system: str = "metric") -> str:
    """DOT of a row of the result: the one asked for, or the worst; a change is drawn against `as found`.

    Raises KeyError where the result has no such row.
    """
    return drawing(scene(result, condition=condition, change=change, system=system))


def drawing(scene: Scene, *, across: bool = False) -> str:
    """DOT of a scene, from top to bottom or, `across`, from left to right."""
    return "\n".join(_document(scene, across)) + "\n"


def _document(scene: Scene, across: bool) -> Iterator[str]:
    yield f"digraph {quoted(scene.title)} {{"
    yield 'graph [fontname="Helvetica" labelloc="t" labeljust="l" bgcolor="#ffffff"]'
    yield f'graph [nodesep=0.3 ranksep=0.32 pad=0.15 rankdir="{"LR" if across else "TB"}"]'
    yield 'node [fontname="Helvetica" shape="plain"]'
    yield 'edge [fontname="Helvetica" arrowsize=0.6]'
    yield f"graph [label=<{_heading(scene)}>]"
    scale = gauge(scene.row.joints.values())
    foot = _foot(scene, scale)
    if foot:  # a frame around everything has its label at the bottom
        yield 'subgraph "cluster: the circuit" {'
        yield f'graph [label=<{foot}> labelloc="b" labeljust="l" peripheries=0 margin=0]'
    joints = {name: quoted(f"joint {place}: {name}") for place, name in enumerate(scene.row.joints, 1)}
    for name, node in joints.items():
        yield f"{node} [{_joint(scene, name, scale)}]"
    widest = max((abs(run.flow or 0) for run in scene.row.runs.values()), default=0)
    changed = scene.changed()
    abreast: Counter[str] = Counter()
    for place, run in enumerate(scene.row.runs.values(), 1):
        node = quoted(f"run {place}: {run.name}")
        yield f"{node} [label={_strip(scene, run, changed)}]"
        level = abreast[_joint_of(run.source)] // _ABREAST
        abreast[_joint_of(run.source)] += 1
        yield from _arrows(run, node, joints, widest=widest, level=level)
    yield from oil_box.oils(scene)
    if foot:
        yield "}"
    yield "}"


def _heading(scene: Scene) -> str:
    row = scene.row
    lines = [text(line, size=16, bold=True, colour=INK) for line in wrap(scene.title, _TITLE_WIDTH, most=5)]
    against = f", before → after, against {AS_FOUND}" if scene.before else ""
    small = [scene.circuit.name, f"Condition: {row.condition}. Change: {row.change}{against}."]
    if scene.before is not None:
        small.append(headline.to_blame(row))
    small_lines = [line for words in small if words for line in wrap(words, _SMALL_WIDTH)]
    gap = text(" ", size=5)
    return stacked([*lines, gap, *(text(line, size=11, colour=FAINT) for line in small_lines), gap])


def _foot(scene: Scene, scale: Gauge | None) -> str:
    """What the gauges show; the values in use that nobody wrote, as many as few lines hold; empty without both."""
    lines = [*(wrap(scale.told(scene.system), _FOOT_WIDTH) if scale else []), *_assumed(scene)]
    return stacked(text(line, size=10, colour=FAINT) for line in lines) if lines else ""


def _assumed(scene: Scene) -> list[str]:
    rows = [row for row in (scene.row, scene.before) if row is not None]
    things = assumed_things(scene.circuit.assumed, rows, scene.system)
    lines: list[str] = []
    for shown in range(len(things), -1, -1):
        rest = f"{len(things) - shown} more" if shown else f"{len(things)} value{'s' if len(things) > 1 else ''}"
        said = [*things[:shown], *([f"{'and ' if shown else ''}{rest}: see solve"] if shown < len(things) else [])]
        lines = wrap(f"Assumed: {'; '.join(said)}", _FOOT_WIDTH, most=_FOOT_LINES + 1)
        if len(lines) <= _FOOT_LINES:
            break
    return lines if things else []


def _strip(scene: Scene, run: RunResult, changed: frozenset[str]) -> str:
    if scene.before is None or run.name not in scene.before.runs:
        return strip(scene.row, run, system=scene.system)
    return strip_change(scene.before, scene.row, run.name, changed=changed, system=scene.system)


def _joint(scene: Scene, name: str, scale: Gauge | None) -> str:
    joint = scene.row.joints[name]
    before = scene.before.joints.get(name) if scene.before else None
    facts = [_height(joint.height, scene.system), _pressure(joint, before, scene.system), joint.status or ""]
    facts += warmth.joint(joint, before, scene.system)
    names = "<BR/>".join(text(line, size=12, bold=True) for line in wrap(name, 24))
    words = names + "".join(f"<BR/>{text(fact, size=10, colour=FAINT)}" for fact in facts if fact)
    frame = 'shape="box" style="rounded,filled" fillcolor="#f5f7fa" color="#7b8794" margin="0.12,0.06"'
    if scale is None or joint.height is None:
        return f"{frame} label=<{words}>"
    beside = f"<TR><TD>{scale.drawn(joint.height)}</TD><TD>{words}</TD></TR>"
    return f'{frame} label=<<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="3">{beside}</TABLE>>'


def _height(height: float | None, system: str) -> str:
    if height is None:
        return ""
    unit = "m" if system == "metric" else "ft"
    shown = f"{abs(units.convert(height, 'length', unit)):.2f} {unit}"
    if float(shown.split()[0]) == 0:
        return "at the waterline"
    return f"{shown} {'above' if height > 0 else 'below'} waterline"


def _pressure(joint: JointResult, before: JointResult | None, system: str) -> str:
    now, then = _first_pressure(joint), _first_pressure(before) if before else None
    if now is None:
        return ""
    shown = units.show(now, "pressure", system=system)
    if then is None or units.show(then, "pressure", system=system) == shown:
        return minus(shown)
    return minus(wording.pair(then, now, "pressure", system=system))


def _first_pressure(joint: JointResult) -> float | None:
    """The pressure to show of a joint: that of its first port, the one that a tee calls common."""
    return next((port.pressure for port in joint.ports.values() if port.pressure is not None), None)


def _arrows(run: RunResult, node: str, joints: Mapping[str, str], *, widest: float, level: int) -> Iterator[str]:
    """The two lines between a strip and its joints, as wide as its flow, pointing where the water goes.

    `level` sets a strip lower down, so that many branches of one joint do not make the picture too wide.
    """
    style = look(run.verdict)
    flow = run.flow or 0.0
    width = _THINNEST + (_THICKEST - _THINNEST) * (abs(flow) / widest if widest else 0)
    colour = style.colour
    if style.double:
        colour, width = f"{colour}:{colour}", max(1.5, width / 2)
    way = "none" if not flow else "back" if flow < 0 else "forward"
    look_of_line = f'[penwidth={width:.2f} color="{colour}" style="{style.line}" dir="{way}"]'
    for tail, head in ((_joint_of(run.source), None), (None, _joint_of(run.target))):
        ends = [node if end is None else joints.get(end, "") for end in (tail, head)]
        if all(ends):
            down = f" [minlen={1 + 2 * level}]" if level and tail else ""
            yield f"{ends[0]} -> {ends[1]} {look_of_line}{down}"


def _joint_of(end: str) -> str:
    """The joint that a run's end names before its port; names hold no point."""
    return end.partition(".")[0]
