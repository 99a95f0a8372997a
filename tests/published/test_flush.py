"""The chemistry of a flush and the arithmetic of a bucket test, against sums made apart; each source is in data/."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import pytest

import netsolve
from netsolve.study.descaling import AGENTS, BICARBONATE, CARBONATE, acid, bicarbonate, gas
from netsolve.study.diagnosis.probe import WIDTHS, bucket_accuracy
from netsolve.study.diagnosis.read import read_text
from tests.commands import POT_HAULER

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]


def bucket(given: Inputs) -> dict[str, float]:
    """As a file of readings has it."""
    caught = f"volume: {given['V_L']} L, took: {given['t_s']} s"
    text = f"readings: [{{bucket: oil cooler branch, condition: cruise, {caught}}}]"
    (reading,) = read_text(text, netsolve.load(POT_HAULER))
    return {"Q_m3s": reading.value, "Q_Lmin": 6e4 * reading.value}


def bucket_uncertainty(given: Inputs) -> dict[str, float]:
    volume = given["V_L"] * 1e-3
    return {"u_rel": bucket_accuracy(volume, given["t_s"], given["uV"] * 1e-3, given["ut"])}


def molar_masses(given: Inputs) -> dict[str, float]:
    return {"CaCO3": CARBONATE, "NaHCO3": BICARBONATE}


def dissolving(given: Inputs) -> dict[str, float]:
    return {name: acid(agent, given["scale"]) for name, agent in AGENTS.items()}


def gas_given_off(given: Inputs) -> dict[str, float]:
    return {"litres": 1e3 * gas(given["scale"])}


def neutralising(given: Inputs) -> dict[str, float]:
    """Of a mix with a kilogram of pure acid in the bucket."""
    mixes = {name: replace(agent, strength=1.0 / given["litres"]) for name, agent in AGENTS.items()}
    return {name: bicarbonate(mix, given["litres"] * 1e-3) for name, mix in mixes.items()}


COMPUTED: Mapping[str, Compute] = {
    "PU-09": bucket,
    "PU-10": bucket_uncertainty,
    "CH-01": molar_masses,
    "CH-02": dissolving,
    "CH-03": gas_given_off,
    "CH-04": neutralising,
}


def test_published(compute: Compute, inputs: Inputs, key: str, expected: Mapping[str, float]) -> None:
    assert expected["value"] == pytest.approx(compute(inputs)[key], rel=expected["rel_tol"])


def test_what_is_read_of_a_bucket_is_as_uncertain_as_its_volume_and_its_time() -> None:
    """0.25 L in 2.5 L and 0.5 s in 25 s, but never better than a twentieth: 10.2 % (root of the sum of squares)."""
    text = "readings: [{bucket: oil cooler branch, condition: cruise, volume: 2.5 L, took: 25 s}]"
    (reading,) = read_text(text, netsolve.load(POT_HAULER))
    assert reading.deviation / reading.value * WIDTHS == pytest.approx(0.10198, rel=1e-4)
