"""The answers of the cookbook that rest on a law, worked a second time by hand.

Sources stand beside each. Sea water of 12 to 15 degC: 1026 kg/m3 and 1.3 mPa s within 1 % and 6 %; 1 psi = 6.895 kPa.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from tests.commands import Shell

FOLDER = Path(__file__).parents[2] / "circuits" / "cookbook"
LINE_HAULER = FOLDER / "line_hauler.yaml"
DENSITY, VISCOSITY, GRAVITY, PSI = 1026.0, 1.3e-3, 9.81, 6894.8
LITRE = 1e-3 / 60
GPM = 3.7854 * LITRE


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def speed(flow: float, bore: float) -> float:
    return flow / (math.pi / 4 * bore**2)


def head(flow: float, bore: float) -> float:
    """The velocity pressure, Pa."""
    return DENSITY / 2 * speed(flow, bore) ** 2


def smooth(flow: float, bore: float, length: float) -> float:
    """Friction of a smooth hose by Blasius (1913), 0.316 Re^-1/4, Pa; for Re 4e3 to 1e5."""
    reynolds = DENSITY * speed(flow, bore) * bore / VISCOSITY
    return 0.316 / reynolds**0.25 * length / bore * head(flow, bore)


def cooler(shell: Shell, condition: str, *options: str, file: Path = LINE_HAULER) -> tuple[float, dict[str, float]]:
    """The oil cooler's flow under the one change asked for, and what each thing then takes in its run, Pa."""
    data = shell("compare", file, *options, "--condition", condition, "--json").json
    effect = next(each for each in data["effects"] if each["about"] == "oil cooler")
    budget = next(each for each in data["budgets"] if each["about"] == "oil cooler")
    return effect["after"], {each["name"]: each["after"] for each in budget["takes"]}


def solved(shell: Shell, name: str, condition: str, change: str = "as found") -> dict[str, Any]:
    data = shell("solve", FOLDER / f"{name}.yaml", "--condition", condition, "--change", change, "--json").json
    (row,) = data["rows"]
    return row  # type: ignore[no-any-return]


def test_1_a_step_down_and_up_again(shell: Shell) -> None:
    """Crane TP-410: 0.5 (1 - b²) narrowing, (1 - b²)² widening, on the small bore."""
    flow, takes = cooler(shell, "cruise", "--change", "3/4 in hose with a reducer")
    ratio = (12.7 / 19) ** 2
    assert 0.5 * (1 - ratio) * head(flow, 0.0127) == pytest.approx(takes["step down"], rel=0.02)
    assert (1 - ratio) ** 2 * head(flow, 0.0127) == pytest.approx(takes["step up"], rel=0.02)


@pytest.mark.parametrize(("blinded", "share"), [("0 %", 1.0), ("50 %", 0.5)])
def test_2_a_strainer_by_its_cv(shell: Shell, blinded: str, share: float) -> None:
    """The definition of Cv: gpm of water at 1 psi; half the screen passes half of it at the same pressure."""
    options = ("--fit", "small strainer", "--set", f"small strainer.blinded = {blinded}")
    flow, takes = cooler(shell, "cruise", *options)
    assert 1.026 * PSI * (flow / GPM / (8 * share)) ** 2 == pytest.approx(takes["small strainer"], rel=0.02)


def test_3_a_spring_valve_asks_for_more_than_idle_can_spare(shell: Shell) -> None:
    """Makers' data: such valves crack at half a psi; K 6 is an estimate."""
    flow, takes = cooler(shell, "idle", "--change", "spring check valve")
    assert 0.5 * PSI + 6 * head(flow, 0.016) == pytest.approx(takes["spring check"], rel=0.02)
    assert 0.5 < takes["spring check"] / sum(takes.values()) < 0.6


