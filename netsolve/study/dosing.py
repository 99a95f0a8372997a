"""How much of a descaling agent a flush takes: by the bucket's mix, and by the scale that is to be dissolved."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from netsolve.study.descaling import Agent, acid, bicarbonate, charges, gas, in_bucket, product, scale_mass
from netsolve.study.flushing import Flush

THICKNESSES = (0.25e-3, 0.5e-3, 1e-3)
"""m: how much may have grown, where nobody says."""


@dataclass(frozen=True)
class Scale:
    """Scale so thick (m): its mass (kg), the pure acid that dissolves it (kg), the gas (m3), buckets of mix."""

    thickness: float
    mass: float
    acid: float
    gas: float
    charges: int

    @property
    def refills(self) -> int:
        """How often the spent mix is changed for a fresh one."""
        return self.charges - 1


@dataclass(frozen=True)
class Dose:
    """For one bucket of mix: what is bought of the agent (m3 of a liquid, kg of a powder), the pure acid in it (kg).

    `dissolves` is the scale that it uses up (kg), `bicarbonate` what neutralises it unspent (kg); `scales` is empty
    where the part's walls are not known.
    """

    agent: Agent
    product: float
    acid: float
    dissolves: float
    bicarbonate: float
    scales: tuple[Scale, ...]


def dose(plan: Flush, agent: Agent) -> Dose:
    """What a plan takes of an agent."""
    pure = in_bucket(agent, plan.bucket)
    scales = tuple(_scales(plan, agent))
    neutral = bicarbonate(agent, plan.bucket)
    return Dose(agent, product(agent, plan.bucket), pure, pure / agent.for_a_kilogram, neutral, scales)


def _scales(plan: Flush, agent: Agent) -> Iterator[Scale]:
    for thickness in (plan.scale,) if plan.scale else THICKNESSES:
        if plan.bore is not None and plan.length is not None and 2 * thickness < plan.bore:
            mass = scale_mass(plan.bore, plan.length, thickness)
            count = math.ceil(charges(agent, mass, plan.bucket))
            yield Scale(thickness, mass, acid(agent, mass), gas(mass), count)


def dose_to_dict(plan: Flush, given: Dose) -> dict[str, Any]:
    """A dose as plain data in SI."""
    agent = given.agent
    return {
        "agent": agent.name,
        "strength": agent.strength,
        "warmest_k": agent.warmest,
        "product_kg" if agent.density is None else "product_m3": given.product,
        "acid_kg": given.acid,
        "dissolves_kg": given.dissolves,
        "bicarbonate_kg": given.bicarbonate,
        "must_not_touch": list(agent.attacked),
        "with_care": list(agent.careful),
        "spares": list(agent.spared),
        "part_is": agent.treats(plan.material) or None,
        "scales": [
            {
                "thickness_m": each.thickness,
                "mass_kg": each.mass,
                "acid_kg": each.acid,
                "gas_m3": each.gas,
                "charges": each.charges,
                "refills": each.refills,
            }
            for each in given.scales
        ],
    }
