"""The plan of a flush for a terminal of 80 columns: cautions first, what the pumps do, acid and gas, steps in order."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from netsolve import units
from netsolve.study.descaling import AGENTS, Agent, acid, charges, gas, must_not_touch, scale_mass
from netsolve.study.flushing import DONE, LIFT, Flush, Loop
from netsolve.views import wording
from netsolve.views.prose import Sentence, grid, plain
from netsolve.views.sheet import Grid, Section

if TYPE_CHECKING:
    from rich.console import RenderableType

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


def flush_table(plan: Flush, agent: str, system: str) -> RenderableType:
    """All of a plan, with one agent worked out."""
    from rich.console import Group

    lines: list[RenderableType] = [
        plain(f"Flushing {plan.part}", "bold"),
        plain(""),
        plain("cautions first", "bold red"),
    ]
    lines += [Sentence("", each) for each in CAUTIONS]
    lines += [plain(""), plain("what a pump gets through it", "bold underline"), *_pumps(plan, system)]
    lines += [plain(""), plain("what dissolves what is left", "bold underline"), *_agents(plan, AGENTS[agent])]
    lines += [plain(""), plain("steps", "bold underline")]
    lines += [Sentence(f"{number}. ", each) for number, each in enumerate(steps(plan, system), 1)]
    return Group(*lines)


def _flow(value: float, system: str) -> str:
    return units.show(value, "flow", system=system) if math.isfinite(value) else "?"


def _pumps(plan: Flush, system: str) -> Iterator[RenderableType]:
    holes = list(plan.loops[0].holes)
    heads = [(f"{1e3 * hole:g} mm", 7) for hole in holes]
    table = grid(
        (f"flow, {units.shown_units('flow')[system == 'us']}", 27), ("now", 7), ("back", 7), ("clean", 7), *heads
    )
    for loop in plan.loops:
        values = (loop.now, loop.backwards, loop.clean, *loop.holes.values())
        table.add_row(plain(loop.pump), *(plain(_flow(value, system).partition(" ")[0]) for value in values))
    yield table
    yield Sentence("", "Now is the part as the file has it, back the same turned round, and the columns of mm what a "
                   "clog with such a hole left would let through.")  # fmt: skip
    for loop in plan.loops:
        yield Sentence(f"{loop.pump}: ", _verdict(plan, loop, system))


def _verdict(plan: Flush, loop: Loop, system: str) -> str:
    push = units.show(loop.push, "pressure", system=system, both=True)
    can = "may shift a plug" if loop.moves else "will not shift a hard plug: clear that by hand first"
    turn = plan.turnover(loop.now)
    round_trip = f"the bucket goes round in {turn:.0f} s" if math.isfinite(turn) and turn < 3600 else "hardly any flow"
    return wording.sentence(f"presses with {push} at most, so it {can}; {round_trip}")


def _agents(plan: Flush, agent: Agent) -> Iterator[RenderableType]:
    litres = 1e3 * plan.bucket
    yield Sentence("", f"The loop holds {1e3 * plan.volume:.1f} L; take a bucket of {litres:.0f} L at least.")
    if _is_tube(plan):
        table = grid(*SCALE)
        for cells in _scale(plan, agent):
            table.add_row(*map(plain, cells))
        yield table
    yield Sentence("", f"With {agent.name}: {100 * agent.strength:.0f} % of it in the mix, at most "
                   f"{agent.warmest - 273.15:.0f} °C. {wording.sentence(agent.source)}")  # fmt: skip
    yield Sentence("it must not touch: ", wording.sentence(", ".join(agent.attacks)), "bold red")
    yield Sentence("it is known to spare: ", wording.sentence(", ".join(agent.spares)))
    if must_not_touch(agent, plan.material):
        yield Sentence("", f"{plan.part} is of {plan.material}: not with this agent.", words_style="bold red")
    elif not plan.material:
        yield Sentence("", f"The file does not say what {plan.part} is made of: find out before any acid goes in, or "
                       "use citric acid.")  # fmt: skip


SCALE = (("scale", 10), ("its mass", 10), ("pure acid", 12), ("gas", 10), ("charges", 20))


def _is_tube(plan: Flush) -> bool:
    """Whether the mass of what has grown in it can be told."""
    return bool(plan.bore and plan.length and plan.kind in ("cooling_coil", "tube", "hose"))


def _scale(plan: Flush, agent: Agent) -> list[tuple[str, ...]]:
    """For each thickness of scale its mass, the acid that dissolves it, the gas, the charges."""
    rows: list[tuple[str, ...]] = []
    for each in (plan.scale,) if plan.scale else (0.25e-3, 0.5e-3, 1e-3):
        mass = scale_mass(plan.bore or 0.0, plan.length or 0.0, each)
        weights = f"{mass:.2f} kg", f"{acid(agent, mass):.2f} kg", f"{1e3 * gas(mass):.0f} L"
        buckets = f"{math.ceil(charges(agent, mass, plan.bucket))} of {1e3 * plan.bucket:.0f} L"
        rows.append((f"{1e3 * each:g} mm", *weights, buckets))
    return rows


def steps(plan: Flush, system: str) -> Iterator[str]:
    """What to do, in order."""
    out = f"; leave outside of the loop: {', '.join(plan.take_out)}" if plan.take_out else ""
    best = max(plan.loops, key=lambda loop: loop.now if math.isfinite(loop.now) else 0.0)
    good, clean = (_flow(value, system) for value in (DONE * best.clean, best.clean))
    yield "Close the seacock and tag it; engine and oil side off, no pressure, below 40 °C."
    yield f"Take out pencil anodes (acid eats them), strainer baskets and flow sensors{out}."
    yield (
        "By hand first: open the inlet, pull what is stuck; back-flush with fresh water from outlet to inlet at 1 to 2 "
        "bar at most, catch what comes; blow through it."
    )
    yield (
        f"Time a bucket through the loop with the {best.pump} before: it should give {_flow(best.now, system)} as the "
        f"file has it, {clean} when clean (hoses of 3 m, return end {LIFT:g} m above the water)."
    )
    yield "Pump into the outlet first, back into the bucket through a rag; then the other way. Clear hoses show it."
    yield (
        "Add the agent to the water as its label says. Circulate 1 to 4 h; every 15 to 20 min look: fizz, colour, pH. "
        "Green or blue is copper going: stop. A fresh charge when pH is above 4, or scale is left without fizz."
    )
    yield "Drain into a container; neutralise with bicarbonate to pH 6 to 9; fresh water for 10 min or ten loops."
    yield f"Time the bucket again: the flush has worked from {good} on ({100 * DONE:.0f} % of clean). Keep both."
    yield "New anodes and gaskets; a pressure test by a shop if the oil side was near. Open the seacock, look."
    if "nickel" in plan.material or not plan.material:
        yield "Copper-nickel has lost its film: run it often in clean sea water for the first weeks, let nothing stand."


def index_sentence(before: float, after: float, clean: float) -> str:
    """Whether the flush worked, from bucket tests of the same loop before and after (m3/s)."""
    first, last = ((clean / each) ** 2 if each > 0 else math.inf for each in (before, after))
    worked = after >= DONE * clean
    words = "it has worked" if worked else "it has not: go on, or look for what is still stuck"
    shares = f"{100 * before / clean:.0f} % of the clean loop's flow before, {100 * after / clean:.0f} % after"
    resistance = f"the loop resists {first:.1f} times the clean one before, {last:.1f} times after"
    return wording.sentence(f"{shares}; {resistance}: {words}")


def flush_sections(plan: Flush, agent: str, system: str) -> list[Section]:
    """The same for a page: cautions first, the pumps, the acid, the steps."""
    chosen, litres = AGENTS[agent], 1e3 * plan.bucket
    heads = [("flow", 24), ("now", 10), ("back", 10), ("clean", 10)]
    heads += [(f"hole of {1e3 * hole:g} mm", 10) for hole in plan.loops[0].holes]
    pumps = [
        (loop.pump, *(_flow(value, system) for value in (loop.now, loop.backwards, loop.clean, *loop.holes.values())))
        for loop in plan.loops
    ]
    acids = [f"The loop holds {1e3 * plan.volume:.1f} L; take a bucket of {litres:.0f} L at least."]
    acids += [f"With {chosen.name}: {100 * chosen.strength:.0f} % of it in the mix. {wording.sentence(chosen.source)}"]
    acids += [f"It must not touch {', '.join(chosen.attacks)}. It is known to spare {', '.join(chosen.spares)}."]
    material = (
        f"{plan.part} is of {plan.material}" if plan.material else f"the file does not say what {plan.part} is of"
    )
    if must_not_touch(chosen, plan.material) or not plan.material:
        acids.append(wording.sentence(f"{material}: find out before any acid goes in, or take another"))
    scale = Grid(SCALE, _scale(plan, chosen)) if _is_tube(plan) else None
    return [
        Section(f"Flush: {plan.part}, cautions first", CAUTIONS),
        Section(
            f"Flush: what a pump gets through {plan.part}",
            [f"{loop.pump}: {_verdict(plan, loop, system)}" for loop in plan.loops],
            Grid(heads, pumps),
        ),
        Section("Flush: what dissolves what is left", acids, scale),
        Section("Flush: steps", tuple(steps(plan, system)), numbered=True),
    ]