@pytest.mark.parametrize(("change", "bore"), [("1/2 in hose", 0.0127), ("3/4 in hose", 0.019)])
def test_4_three_metres_of_hose(shell: Shell, change: str, bore: float) -> None:
    """Blasius; two easy bends of 12 fT each, fT 0.025 (Crane)."""
    flow, takes = cooler(shell, "cruise", "--change", change)
    assert smooth(flow, bore, 3) + 0.6 * head(flow, bore) == pytest.approx(takes["feed hose"], rel=0.06)


def test_5_a_barb_against_three_metres_of_hose(shell: Shell) -> None:
    """The same two steps, on the barb's hole, and 30 mm of it."""
    flow, takes = cooler(shell, "cruise", "--fit", "swing check")
    ratio = (12.5 / 16) ** 2
    steps = (0.5 * (1 - ratio) + (1 - ratio) ** 2) * head(flow, 0.0125)
    assert steps + smooth(flow, 0.0125, 0.03) == pytest.approx(takes["barb"], rel=0.06)
    assert takes["barb"] < takes["feed hose"] / 4


def test_6_after_the_cooler_only_elbow_height_and_gas_drive_the_branch(shell: Shell) -> None:
    row = solved(shell, "tee_after_cooler", "full")
    flow = row["runs"]["engine"]["flow_m3_s"]
    elbow = 10e3 * (flow / (170 * LITRE)) ** 2
    needed = elbow + DENSITY * GRAVITY * 0.4 + 6e3 + head(flow, 0.038)  # exit: one velocity head
    port = row["joints"]["tee-off"]["ports"]["straight"]
    assert needed == pytest.approx(port["total_pressure_pa"] + DENSITY * GRAVITY * 0.1, rel=0.02)


def found(shell: Shell, file: Path, setting: str, target: str, *options: str) -> float:
    """The value that `sweep --find` prints for the one condition and change asked for, in mm, rpm or per cent."""
    words = shell("sweep", file, "--find", setting, "--for", target, *options).words
    return float(words.split(": ")[1].split()[0])


def test_8_no_flow_stands_higher_than_the_tee_presses_it(shell: Shell) -> None:
    """What the engine's line asks for at idle, all water in it, less what the tee keeps: 0.9 velocity heads.

    The branch of a tee that takes nothing feels about the static pressure of the main (Gardel 1957).
    """
    options = ("--condition", "idle", "--change", "as found")
    height = found(shell, LINE_HAULER, "overboard.height", "oil cooler = 0 gpm", *options) / 1e3
    flow = 190 * LITRE * 700 / 2400 - 0.12 * 190 * LITRE / 1e5 * 10e3  # the pump works against some 10 kPa
    engine = 32e3 * (flow / (170 * LITRE)) ** 2 + DENSITY * GRAVITY * 0.4 + 6e3 * (700 / 2400) ** 2
    tee = engine + head(flow, 0.038) * (1 - 0.9)  # the exit into the exhaust, less the tee
    assert tee / DENSITY / GRAVITY == pytest.approx(height, rel=0.03)


def test_9_at_that_speed_it_gets_3_gpm(shell: Shell) -> None:
    rpm = found(shell, LINE_HAULER, "main.speed", "oil cooler = 3 gpm", "--condition", "cruise", "--change", "as found")
    flow, takes = cooler(shell, "cruise", "--set", f"main.speed = {rpm} rpm")
    assert 3 * GPM == pytest.approx(flow, rel=1e-4)
    row = solved(shell, "line_hauler", "cruise")  # all but the lift goes about as the square of the speed
    squared = sum(takes.values()) - takes["lift"]
    drive = row["runs"]["branch"]["drive_pa"] - takes["lift"]
    assert (rpm / 1700) ** 1.9 == pytest.approx(squared / drive, rel=0.02)


