"""Why netsolve differs from the sums of the reference diesel by up to 3.5 %: the friction factor, and nothing else.

The sums' own friction gives their printed figures to the last digit; the same sums with Churchill's give netsolve's.
Churchill's is the better one: Haaland's lies below Colebrook's in smooth hose at these speeds, and a straight blend of
the laminar and the turbulent formula is no law at all. The coil at idle stands between the two regimes.

A second difference would be the holes: the sums charge a hole the whole head of its jet, 1/0.62² velocity heads. In a
hose the jet fills the bore again and gives part of it back (ISO 5167-2, 5.4), which netsolve's `blockage` counts.
"""

import math
from pathlib import Path

import pytest
from scipy.optimize import fsolve

import netsolve

FILE = Path(__file__).parents[2] / "circuits" / "reference_diesel.yaml"
GPM, PSI, GRAVITY = 3.785411784e-3 / 60, 6894.757, 9.80665
DENSITY, VISCOSITY, ROUGHNESS = 1025, 1.08e-3, 1e-5
SPEEDS = {"idle": 700 / 2600, "cruise": 1800 / 2600, "full": 1.0}
PRINTED = {0.2: (1.29, 3.10, 4.45), 0.6: (0.69, 2.84, 4.26)}
"""Branch flows of the sums in gpm, by the height of the outlet in m."""


def blended_haaland(reynolds, roughness):
    """Laminar below 2300, Haaland (1983) above 4000, a straight blend between."""
    turbulent = (-1.8 * math.log10((roughness / 3.7) ** 1.11 + 6.9 / reynolds)) ** -2
    share = min(1.0, max(0.0, (reynolds - 2300) / 1700))
    return (1 - share) * 64 / reynolds + share * turbulent


def churchill(reynolds, roughness):
    """Churchill (1977), all regimes."""
    turbulent = (2.457 * math.log(1 / ((7 / reynolds) ** 0.9 + 0.27 * roughness))) ** 16
    return 8 * ((8 / reynolds) ** 12 + (turbulent + (37530 / reynolds) ** 16) ** -1.5) ** (1 / 12)


def hose(flow, bore, length, k, friction):
    """What a hose with fittings of K in all takes, Pa."""
    speed = max(flow, 1e-9) / (math.pi / 4 * bore**2)
    reynolds = DENSITY * speed * bore / VISCOSITY
    return (friction(reynolds, ROUGHNESS / bore) * length / bore + k) * DENSITY * speed**2 / 2


def branch(speed, height, friction):
    """The branch's flow in gpm: the pump, the engine's line and the branch, as three equations."""

    def left_over(unknown):
        engine, branch, rise = unknown[0] * GPM, unknown[1] * GPM, unknown[2] * 1e3
        total = engine + branch
        inlet = -hose(total, 0.0381, 2.0, 2.7, friction) - 1.025 * PSI * (total / 50 / GPM) ** 2
        tee = inlet + rise - hose(total, 0.0318, 0.5, 0.3, friction)
        to_exhaust = hose(engine, 0.0318, 1.7, 1.6, friction) + 37e3 * (engine / 40 / GPM) ** 2 + 7e3 * speed**2
        to_sea = hose(branch, 0.0159, 5.5, 3.7, friction) + hose(branch, 0.0138, 9.6, 1.5, friction)
        return [
            total / GPM - 44 * speed + 6 * rise / 1e5,
            (tee - to_exhaust - DENSITY * GRAVITY * 0.35) / 1e3,
            (tee - to_sea - DENSITY * GRAVITY * height) / 1e3,
        ]

    found, _, worked, _ = fsolve(left_over, [35 * speed, 4 * speed, 60 * speed**2], xtol=1e-12, full_output=True)
    assert worked == 1
    return found[1]


@pytest.mark.parametrize("height", PRINTED)
def test_with_the_sums_own_friction_the_printed_figures_come_out(height):
    for speed, printed in zip(SPEEDS.values(), PRINTED[height], strict=True):
        assert printed == pytest.approx(branch(speed, height, blended_haaland), abs=0.0075)


@pytest.mark.parametrize("height", PRINTED)
def test_with_churchills_friction_netsolves_figures_come_out(height):
    circuit = netsolve.loads(f"{FILE.read_text(encoding='utf-8')}\n  raised: {{set: {{overboard.height: {height} m}}}}")
    result = netsolve.solve(circuit, changes=["raised"])
    for condition, speed in SPEEDS.items():
        expected = branch(speed, height, churchill) * GPM
        assert expected == pytest.approx(result[condition, "raised"].run("branch").flow, rel=5e-4)


def test_a_hole_in_a_hose_gives_part_of_its_head_back():
    hole = "hole: {type: loss, bore: 6 mm, k: 2.6015, fitted: no}"
    plug = "plug: {type: blockage, hole: 6 mm, bore: 15.9 mm, fitted: no}"
    text = FILE.read_text(encoding="utf-8").replace(
        "      - coil:  ", f"      - {hole}\n      - {plug}\n      - coil:  "
    )
    circuit = netsolve.loads(text + "\n  hole: {fit: hole}\n  plug: {fit: plug}")
    rows = [netsolve.solve(circuit)["cruise", change] for change in ("hole", "plug")]
    heads = [row.part(row.change).pressure_drop / row.part(row.change).flow ** 2 for row in rows]
    beta = 6 / 15.9
    lasting = (math.sqrt(1 - beta**4 * (1 - 0.62**2)) / (0.62 * beta**2) - 1) ** 2  # ISO 5167-2, on the hose
    assert lasting / (2.6015 / beta**4) == pytest.approx(heads[1] / heads[0], rel=1e-3)
    assert 1.05 < rows[1].part("coil").flow / rows[0].part("coil").flow < 1.09
