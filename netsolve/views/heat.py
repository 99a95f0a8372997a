"""Heat as tables for a terminal of 80 columns: where each oil settles, how long it has, and how warm the water gets."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from netsolve import cautions, units
from netsolve.heat.heat import OilResult
from netsolve.heat.needed import Needed
from netsolve.result import PartResult, Result, RowResult
from netsolve.study.measured import Told
from netsolve.study.outlook import Outlook, Range
from netsolve.views import wording
from netsolve.views.chart import Chart, chart_lines
from netsolve.views.gathered import caution_lines
from netsolve.views.prose import Sentence, grid, plain

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.text import Text

NEVER = "never"

NO_OIL_LASTS = 423.15
"""K: mineral oil is spoilt well below 150 degC, so a number above that only says that it has no cooling."""

STEAMING = 333.15
"""K: of gas and water warmer than 60 degC enough evaporates to matter; an estimate."""

LEFT_OUT = (
    "Each oil is one well-mixed temperature. Water is as thin and as light in each part as it is warm there; only its "
    "columns weigh what they would as it came in. Ranges are for uncertain inputs, at the flow as it is: as written "
    "after ±, else the usual ones."
)

MAKERS = "What the makers of engine, winch, coolers, hoses and oil say of temperatures goes before all of this."


def heat_table(
    result: Result, outlooks: Sequence[Sequence[Outlook]], system: str, charts: Sequence[Chart] = ()
) -> RenderableType:
    """Each row's oils and coolers, a sentence on each oil, and charts of them; `outlooks` by row."""
    from rich.console import Group

    lines: list[RenderableType] = [plain(result.circuit.name, "bold")]
    for row, oils in zip(result, outlooks, strict=True):
        lines += [plain(""), plain(wording.situation(row), "bold underline"), *_row(row, oils, system)]
    for chart in charts:
        lines += [plain(""), *map(plain, chart_lines(chart, system))]
    lines += [plain(""), Sentence("", LEFT_OUT, indent=0), Sentence("", MAKERS, indent=0)]
    return Group(*lines, *caution_lines(cautions.named(_hazards(result))))


def _hazards(rows: Iterable[RowResult]) -> Iterator[str]:
    """What can hurt: an oil that passes its alarm or limit, whatever rules are silenced, and a hot or dry exhaust."""
    for row in rows:
        if any(_too_hot(oil) for oil in row.oils.values()):
            yield from ("hot", "oil")
        for each in row.findings:
            if each.code == "exhaust_water" and each.severity != "note":
                yield from each.cautions


def _too_hot(oil: OilResult) -> bool:
    """Whether it passes its alarm or its limit; without anything to take its heat away it passes any limit."""
    if oil.limit is None or oil.time_to_alarm is not None:
        return oil.time_to_alarm is not None
    return oil.hottest is None or oil.hottest > oil.limit


def _row(row: RowResult, oils: Sequence[Outlook], system: str) -> Iterator[RenderableType]:
    if not row.settled:
        yield Sentence("NOT SETTLED: ", wording.sentence(wording.not_settled(row, system)))
        return
    if oils:
        table = grid(("oil", 20), ("heat in", 11), ("settles at", 16), ("to alarm", 15), ("without water", 15))
        for each in oils:
            for cells in _oil(each, system):
                table.add_row(*map(plain, cells))
        yield table
    working = [part for part in row.parts.values() if part.duty is not None]
    if working:
        table = grid(("cooler", 22), ("flow", 12), ("water in", 12), ("water out", 12), ("takes up", 14))
        for part in working:
            table.add_row(*_cooler(part, system))
        yield table
    for each in oils:
        yield Sentence("", sentence(each, row, system))
        yield from (Sentence("", needs(cooler, row, system)) for cooler in each.coolers)
    for joint in row.joints.values():
        if joint.mixed_temperature is not None:
            yield Sentence("", _exhaust(joint.name, joint.mixed_temperature, system))


def _oil(each: Outlook, system: str) -> Iterator[tuple[str, ...]]:
    """Its values, and their ranges on a line below."""
    oil = each.oil
    values = [(oil.plateau, each.plateau, "temperature"), (oil.time_to_alarm, each.time_to_alarm, "time")]
    values.append((oil.time_without_water, each.time_without_water, "time"))
    yield (oil.name, units.show(oil.heat, "power", system=system), *(_value(*value, system) for value in values))
    yield ("", "", *(_range(*value, system) for value in values))
    if oil.peak is not None:
        yield ("", "", f"peak {shown(oil.peak, 'temperature', system)}", "", "")