def test_10_the_hole_that_lets_the_bucket_fill(shell: Shell) -> None:
    """ISO 5167-2, 5.4, with C 0.62: the lasting loss of a sharp hole in a hose."""
    options = ("--condition", "cruise", "--change", "plugged")
    hole = found(shell, LINE_HAULER, "plug.hole", "oil cooler = 1.2 gpm", *options) / 1e3
    flow, takes = cooler(shell, "cruise", "--fit", "plug", "--set", f"plug.hole = {1e3 * hole} mm")
    assert 1.2 * GPM == pytest.approx(flow, rel=1e-4)
    ratio = (hole / 0.016) ** 2
    k = (math.sqrt(1 - ratio**2 * (1 - 0.62**2)) / (0.62 * ratio) - 1) ** 2
    assert k * head(flow, 0.016) == pytest.approx(takes["plug"], rel=0.02)


def test_17_the_speed_in_the_coil(shell: Shell) -> None:
    part = solved(shell, "line_hauler", "full")["parts"]["oil cooler"]
    assert speed(part["flow_m3_s"], 0.0138) == pytest.approx(part["velocity_m_s"])
    assert part["velocity_m_s"] > 0.9  # most for soft copper in sea water, a textbook's table of design speeds


def test_18_the_orifice_takes_what_the_other_leg_takes_more(shell: Shell) -> None:
    """Blasius for both legs, easy bends 12 fT, exits one head; the coolers are alike; ISO 5167-2 for the orifice."""
    file = FOLDER.parent / "two_coolers.yaml"
    options = ("--condition", "survey", "--change", "balancing orifice")
    bore = found(shell, file, "balancing orifice.bore", "gearbox cooler = winch cooler", *options) / 1e3
    setting = f"balancing orifice.bore = {1e3 * bore} mm"
    options = ("--fit", "balancing orifice", "--set", setting, "--condition", "survey", "--json")
    effects = {each["about"]: each["after"] for each in shell("compare", file, *options).json["effects"]}
    flow = effects["winch cooler"]
    assert flow == pytest.approx(effects["gearbox cooler"], rel=1e-3)
    warmer = (1.1 / 1.3) ** 0.25  # 18 degC
    winch = warmer * smooth(flow, 0.0127, 6) + (5 * 0.31 + 1) * head(flow, 0.0127)
    gearbox = warmer * smooth(flow, 0.016, 2.5) + (3 * 0.3 + 1) * head(flow, 0.016)
    ratio = (bore / 0.016) ** 2
    k = (math.sqrt(1 - ratio**2 * (1 - 0.62**2)) / (0.62 * ratio) - 1) ** 2
    assert k * head(flow, 0.016) == pytest.approx(winch - gearbox, rel=0.08)


def test_21_the_sea_runs_back_through_the_seal(shell: Shell) -> None:
    """Heeled, only the depth of the exhaust, 50 mm of water, drives it; what the parts take adds up to that."""
    row = solved(shell, "shaft_seal", "moored and heeled")
    flow = -row["runs"]["seal feed"]["flow_m3_s"]
    seal = 10e3 * (flow / (4 * LITRE)) ** 2
    reynolds = DENSITY * speed(flow, 0.010) * 0.010 / VISCOSITY
    hose = (64 / reynolds * 2.5 / 0.010 + 0.7) * head(flow, 0.010)  # laminar: Hagen-Poiseuille; two bends
    assert reynolds < 2000
    assert DENSITY * GRAVITY * 0.05 == pytest.approx(seal + hose, rel=0.05)


