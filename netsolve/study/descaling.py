"""What a descaling agent must do and must not touch: acid for so much scale, gas given off, metals and rubbers."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

SCALE_DENSITY = 2300.0
"""kg/m3: scale as it grows, with its pores; an estimate, chalk itself has 2710."""

CARBONATE = 100.086
"""g/mol of CaCO3, from IUPAC's abridged standard atomic weights of 2021, as all molar masses here."""

BICARBONATE = 84.006
"""g/mol of NaHCO3, which neutralises one H+."""

_MOLAR_GAS = 8.314462618 * 293.15 / 101325.0
"""m3/mol: an ideal gas at 20 degC and 1 atm."""


@dataclass(frozen=True)
class Agent:
    """A descaling acid.

    `molar` in g/mol; `moles` of it dissolve one of CaCO3; `strength` is its usual share of the mix's mass, `warmest` in
    K. `bought` is its share of what is bought, of `density` kg/m3 where that is a liquid, None for a powder. Metals and
    rubbers are `attacked`, stand it for the hours of a flush (`careful`), or are `spared`.
    """

    name: str
    molar: float
    moles: float
    strength: float
    warmest: float
    bought: float
    density: float | None
    attacked: tuple[str, ...]
    careful: tuple[str, ...]
    spared: tuple[str, ...]
    source: str

    @property
    def for_a_kilogram(self) -> float:
        """kg of pure acid for 1 kg of CaCO3."""
        return self.moles * self.molar / CARBONATE

    def treats(self, material: str) -> str:
        """What it does to a material: `attacked`, `careful`, `spared`, or nothing where that is not known."""
        groups = ("attacked", "careful", "spared")
        known = [(len(name), what) for what in groups for name in getattr(self, what) if material.startswith(name)]
        return max(known, default=(0, ""))[1]


_NEVER = ("aluminium", "zinc", "galvanised steel", "magnesium")
_STRONG = (*_NEVER, "soldered joints", "nylon", "acetal")

AGENTS: Mapping[str, Agent] = {
    "phosphoric": Agent(
        "phosphoric acid, as in marine descalers",
        97.994,
        2.0,
        0.06,
        313.15,
        0.26,
        1150.0,
        _STRONG,
        ("titanium", "steel", "nitrile rubber", "silicone hose"),
        ("copper", "cupronickel", "bronze", "admiralty", "aluminium brass", "stainless", "pvc", "EPDM", "neoprene"),
        "6 % is one part of a common marine descaler to four of water (common practice), taken as 26 % by mass (an "
        "estimate: its safety data sheet says); used up to its soluble salt Ca(H2PO4)2",
    ),
    "sulphamic": Agent(
        "sulphamic acid",
        97.088,
        2.0,
        0.10,
        323.15,
        1.0,
        None,
        _STRONG,
        ("titanium", "steel", "nitrile rubber", "silicone hose"),
        ("copper", "cupronickel", "bronze", "admiralty", "aluminium brass", "stainless", "pvc", "EPDM", "neoprene"),
        "10 % at most 50 °C, under 1.5 m/s, in an industrial procedure for cupronickel and aluminium brass",
    ),
    "citric": Agent(
        "citric acid",
        192.123,
        2.0 / 3.0,
        0.10,
        333.15,
        1.0,
        None,
        _NEVER,
        ("steel", "soldered joints", "nylon", "acetal"),
        (
            "copper",
            "cupronickel",
            "bronze",
            "admiralty",
            "aluminium brass",
            "stainless",
            "titanium",
            "pvc",
            "EPDM",
            "neoprene",
            "nitrile rubber",
            "silicone hose",
        ),
        "all three protons used, in practice two: half as much again; the mildest, for unknown metals",
    ),
    "hydrochloric": Agent(
        "hydrochloric (muriatic) acid with an inhibitor",
        36.458,
        2.0,
        0.10,
        313.15,
        0.31,
        1160.0,
        (*_STRONG, "stainless", "titanium", "nitrile rubber", "silicone hose"),
        ("steel", "neoprene", "EPDM"),
        ("copper", "cupronickel", "bronze", "admiralty", "pvc"),
        "15 % for steel and copper cooler tubes in an army manual; bought as muriatic acid of 31 %; the harshest",
    ),
}
"""The usual ones. Which metal stands what: common practice and the sources named; rubbers as charts of chemical
resistance have them for dilute acid, from memory. The label goes first."""

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
    """How many buckets (m3) of the mix that takes; its density is taken as water's."""
    return acid(agent, scale) / in_bucket(agent, bucket)


def in_bucket(agent: Agent, bucket: float) -> float:
    """kg of pure acid in a bucket (m3) of the mix."""
    return agent.strength * 1000.0 * bucket


def product(agent: Agent, bucket: float) -> float:
    """What is bought of it for a bucket (m3) of the mix: m3 of a liquid, kg of a powder."""
    mass = in_bucket(agent, bucket) / agent.bought
    return mass if agent.density is None else mass / agent.density


def bicarbonate(agent: Agent, bucket: float) -> float:
    """kg of bicarbonate that neutralise a bucket (m3) of the mix that has dissolved nothing."""
    return in_bucket(agent, bucket) / agent.molar * 2.0 / agent.moles * BICARBONATE
