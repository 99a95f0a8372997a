"""The plan of a flush, for a terminal or a page: cautions first, what the pumps do, acid and gas, steps in order."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from netsolve import units
from netsolve.study.descaling import AGENTS, Agent, gas
from netsolve.study.dosing import Dose
from netsolve.study.flush_loop import DONE, HOSE_BORE, HOSE_LENGTH, LIFT, MOST_PRESSURE, Loop, Way, fouling, worked
from netsolve.study.flushing import Flush
from netsolve.views import wording
from netsolve.views.sheet import Grid, Section, Sheet

CAUTIONS = (
    "Acid burns eyes and skin: goggles and gloves, bicarbonate and clean water at hand. Acid into water, never water "
    "into acid. Never with bleach: that gives chlorine.",
    "Scale gives off carbon dioxide, and acid on zinc or aluminium hydrogen: open the hatches, no flame, nobody in the "
    "bilge alone.",
    "Never leave a running loop: electricity near a wet bilge (residual-current breaker, or a low-voltage pump), hoses "
    "that slip off.",
    "Seacock closed and tagged, starter tagged, oil side without pressure and below 40 °C, before a hose comes off.",
    "What drains is waste: catch it, neutralise it to pH 6 to 9, take it ashore; it carries copper. The label, the "
    "safety data sheet and the local rules go before all of this; with an unknown metal ask a cooler shop.",
)


@dataclass(frozen=True)
class Tested:
    """Bucket tests of the same loop before and after the flush, m3/s."""

    loop: Loop
    before: float
    after: float


def flush_sheet(plan: Flush, dose: Dose, system: str, tested: Tested | None = None) -> Sheet:
    """All of a plan, with one agent worked out, and whether it has worked."""
    sections = [
        Section("cautions first", CAUTIONS),
        _pumps(plan, system),
        _amounts(plan, dose, system),
        _materials(plan, dose.agent),
        Section("steps", tuple(steps(plan, dose, system)), numbered=True),
    ]
    if tested is not None:
        sections.append(Section("did it work?", (_told(tested),)))
    sign = ("name", "date", "flow before", "flow after")
    return Sheet(f"Flush: {plan.part}", "An estimate; the label and the makers' instructions go first.", sections, sign)


def _flow(value: float, system: str) -> str:
    return units.show(value, "flow", system=system) if math.isfinite(value) else "?"


def _number(value: float, system: str) -> str:
    return _flow(value, system).partition(" ")[0]


def _pumps(plan: Flush, system: str) -> Section:
    unit = units.shown_units("flow")[system == "us"]
    holes = list(plan.loops[0].there.holes)
    heads = [("pump", 27), ("now", 7), ("clean", 7), *((f"{1e3 * hole:g} mm", 7) for hole in holes)]
    rows = []
    for loop in plan.loops:
        rows.append((loop.pump, *_cells(loop.there, system)))
        if not loop.both_alike:
            rows.append(("  the other way", *_cells(loop.back, system)))
    alike = " The other way round each gets the same." if all(loop.both_alike for loop in plan.loops) else ""
    explained = (
        f"Flows in {unit}: now is the part as the file and the options have it, the columns of mm what a clog with "
        f"such a hole left lets through. Hoses of {HOSE_LENGTH:g} m and {1e3 * HOSE_BORE:.3g} mm bore, the return "
        f"end {LIFT:g} m above the bucket's water.{alike} What the pumps give is an estimate."
    )
    verdicts = [f"{loop.pump}: {_verdict(plan, loop, system)}" for loop in plan.loops]
    return Section("what a pump gets through it", (explained, *verdicts), Grid(heads, rows))


def _cells(way: Way, system: str) -> Iterator[str]:
    for value in (way.now, way.clean, *way.holes.values()):
        yield _number(value, system)


def _verdict(plan: Flush, loop: Loop, system: str) -> str:
    push = units.show(loop.push, "pressure", system=system, both=True)
    can = "may shift a plug" if loop.moves else "will not shift a hard plug: clear that by hand first"
    if loop.push > MOST_PRESSURE:
        can += " (only where the part's maker allows as much; clamps on every hose)"
    turn = plan.turnover(loop.there.now)
    round_trip = f"the bucket goes round in {_seconds(turn)}" if turn < _HARDLY else "hardly anything gets through now"
    return wording.sentence(f"presses with {push} at most, so it {can}; {round_trip}")


_HARDLY = 3600.0


def _seconds(value: float) -> str:
    return f"{value:.0f} s" if value < 120 else f"{value / 60:.0f} min"


def _volume(value: float, system: str) -> str:
    return units.show(value, "volume", system=system, both=system == "us")


def _amounts(plan: Flush, dose: Dose, system: str) -> Section:
    agent, bucket = dose.agent, _volume(plan.bucket, system)
    holds = f"The loop holds {_volume(plan.volume, system)}; the bucket has {bucket}"
    small = [f"A bucket of {bucket} is small: take {_volume(plan.least_bucket, system)} or more."]
    small = small if plan.bucket < plan.least_bucket else []
    grid = None
    sentences = [
        f"{holds}, five loops and no less than 10 L." if not small else f"{holds}.",
        f"By dilution: {_mixed(plan, dose, system)} That is {dose.acid:.2f} kg of pure acid in a bucket, which "
        f"dissolves {dose.dissolves:.2f} kg of scale. {wording.sentence(agent.source)}",
        f"By scale: 1 kg of it takes {agent.for_a_kilogram:.2f} kg of pure acid and gives off {1e3 * gas(1.0):.0f} L "
        "of carbon dioxide.",
    ]
    if dose.scales:
        rows = [
            (
                f"{1e3 * each.thickness:g} mm",
                f"{each.mass:.2f} kg",
                f"{each.acid:.2f} kg",
                f"{1e3 * each.gas:.0f} L",
                f"{each.charges} of {bucket}",
                str(each.refills),
            )
            for each in dose.scales
        ]
        grid = Grid(
            (("scale", 10), ("its mass", 10), ("pure acid", 11), ("gas", 8), ("charges", 24), ("refills", 9)), rows
        )
    else:
        sentences.append("How much scale there is the file does not tell, as it has no tubes of known bore and length.")
    sentences.append(
        f"Time: 1 to 4 h of circulating in all, never above {agent.warmest - 273.15:.0f} °C; "
        f"to neutralise a bucket that is not spent takes {dose.bicarbonate:.1f} kg of bicarbonate or more (it fizzes)."
    )
    return Section("how much of what dissolves it", sentences, grid, warnings=small)


def _mixed(plan: Flush, dose: Dose, system: str) -> str:
    """What goes into a bucket: `2.4 L of it into 9.6 L of water, for 6 % of phosphoric acid.`"""
    agent = dose.agent
    share = f"for {100 * agent.strength:.3g} % of {agent.name}"
    if agent.density is None:
        return f"{dose.product:.2f} kg of the powder in {_volume(plan.bucket, system)} of water, {share}."
    water = _volume(plan.bucket - dose.product, system)
    return f"{_volume(dose.product, system)} of what is bought into {water} of water, {share}."


def _materials(plan: Flush, chosen: Agent) -> Section:
    common = [each for each in chosen.attacked if all(each in agent.attacked for agent in AGENTS.values())]
    heads = (("agent", 13), ("nor these", 22), ("for hours, with care", 20), ("spares", 23))
    rows = []
    for key, agent in AGENTS.items():
        others = [each for each in agent.attacked if each not in common]
        name = f"{key}, as planned" if agent.name == chosen.name else key
        rows.append((name, *(", ".join(each) or "-" for each in (others, agent.careful, agent.spared))))
    sentences = [
        f"None of them may touch {', '.join(common)}.",
        "From common practice and, of rubbers, charts for dilute acid (from memory). The label and the safety data "
        "sheet go first.",
    ]
    warned = tuple(_warned(plan, chosen))
    return Section("what the agents must not touch", sentences, Grid(heads, rows), warnings=warned)


def _warned(plan: Flush, agent: Agent) -> Iterator[str]:
    treats = agent.treats(plan.material) if plan.material else ""
    if treats == "attacked":
        yield f"{plan.part} is of {plan.material}: not with {agent.name}."
    elif treats == "careful":
        yield f"{plan.part} is of {plan.material}: only with care, and not for long, with {agent.name}."
    elif not treats and plan.material:
        yield f"{plan.part} is of {plan.material}, of which nothing is known with {agent.name}: ask the maker."
    elif not plan.material:
        yield (
            f"The file does not say what {plan.part} is made of: find out before any acid goes in, or use none "
            "stronger than citric."
        )


def steps(plan: Flush, dose: Dose, system: str) -> Iterator[str]:
    """What to do, in order."""
    out = f"; leave outside of the loop: {', '.join(plan.take_out)}" if plan.take_out else ""
    test, agent = plan.testing, dose.agent
    now, good, clean = (_flow(value, system) for value in (test.there.now, DONE * test.there.clean, test.there.clean))
    yield "Close the seacock and tag it; engine and oil side off and tagged, no pressure, oil below 40 °C."
    yield (
        "Take out first: pencil anodes (acid eats them), strainer baskets, flow sensors; the engine's pump with its "
        f"impeller stays outside{out}."
    )
    yield (
        "By hand first: open the inlet, pull what is stuck; back-flush with fresh water from outlet to inlet at 1 to 2 "
        "bar at most, catch what comes; blow through it by mouth, or with less than 0.3 bar."
    )
    yield (
        f"Connect bucket, pump and hoses, and time a bucket of fresh water through the {test.pump}, which shows a "
        f"clog best: it should give {now} as the file has it, {clean} when clean. Write it down."
    )
    if not test.one_way:
        yield "Pump into the outlet first, back into the bucket through a rag; then the other way. Clear hoses show it."
    else:
        yield "It lets nothing through the other way: pump with its arrow, back into the bucket through a rag."
    yield from _acid(plan, agent)
    yield "Drain into a container; neutralise with bicarbonate to pH 6 to 9; fresh water for 10 min or ten loops."
    yield (
        f"Time the bucket again, same pump, same height: the flush has worked from {good} on ({100 * DONE:.0f} % of "
        "clean). Keep both flows for next year; netsolve flush tells from them by how much."
    )
    yield "New anodes and gaskets; a pressure test by a shop if the oil side was near. Open the seacock, look."
    if "nickel" in plan.material or not plan.material:
        film = "Copper-nickel" if plan.material else "If it is of copper-nickel, it"
        yield f"{film} has lost its film: run it often in clean sea water for some three weeks, let nothing stand."


def _acid(plan: Flush, agent: Agent) -> Iterator[str]:
    if plan.material and agent.treats(plan.material) == "attacked":
        yield f"No {agent.name}: {plan.part} is of {plan.material}. Take another agent, or go on without."
        return
    known = "" if plan.material else "Only once you know what it is made of: "
    add = f"{known}add the agent to the water as its label says ({agent.name}: acid into water)"
    yield (
        f"{wording.sentence(add)} Circulate 1 to 4 h in all; every 15 to 20 min look: fizz, colour, pH. Green or "
        "blue is copper going: stop. A fresh charge when pH is above 4, or no fizz though scale is left."
    )


def _told(tested: Tested) -> str:
    """Whether the flush worked, by how much of the clean flow there is, and by what the part resists."""
    loop, clean = tested.loop, tested.loop.there.clean
    words = "it has worked" if worked(loop, tested.after) else "it has not: go on, or look for what is still stuck"
    if math.isnan(fouling(loop, tested.after)):
        words = "that cannot be: look at pump, hoses, bucket and watch"
    shares = " before, ".join(f"{100 * each / clean:.0f} %" for each in (tested.before, tested.after))
    first, last = (_times(fouling(loop, each)) for each in (tested.before, tested.after))
    return wording.sentence(
        f"with the {loop.pump}, {shares} after of what the clean loop gives; the part resists {first} before, {last} "
        f"after: {words}"
    )


def _times(index: float) -> str:
    if math.isnan(index):
        return "less than nothing"
    return f"{index:.3g} times the clean one" if math.isfinite(index) else "everything"