def test_22_the_vacuum_at_the_main_pump(shell: Shell) -> None:
    """The pump stands at the waterline: entrance, strainer, hose and the velocity head at the pump are its vacuum."""
    row = solved(shell, "shared_seacock", "both")
    both, main = (row["runs"][name]["flow_m3_s"] for name in ("inlet", "main suction"))
    strainer = 1.026 * PSI * (both / GPM / 35) ** 2
    hose = smooth(main, 0.032, 2) + 0.55 * head(main, 0.032)
    pump = row["parts"]["main pump"]["inlet_pressure_pa"]
    rest = -pump - strainer - hose - head(main, 0.032)
    grate = ((1.707 - 0.6) / 0.6) ** 2  # Idelchik: entrance through a grating of thin bars, 60 % open
    assert (grate + 0.07) * head(both, 0.038) == pytest.approx(rest, rel=0.05)  # and the seacock, 3 fT (Crane)
    assert 0.039 == pytest.approx(math.sqrt(1.1 * (0.032**2 + 0.019**2)), abs=0.0005)


@pytest.mark.parametrize(("change", "open_share"), [("half", 0.5), ("three quarters", 0.25)])
def test_23_24_a_covered_strainer_adds_its_own_drop_to_the_vacuum(shell: Shell, change: str, open_share: float) -> None:
    """The definition of Cv; all else that the gauge shows goes as the square of the flow, less the height of the pump."""
    rows = [solved(shell, "line_hauler", "full", which) for which in ("as found", f"weed strainer {change} covered")]
    flows = [row["runs"]["intake"]["flow_m3_s"] for row in rows]
    vacuum = [-row["parts"]["raw-water pump"]["inlet_pressure_pa"] for row in rows]
    strainer = [
        1.026 * PSI * (flow / GPM / 50 / share) ** 2 for flow, share in zip(flows, (1, open_share), strict=True)
    ]
    height = DENSITY * GRAVITY * 0.1
    rest = (vacuum[0] - strainer[0] - height) * (flows[1] / flows[0]) ** 2
    assert rest + strainer[1] + height == pytest.approx(vacuum[1], rel=0.02)


@pytest.mark.parametrize(("condition", "depth"), [("moored", 0.1), ("heeled", 0.4)])
@pytest.mark.parametrize("change", ["no loop", "vent stuck shut"])
def test_25_26_the_sea_creeps_through_a_pump_at_rest(shell: Shell, condition: str, depth: float, change: str) -> None:
    """Its slip, 12 % of 45 L/min at a bar, under the depth of the exhaust; with a loop that breaks it, nothing."""
    flow = solved(shell, "siphon", condition, change)["runs"]["intake"]["flow_m3_s"]
    slip = 0.12 * 45 * LITRE * DENSITY * GRAVITY * depth / 1e5
    assert slip == pytest.approx(flow, rel=0.01)
    assert solved(shell, "siphon", condition)["runs"]["falling"]["flow_m3_s"] == 0


def test_27_a_scoop_presses_water_through_a_generator_at_rest(shell: Shell) -> None:
    """Half of the velocity pressure of 20 kn is caught (common practice, no source); slip is 12 % at a bar."""
    row = solved(shell, "scoop", "twenty knots", "forward scoop")
    ram = 0.5 * DENSITY / 2 * (20 * 0.5144) ** 2
    inlet = row["parts"]["generator pump"]["inlet_pressure_pa"]
    strainer = 1.026 * PSI * (row["runs"]["inlet"]["flow_m3_s"] / GPM / 40) ** 2
    assert ram - strainer - 1.0 * head(row["runs"]["inlet"]["flow_m3_s"], 0.038) == pytest.approx(inlet, rel=0.08)
    flow = row["runs"]["generator suction"]["flow_m3_s"]
    assert 0.12 * 25 * LITRE / 1e5 * (inlet - DENSITY * GRAVITY * 0.2) == pytest.approx(flow, rel=0.02)


def test_28_the_pump_works_where_its_curve_meets_the_circuit(shell: Shell) -> None:
    flow, takes = cooler(shell, "as written", "--change", "500 gph", file=FOLDER / "electric_pump.yaml")
    gph = flow / GPM * 60
    straight = 2.4 - (2.4 - 1.7) * gph / 250  # m, between the two points of the curve beside it
    assert straight == pytest.approx(sum(takes.values()) / DENSITY / GRAVITY, rel=0.05)


