"""Every built-in inline component keeps the promises of the contract, with each of its words and options."""

from __future__ import annotations

import importlib
import pkgutil

import numpy as np
import pytest

import netsolve.components
from netsolve.component import Component
from netsolve.components.ball_valve import BallValve
from netsolve.components.bend import Bend
from netsolve.components.blockage import Blockage
from netsolve.components.centrifugal_pump import CentrifugalPump
from netsolve.components.check_valve import CheckValve
from netsolve.components.cooling_coil import CoolingCoil
from netsolve.components.diaphragm_pump import DiaphragmPump
from netsolve.components.flow_switch import FlowSwitch
from netsolve.components.gate_valve import GateValve
from netsolve.components.globe_valve import GlobeValve
from netsolve.components.heat_exchanger import HeatExchanger
from netsolve.components.hose import Hose
from netsolve.components.hose_tail import HoseTail
from netsolve.components.impeller_pump import ImpellerPump
from netsolve.components.injection_ring import InjectionRing
from netsolve.components.loss import Loss
from netsolve.components.measured_loss import MeasuredLoss
from netsolve.components.orifice import Orifice
from netsolve.components.rated_loss import RatedLoss
from netsolve.components.reducer import Reducer
from netsolve.components.seacock import Seacock
from netsolve.components.sight_glass import SightGlass
from netsolve.components.strainer import Strainer
from netsolve.components.tube import Tube
from netsolve.components.tube_cooler import TubeCooler
from netsolve.laws.curve import Curve, CurveFamily
from netsolve.testing import check_component
from netsolve.water import custom_water

FALLING = Curve.through([(0.0, 35e3), (2e-4, 30e3), (4e-4, 15e3), (5e-4, 0.0)])
IMPELLER = Curve.through([(1e-4, 200e3), (3.6e-4, 100e3), (4.4e-4, 50e3), (5e-4, 0.0)])
SPEEDS = CurveFamily.through(
    [
        *[(1e-4, 200e3, 25.0), (3.6e-4, 100e3, 25.0), (5e-4, 0.0, 25.0)],
        *[(0.5e-4, 90e3, 12.0), (1.5e-4, 50e3, 12.0), (2.4e-4, 0.0, 12.0)],
    ]
)
READINGS = Curve.through([(1e-4, 0.8e3), (2e-4, 3e3), (4e-4, 13e3)])
HUMPED = Curve.through([(0.0, 30e3), (2e-4, 33e3), (4e-4, 15e3)])

