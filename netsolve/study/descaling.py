"""What a descaling agent must do and must not touch: acid for so much scale, gas given off, metals and rubbers."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

SCALE_DENSITY = 2300.0
"""kg/m3: scale as it grows, with its pores; an estimate, chalk itself has 2710."""

CARBONATE = 100.087
"""g/mol of CaCO3, from IUPAC's standard atomic weights."""

_MOLAR_GAS = 8.314462618 * 293.15 / 101325.0
"""m3/mol: an ideal gas at 20 degC and 1 atm."""


@dataclass(frozen=True)
class Agent:
    """A descaling acid.

    `molar` in g/mol; `moles` of it dissolve one of CaCO3; `strength` is its usual share of the mix's mass, `warmest` in
    K. `attacks` are materials that it must not touch, `spares` those that it is known to spare.
    """

    name: str
    molar: float
    moles: float
    strength: float
    warmest: float
    attacks: tuple[str, ...]
    spares: tuple[str, ...]
    source: str

    @property
    def for_a_kilogram(self) -> float:
        """kg of pure acid for 1 kg of CaCO3."""
        return self.moles * self.molar / CARBONATE


_NEVER = ("aluminium", "zinc anodes", "galvanised steel", "magnesium", "soldered joints", "nylon and acetal")

AGENTS: Mapping[str, Agent] = {
    "phosphoric": Agent(
        "phosphoric acid, as in marine descalers",
        97.994,
        2.0,
        0.06,
        313.15,
        _NEVER,
        (
            "copper",
            "cupronickel",
            "bronze",
            "admiralty",
            "aluminium brass",
            "titanium",
            "stainless",
            "rubber for hours",
        ),
        "one part of a common marine descaler to four of water (common practice); down to its soluble salt Ca(H2PO4)2",
    ),
    "sulphamic": Agent(
        "sulphamic acid",
        97.094,
        2.0,
        0.10,
        323.15,
        _NEVER,
        ("copper", "cupronickel", "aluminium brass", "bronze", "titanium", "stainless", "rubber for hours"),
        "10 % at most 50 °C in an industrial procedure for cupronickel and aluminium brass",
    ),
    "citric": Agent(
        "citric acid",
        192.124,
        2.0 / 3.0,
        0.10,
        333.15,
        ("aluminium", "zinc anodes", "galvanised steel", "magnesium"),
        ("copper", "cupronickel", "bronze", "titanium", "stainless", "steel for hours", "rubber"),
        "all three protons used, in practice two: half as much again; the mildest, for unknown metals",
    ),
    "hydrochloric": Agent(
        "hydrochloric (muriatic) acid with an inhibitor",
        36.461,
        2.0,
        0.10,
        313.15,
        (*_NEVER, "stainless", "titanium"),
        ("copper", "cupronickel", "bronze", "admiralty", "steel", "rubber for hours"),
        "15 % for steel and copper cooler tubes in an army manual; never unattended",
    ),
}
"""The usual ones. Which metal stands what: common practice and the sources named; the label goes first."""

AGENT_NAMES = tuple(AGENTS)


def scale_mass(bore: float, length: float, thickness: float) -> float:
    """kg of scale on the wall of a tube of this bore and length (m), so thick (m)."""
    return math.pi * (bore - thickness) * length * thickness * SCALE_DENSITY


def gas(scale: float) -> float:
    """m3 of carbon dioxide from so many kg of scale, at 20 degC."""
    return scale / (CARBONATE * 1e-3) * _MOLAR_GAS


def acid(agent: Agent, scale: float) -> float:
    """kg of pure acid that so many kg of scale use up."""
    return agent.for_a_kilogram * scale


def charges(agent: Agent, scale: float, bucket: float) -> float:
    """How many buckets (m3) of the usual mix that takes; its density is taken as water's."""
    return acid(agent, scale) / (agent.strength * 1000.0 * bucket)


def must_not_touch(agent: Agent, material: str) -> bool:
    """Whether the part's material is among those that the agent attacks."""
    return material in agent.attacks