def _value(value: float | None, ends: Range, kind: str, system: str) -> str:
    if value is None:
        return NEVER
    if value == 0.0:
        return "none left"
    return shown(value, kind, system) if kind == "temperature" else spread((value, value), system, like=ends)


def _range(value: float | None, ends: Range, kind: str, system: str) -> str:
    beyond = kind == "temperature" and min(end or 0.0 for end in ends) > NO_OIL_LASTS
    if ends == (value, value) or ends == (None, None) or beyond:
        return ""
    return f"({spread(ends, system) if kind == 'time' else temperatures(ends, system)})"


def temperatures(ends: Range, system: str) -> str:
    """A range of them to the degree, one where both are the same."""
    low, high = (NEVER if end is None else shown(end, "temperature", system) for end in ends)
    if low == high:
        return low
    return f"{low.partition(' ')[0] if low[-1:] == high[-1:] and low[0] != '>' else low} to {high}"


def shown(value: float, kind: str, system: str) -> str:
    """A temperature to the degree; from a point where no oil lasts, no number. Any other kind in three digits."""
    if kind == "time":
        return spread((value, value), system)
    unit = units.shown_units("temperature")[system == "us"]
    sign = "> " if value > NO_OIL_LASTS else ""
    return f"{sign}{units.convert(min(value, NO_OIL_LASTS), 'temperature', unit):.0f} {unit}"


def spread(ends: Range, system: str, *, like: Range = (None, None)) -> str:
    """Times in one unit, `19 to 37 min`, minutes up to three hours; a single one where both ends are the same."""
    longest = max((each for each in (*ends, *like) if each is not None), default=0.0)
    size, unit = (60.0, "min") if longest < 10_800.0 else (3600.0, "h")
    digits = "" if longest < 600.0 or unit == "h" else ".0f"
    low, high = (NEVER if end is None else f"{end / size:{digits or '.2g'}}" for end in ends)
    if low == high:
        return low if low == NEVER else f"{low} {unit}"
    return f"{low} {unit} to {high}" if high == NEVER else f"{low} to {high} {unit}"


def _cooler(part: PartResult, system: str) -> tuple[Text, ...]:
    temperatures = (part.inlet_temperature, part.outlet_temperature)
    return (
        plain(part.name),
        plain(wording.flow(part.flow, system, both=False)),
        *(plain("?" if each is None else units.show(each, "temperature", system=system)) for each in temperatures),
        plain("?" if part.duty is None else units.show(part.duty, "power", system=system)),
    )


def sentence(each: Outlook, row: RowResult, system: str) -> str:
    """What becomes of an oil: `at cruise hydraulic settles at 58 °C; …`."""
    oil = each.oil
    when = f"at {row.condition} {oil.name}"
    if oil.alarm is None:
        where = "" if oil.plateau is None else shown(oil.plateau, "temperature", system)
        settles = f"settles at {where}" if where else "does not settle"
        return wording.sentence(f"{when} {settles}{_limit(oil, system)}; give it an alarm to hear how long it has")
    alarm = f"its {shown(oil.alarm, 'temperature', system)} alarm"
    if oil.time_to_alarm is not None:
        time = shown(oil.time_to_alarm, "time", system)
        return wording.sentence(f"{when} passes {alarm} after {time} ({spread(each.time_to_alarm, system)})")
    return wording.sentence(
        f"{when} settles{_settled(each, alarm, system)}{_stopped(oil, system)}{_water(each, system)}"
    )


def needs(each: Needed, row: RowResult, system: str) -> str:
    """How much water, or which cooler, would hold an oil at its limit, else at its alarm."""
    bursts = " in its bursts" if each.bursts else ""
    held = f"hold {each.oil} at {shown(each.limit, 'temperature', system)}{bursts}"
    if each.least_flow == 0.0:
        return wording.sentence(
            f"{each.oil} stays below {shown(each.limit, 'temperature', system)}{bursts} without {each.part}"
        )
    ua = f"a ua of {units.show(each.ua, 'conductance', system=system)}"
    flow = wording.flow(row.parts[each.part].flow, system, both=False)
    if math.isinf(each.least_flow):
        other = f"{ua} would, at {flow}"
        if math.isinf(each.ua):
            other = "nor would any cooler" + (": more oil would, or less heat at once" if bursts else "")
        return wording.sentence(f"no flow of water through {each.part} would {held}; {other}")
    least = wording.flow(each.least_flow, system)
    other = "" if math.isinf(each.ua) else f", or at {flow} {ua}"
    return wording.sentence(f"{least} of water through {each.part} would {held}{other}")


