"""A box in the picture for each oil, tied to the strips of its coolers."""

from __future__ import annotations

from collections.abc import Iterator

from netsolve import units
from netsolve.heat.heat import OilResult
from netsolve.views.heat import NO_OIL_LASTS, shown
from netsolve.views.markup import INK, quoted, stacked, text, wrap
from netsolve.views.palette import look
from netsolve.views.scene import Scene, written_row
from netsolve.views.warmth import before_and_after

_WIDTH = 30


def oils(scene: Scene) -> Iterator[str]:
    """DOT of the oils of a row, each with dashed lines without heads to the strips whose coolers cool it."""
    written = written_row(scene.circuit, scene.row)
    runs = {name: place for place, name in enumerate(scene.row.runs, 1)}
    for place, oil in enumerate(scene.row.oils.values(), 1):
        node, style = quoted(f"oil {place}: {oil.name}"), look(_state(oil))
        said = [
            text(line, size=12, bold=True)
            for line in wrap(oil.name if "oil" in oil.name.casefold() else f"{oil.name} (oil)", _WIDTH)
        ]
        said += [text(line, size=10, colour=INK) for words in told(scene, oil) for line in wrap(words, _WIDTH)]
        frame = f'shape="box" style="filled,{style.line}" peripheries=2 color="{style.colour}" fillcolor="{style.tint}"'
        yield f'{node} [{frame} margin="0.12,0.06" label=<{stacked(said)}>]'
        cooled = {part.run for part in written.parts.values() if part.cools == oil.name} if written else set()
        for name in sorted(cooled & set(runs), key=lambda each: runs[each]):
            strip = quoted(f"run {runs[name]}: {name}")
            yield f'{strip} -> {node} [dir="none" style="dashed" color="{INK}" penwidth=1]'


def _state(oil: OilResult) -> str:
    """The verdict whose look an oil has: its alarm sounds, it is past its limit, or neither."""
    if oil.time_to_alarm is not None or (oil.plateau is None and oil.heat > 0):
        return "starved"
    return "marginal" if oil.limit is not None and (oil.hottest or 0.0) > oil.limit else "served"


def told(scene: Scene, oil: OilResult) -> Iterator[str]:
    """What becomes of an oil, in short sentences, before → after where a change is drawn."""
    before = scene.before.oils.get(oil.name) if scene.before else None
    yield _settles(oil, before, scene.system)
    if oil.peak is not None and oil.peak != oil.plateau:
        yield f"peaks at {shown(oil.peak, 'temperature', scene.system)} in bursts"
    if oil.alarm is not None:
        alarm = f"its {shown(oil.alarm, 'temperature', scene.system)} alarm"
        time = oil.time_to_alarm
        yield f"never reaches {alarm}" if time is None else f"passes {alarm} after {shown(time, 'time', scene.system)}"
    if oil.limit is not None and (oil.hottest or 0.0) > oil.limit:
        yield f"above its limit of {shown(oil.limit, 'temperature', scene.system)}"
    yield f"{units.show(oil.heat, 'power', system=scene.system)} put in"


def _settles(oil: OilResult, before: OilResult | None, system: str) -> str:
    if oil.plateau is None:
        return "nothing takes its heat away"
    if oil.plateau > NO_OIL_LASTS:
        return f"settles at {shown(oil.plateau, 'temperature', system)}: no oil lasts"
    then = before.plateau if before else None
    if then is None or then > NO_OIL_LASTS:
        return f"settles at {units.show(oil.plateau, 'temperature', system=system, both=True)}"
    return f"settles at {before_and_after(then, oil.plateau, 'temperature', system)}"