def test_29_three_legs_share_one_pressure(shell: Shell) -> None:
    file = FOLDER / "condensers.yaml"
    row = next(each for each in shell("solve", file, "--json").json["rows"] if each["change"] == "oil cooler tapped in")
    flows = {name: run["flow_m3_s"] for name, run in row["runs"].items()}
    for leg, length, drop in (("port leg", 3, 10e3), ("starboard leg", 5, 10e3), ("oil leg", 2, 6e3)):
        flow = flows[leg]
        taken = smooth(flow, 0.016, length) * (0.95e-3 / VISCOSITY) ** 0.25 + 1.66 * head(flow, 0.016)  # 22 degC
        taken += drop * (flow / (12 * LITRE)) ** 2 + 998 * GRAVITY * 0.3
        level = row["joints"]["manifold"]["ports"][leg]["total_pressure_pa"] + 998 * GRAVITY * 0.2
        assert taken == pytest.approx(level, rel=0.04)
    assert sum(flows[leg] for leg in ("port leg", "starboard leg", "oil leg")) == pytest.approx(flows["supply"])


def test_30_a_worn_impeller(shell: Shell) -> None:
    """A quarter less at no pressure, and twice the slip (estimates from makers' curves)."""
    data = shell("compare", LINE_HAULER, "--set", "raw-water pump.worn = 25 %", "--condition", "full", "--json").json
    flow = sum(each["after"] for each in data["effects"])
    lost = 0.75 * 190 * LITRE - flow
    rise = lost / (2 * 0.12 * 190 * LITRE / 1e5)
    row = solved(shell, "line_hauler", "full")
    pump = -row["parts"]["raw-water pump"]["pressure_drop_pa"]
    fresh = sum(each["before"] for each in data["effects"])
    assert pump * (flow / fresh) ** 2 == pytest.approx(rise, rel=0.15)  # what the circuit asks goes about as the square


def test_34_corrugated_hose_has_two_and_a_half_times_the_friction(shell: Shell) -> None:
    options = ("--set", "feed hose.wall = corrugated", "--set", "return hose.wall = corrugated")
    flow, takes = cooler(shell, "cruise", *options)
    assert 2.5 * smooth(flow, 0.016, 3) + 0.6 * head(flow, 0.016) == pytest.approx(takes["feed hose"], rel=0.06)


@pytest.mark.parametrize(("angle", "k"), [(20, 1.56), (40, 17.3), (60, 206)])
def test_35_a_ball_valve_part_shut(shell: Shell, angle: int, k: float) -> None:
    """Weisbach's measurements on a cock, 1855, as handbooks repeat them."""
    flow, takes = cooler(shell, "cruise", "--set", f"branch valve.shut = {angle} deg")
    assert k * head(flow, 0.016) == pytest.approx(takes["branch valve"], rel=0.08)


def test_36_what_the_exhaust_gets(shell: Shell) -> None:
    data = shell("compare", LINE_HAULER, "--change", "return to the exhaust", "--condition", "cruise", "--json").json
    before = {each["about"]: each["before"] for each in data["effects"]}
    (share,) = data["diverted"]
    assert before["oil cooler"] / sum(before.values()) == pytest.approx(share["before"])
    assert share["after"] == pytest.approx(0, abs=1e-9)


def test_40_a_tenth_more_bore(shell: Shell) -> None:
    """The linear answer of the sensitivity against the coil really made a tenth wider."""
    told = shell("solve", LINE_HAULER, "--change", "as found", "--condition", "cruise", "--sensitivity", "oil cooler")
    assert "+14.8 %" in told.out
    data = shell("compare", LINE_HAULER, "--set", "oil cooler.bore = 15.18 mm", "--condition", "cruise", "--json").json
    effect = next(each for each in data["effects"] if each["about"] == "oil cooler")
    assert 10 < effect["percent"] < 14.8