def _settled(each: Outlook, alarm: str, system: str) -> str:
    oil, high = each.oil, each.plateau[1]
    where = "" if oil.plateau is None else f" at {shown(oil.plateau, 'temperature', system)}"
    if oil.peak is not None:
        where += f" and peaks at {shown(oil.peak, 'temperature', system)} in its bursts"
    doubt = f", which is below {alarm}"
    if high is not None and oil.alarm is not None and high >= oil.alarm:
        doubt = f", below {alarm}, yet the uncertain inputs could take it there"
    return f"{where}{doubt}{_limit(oil, system)}"


def _stopped(oil: OilResult, system: str) -> str:
    left = oil.time_without_water
    return f"; if the water stops it has {shown(left, 'time', system)} until then" if left else ""


def _limit(oil: OilResult, system: str) -> str:
    if oil.limit is None or oil.hottest is None or oil.hottest <= oil.limit:
        return ""
    return f"; it goes above its limit of {shown(oil.limit, 'temperature', system)}"


def _water(each: Outlook, system: str) -> str:
    if each.water_at_alarm is None:
        return ""
    return f"; water of {shown(each.water_at_alarm, 'temperature', system)} would bring it to the alarm"


def _exhaust(name: str, mixed: float, system: str) -> str:
    hot = units.show(mixed, "temperature", system=system, both=True)
    steam = "; some of the water evaporates, which is left out: the true one is lower" if mixed > STEAMING else ""
    return wording.sentence(f"gas and water mix to {hot} at {name}{steam}")


def heat_dict(result: Result, outlooks: Sequence[Sequence[Outlook]]) -> dict[str, Any]:
    """The whole answer as data in SI, each oil with its ranges."""
    found = result.to_dict()
    for row, oils in zip(found["rows"], outlooks, strict=True):
        for each in oils:
            row["oils"][each.oil.name] |= {
                "plateau_range_k": list(each.plateau),
                "time_to_alarm_range_s": list(each.time_to_alarm),
                "time_without_water_range_s": list(each.time_without_water),
                "water_at_alarm_k": each.water_at_alarm,
                "water_at_limit_k": each.water_at_limit,
            }
            for cooler in each.coolers:
                row["parts"][cooler.part] |= {
                    "least_flow_m3_s": _finite(cooler.least_flow),
                    "needed_ua_w_k": _finite(cooler.ua),
                    "needed_conductance_w_k": _finite(cooler.conductance),
                }
    return found


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def measured_lines(told: Iterable[tuple[RowResult, Told]], system: str) -> Iterator[str]:
    """What was measured in an oil, turned round: a sentence for each row, or for each cooler of it."""
    for row, each in told:
        when = wording.situation(row)
        if each.heat is not None:
            yield wording.sentence(f"{when}: {units.show(each.heat, 'power', system=system)} go into {each.oil}")
            continue
        passes = "no cooler passes so much" if math.isinf(each.conductance or 0.0) else ""
        passes = passes or f"passes {units.show(each.conductance or 0.0, 'conductance', system=system)}"
        ua = each.ua if each.ua is not None and math.isfinite(each.ua) else None
        more = "" if ua is None else f", a ua of {units.show(ua, 'conductance', system=system)} at this flow"
        yield wording.sentence(f"{when}: {each.cooler} {passes} between {each.oil} and the water{more}")


def measured_dict(name: str, told: Iterable[tuple[RowResult, Told]]) -> dict[str, Any]:
    """The same as data in SI; a cooler that cannot be is null."""
    rows = [
        {
            "condition": row.condition,
            "change": row.change,
            "oil": each.oil,
            "heat_w": each.heat,
            "cooler": each.cooler or None,
            "conductance_w_k": None if each.conductance is None else _finite(each.conductance),
            "ua_w_k": None if each.ua is None else _finite(each.ua),
        }
        for row, each in told
    ]
    return {"format": 1, "circuit": name, "measured": rows}