PARTS: list[Component] = [
    Hose(bore=0.016, length=3.0),
    Hose(bore=0.038, length=1.0, bends=4.0, roughness=0.0),
    Hose(bore=0.019, length=2.0, wall="corrugated", bends=1.0),
    Hose(bore=0.016, length=3.0, kink_bore=0.006),
    Hose(bore=0.016, length=0.5, kink_bore=0.016),
    Tube(bore=0.013, length=2.0),
    Tube(bore=0.02, length=1.0, material="steel"),
    Tube(bore=0.02, length=1.0, roughness=1e-4),
    *[Bend(bore=0.019, style=style) for style in ("sweep", "standard", "street", "mitre", "45")],
    Bend(bore=0.025, style="sweep", angle=0.5),
    Bend(bore=0.012, style="mitre", angle=0.1),
    HoseTail(bore=0.0095, hose_bore=0.0127),
    HoseTail(bore=0.015, hose_bore=0.019, length=0.05),
    HoseTail(bore=0.019, hose_bore=0.019),
    Reducer(bore_in=0.019, bore_out=0.0127),
    Reducer(bore_in=0.0127, bore_out=0.025),
    Reducer(bore_in=0.019, bore_out=0.019),
    Reducer(bore_in=0.019, bore_out=0.0127, style="taper"),
    Reducer(bore_in=0.0127, bore_out=0.025, style="taper", angle=1.5),
    *[Seacock(bore=0.038, shut=np.radians(shut)) for shut in (0.0, 3.0, 45.0, 89.0, 90.0)],
    Seacock(bore=0.019, way="reduced"),
    Strainer(cv=8.0),
    Strainer(cv=50.0, bore=0.038, blinded=0.5),
    Strainer(cv=8.0, mesh=60.0, blinded=0.9),
    Strainer(open_area_ratio=0.4, bore=0.019, opening=0.003),
    Strainer(open_area_ratio=0.3, bore=0.019, mesh=60.0, blinded=0.3),
    Strainer(open_area_ratio=0.46, bore=0.03, mesh=20.0),
    *[CheckValve(style=style, bore=0.019) for style in ("swing", "spring", "ball", "duckbill")],
    CheckValve(style="swing", bore=0.025),
    CheckValve(style="swing", bore=0.025, backwards=True),
    CheckValve(style="spring", bore=0.016, cracking=0.0, k=3.0),
    Orifice(bore=0.008, hose_bore=0.016),
    Orifice(bore=0.016, hose_bore=0.016, cd=0.8),
    ImpellerPump(rated_flow=2.775e-3, rated_speed=43.3),
    ImpellerPump(rated_flow=1e-3, rated_speed=25.0, speed=12.0, worn=0.3),
    ImpellerPump(rated_flow=2e-3, rated_speed=43.3, speed=0.0, slip_flow=4e-9),
    ImpellerPump(rated_flow=2e-3, rated_speed=43.3, running=False),
    ImpellerPump(rated_flow=5e-4, rated_speed=25.0, speed=20.0, worn=0.2, curve=IMPELLER),
    *[
        ImpellerPump(rated_flow=5e-4, rated_speed=25.0, speed=speed, worn=worn, curve=SPEEDS)
        for speed, worn in ((0.0, 0.0), (6.0, 0.0), (12.0, 0.2), (18.0, 0.0), (25.0, 0.0), (30.0, 0.1))
    ],
    CentrifugalPump(shutoff=35e3, open_flow=5e-4),
    CentrifugalPump(shutoff=30e3, open_flow=8e-4, speed=0.0, worn=0.2),
    CentrifugalPump(shutoff=30e3, open_flow=8e-4, running=False),
    CentrifugalPump(curve=FALLING),
    CentrifugalPump(curve=FALLING, speed=0.5, worn=0.3),
    CentrifugalPump(curve=FALLING, running=False),
    CentrifugalPump(curve=HUMPED),
    HeatExchanger(drop=25e3, at=2.5e-3),
    HeatExchanger(drop=12e3, at=1e-3, exponent=1.75, fouled=3.0, bore=0.032),
    CoolingCoil(bore=0.0138, length=8.0, coil_diameter=0.25),
    CoolingCoil(bore=0.01, length=4.0, coil_diameter=0.15, scale=0.001),
    CoolingCoil(bore=0.0138, length=8.0, coil_diameter=0.25, material="stainless"),
    Loss(bore=0.032, k=1.6),
    Loss(bore=0.016, k=0.01),
    RatedLoss(drop=12e3, at=2.5e-3),
    RatedLoss(drop=1e3, at=1e-4, exponent=1.0, bore=0.01),
    *[BallValve(bore=0.019, shut=np.radians(shut)) for shut in (0.0, 3.0, 45.0, 89.0, 90.0)],
    BallValve(bore=0.0127, way="reduced", shut=0.2),
    *[GateValve(bore=0.025, opening=opening) for opening in (1.0, 0.6, 0.25, 0.1, 1e-4, 0.0)],
    *[GlobeValve(bore=0.019, opening=opening) for opening in (1.0, 0.6, 0.25, 0.1, 1e-4, 0.0)],
    *[Blockage(hole=hole, bore=0.016) for hole in (0.002, 0.008, 0.016)],
    DiaphragmPump(rated_flow=2.5e-4, cut_out=2.8e5),
    DiaphragmPump(rated_flow=2.5e-4, cut_out=2.8e5, worn=0.5, bore=0.012),
    DiaphragmPump(rated_flow=2.5e-4, cut_out=2.8e5, worn=0.95),
    DiaphragmPump(rated_flow=2.5e-4, cut_out=2.8e5, running=False),
    TubeCooler(tubes=24.0, bore=0.006, length=0.3),
    TubeCooler(tubes=24.0, bore=0.006, length=0.3, passes=2.0, plugged=5.0),
    TubeCooler(tubes=24.0, bore=0.006, length=0.3, passes=4.0, material="stainless"),
    InjectionRing(drop=12e3, at=2.5e-3),
    InjectionRing(drop=12e3, at=2.5e-3, blocked=0.5, bore=0.032),
    FlowSwitch(bore=0.019),
    FlowSwitch(bore=0.025, k=2.0),
    SightGlass(bore=0.019),
    SightGlass(bore=0.025, k=1.5),
    MeasuredLoss(curve=READINGS),
    MeasuredLoss(curve=Curve.through([(0.0, 0.0), (2e-4, 3e3), (3e-4, 5e3)]), bore=0.016),
]
KINDS = list(dict.fromkeys(type(part) for part in PARTS))


@pytest.mark.parametrize("kind", KINDS, ids=[kind.__name__ for kind in KINDS])
def test_component_keeps_every_promise(kind: type[Component]) -> None:
    check_component(*[part for part in PARTS if type(part) is kind])


@pytest.mark.parametrize("kind", KINDS, ids=[kind.__name__ for kind in KINDS])
def test_component_keeps_every_promise_in_thick_liquid(kind: type[Component]) -> None:
    check_component(*[part for part in PARTS if type(part) is kind], water=custom_water(1080.0, 0.03))


def test_every_built_in_inline_component_is_tried_here() -> None:
    found = set()
    for module in pkgutil.iter_modules(netsolve.components.__path__, "netsolve.components."):
        for value in vars(importlib.import_module(module.name)).values():
            if isinstance(value, type) and issubclass(value, Component) and value.__module__ == module.name:
                found.add(value)

    assert set(KINDS) == found
