"""Finding the fault: what would be read is what the circuit gives, and what was read points at what is wrong.

The readings are of circuits written with the fault in them, solved as any other and not by the diagnosis.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import multivariate_normal

import netsolve
from netsolve.result import RowResult
from netsolve.study.diagnosis.between import blur, finer
from netsolve.study.diagnosis.blown import likelihood
from netsolve.study.diagnosis.diagnose import Diagnosis, diagnose, diagnosis_to_dict
from netsolve.study.diagnosis.evidence import normal
from netsolve.study.diagnosis.fault import faults
from netsolve.study.diagnosis.gain import _information, _mutual
from netsolve.study.diagnosis.nearer import nearer
from netsolve.study.diagnosis.pairs import COARSE, Pair, can_be_paired, pair_fit
from netsolve.study.diagnosis.predicted import NODES, Predicted, predict
from netsolve.study.diagnosis.probe import Probe, Reading, Situation
from netsolve.study.diagnosis.ranking import ranked
from netsolve.study.diagnosis.read import read_text
from netsolve.study.diagnosis.rows import row_of
from netsolve.study.diagnosis.seen import Seen, seen
from tests.commands import CIRCUITS, POT_HAULER, Shell, edited

CIRCUIT = netsolve.load(POT_HAULER)
CRUISE, IDLE = Situation("cruise"), Situation("idle")
SCREENED = Situation("cruise", "screen and check valve")
WEIGHT = float(CIRCUIT.as_found.water.density) * 9.80665

PLUG = "      - plug: {{type: blockage, hole: {hole} mm, bore: 13.8 mm}}\n"
COOLER = "      - oil cooler:     {"


def with_plug(hole: float) -> str:
    """The pot hauler with something stuck before its oil cooler."""
    return edited(COOLER, PLUG.format(hole=hole) + COOLER)


def solved(text: str, condition: str = "cruise", change: str = "as found") -> RowResult:
    return netsolve.solve(netsolve.loads(text))[condition, change]


def sight(situation: Situation) -> Seen:
    row = row_of(CIRCUIT, situation)
    return seen(row, {("raw-water pump", "worn"): np.zeros(1)})


def read(probe: Probe) -> float:
    return float(sight(probe.situation).read(probe)[0])


def given(row: RowResult, *, bucket: str = "", gauge: float = 500, vacuum: float = 1000) -> list[str]:
    """What a technician reads in a row: a bucket, a gauge at the tee, one at the pump."""
    lines = [f"pressure: tee-off.common, condition: {row.condition}, value: {port(row):.1f} Pa, accuracy: {gauge} Pa"]
    inlet = row.part("raw-water pump").inlet_pressure or 0.0
    lines.append(
        f"vacuum: raw-water pump.in, condition: {row.condition}, value: {-inlet:.1f} Pa, accuracy: {vacuum} Pa"
    )
    flow = row.run("oil cooler branch").flow or 0.0
    if flow:
        seconds = 0.010 / flow
        lines.append(f"bucket: oil cooler branch, condition: {row.condition}, volume: 10 L, took: {seconds:.2f} s")
    else:
        lines.append(f"bucket: oil cooler branch, condition: {row.condition}, found: nothing")
    return lines


def port(row: RowResult) -> float:
    pressure = row.joint("tee-off").ports["common"].pressure
    assert pressure is not None
    return pressure


def found(lines: list[str]) -> Diagnosis:
    return diagnose(CIRCUIT, read_text("readings:\n" + "".join(f"  - {{{line}}}\n" for line in lines), CIRCUIT))


def first(diagnosis: Diagnosis) -> str:
    return diagnosis.ranking.suspects[0].name


def test_room_for_plugs_changes_no_flow():
    for condition in CIRCUIT.conditions:
        row = netsolve.solve(CIRCUIT)[condition, "screen and check valve"]
        there = sight(Situation(condition, "screen and check valve"))
        flows = {name: float(there.flow(name)[0]) for name in row.runs}
        assert {name: run.flow for name, run in row.runs.items()} == pytest.approx(flows, rel=1e-6)


@pytest.mark.parametrize("part", ["raw-water pump", "weed strainer", "oil cooler", "return hose", "engine cooler"])
def test_a_gauge_shows_the_static_pressure_at_its_place(part: str):
    row = netsolve.solve(CIRCUIT)["cruise", "as found"].part(part)
    expected = [row.inlet_pressure, row.outlet_pressure]
    assert expected == pytest.approx(
        [read(Probe("pressure", (f"{part}.{end}",), CRUISE)) for end in ("in", "out")], abs=5
    )


def test_a_gauge_at_a_port_of_a_joint_shows_the_static_pressure_there():
    row = netsolve.solve(CIRCUIT)["cruise", "as found"]
    for name in ("common", "straight", "branch"):
        expected = row.joint("tee-off").ports[name].pressure
        assert expected == pytest.approx(read(Probe("pressure", (f"tee-off.{name}",), CRUISE)), abs=5)


def test_a_gauge_held_lower_shows_the_water_in_its_line_as_well():
    high, low = (read(Probe("pressure", ("tee-off.common",), CRUISE, height)) for height in (0.5, -0.1))
    assert 0.6 * WEIGHT == pytest.approx(low - high)


def test_a_vacuum_gauge_shows_what_is_missing():
    shown = [read(Probe(kind, ("raw-water pump.in",), CRUISE)) for kind in ("vacuum", "pressure")]
    assert shown[0] == pytest.approx(-shown[1])
    assert shown[0] > 0


def test_a_bucket_held_lower_moves_the_end_of_the_run_there():
    expected = (
        solved(edited("discharge, height: 0.2 m", "discharge, height: -0.3 m, into: air"), "idle")
        .run("oil cooler branch")
        .flow
    )
    moved = Situation("idle", end="oil cooler branch", height=-0.3)
    assert expected == pytest.approx(read(Probe("bucket", ("oil cooler branch",), moved)), rel=1e-6)


def test_an_opened_hose_is_an_opening_there():
    text = POT_HAULER.read_text(encoding="utf-8")
    last = next(line for line in text.splitlines() if "- return hose:" in line)
    shorter = text.replace(last + "\n", "").replace("height: 0.2 m, bore: 16 mm", "height: 0.4 m, bore: 13.8 mm")
    opened = Situation("idle", opened="oil cooler", height=0.4)
    expected = solved(shorter, "idle").run("oil cooler branch").flow
    assert expected == pytest.approx(read(Probe("opened", ("oil cooler",), opened)), rel=1e-4)


def test_every_way_of_failing_that_a_component_declares_is_thought_of():
    named = {each.name for each in faults(row_of(CIRCUIT, SCREENED), 5)}
    assert {
        "weed strainer: blinded", "mesh screen: blinded", "seacock: partly closed", "raw-water pump: worn",
        "raw-water pump: air leak", "engine cooler: fouled", "oil cooler: scaled up", "check valve: backwards",
        "feed hose: plugged", "oil cooler branch: the model is wrong here", "nothing is wrong",
    } <= named  # fmt: skip


def test_how_likely_all_faults_are_before_anything_is_read_adds_up_to_one():
    assert 1 == pytest.approx(sum(each.prior for each in faults(row_of(CIRCUIT, SCREENED), 5)))


@pytest.mark.parametrize("hole", [3, 5, 7])
def test_a_plug_is_found_in_its_branch_with_the_hole_that_it_leaves(hole: float):
    diagnosis = found(given(solved(with_plug(hole))))
    plugs = [each for each in diagnosis.ranking.suspects if each.name == "oil cooler: plugged"]
    (estimate,) = plugs[0].estimates
    assert estimate.low < hole * 1e-3 < estimate.high
    branch = {"oil cooler", "feed hose", "return hose", "oil cooler branch"}
    assert sum(each.probability for each in diagnosis.ranking.suspects if each.estimates[0].part in branch) > 0.9


def test_a_flow_alone_does_not_tell_where_in_the_branch_the_plug_is():
    alike = diagnosis_to_dict(found(given(solved(with_plug(5)))))["cannot_tell_apart"]
    assert any({"feed hose", "oil cooler", "return hose"} <= set(group) for group in alike)


def test_with_a_pressure_in_between_it_is_known_on_which_side_the_plug_is():
    row = solved(with_plug(5))
    between = row.part("oil cooler").outlet_pressure
    lines = [*given(row), f"pressure: oil cooler.out, condition: cruise, value: {between:.0f} Pa, accuracy: 500 Pa"]
    suspects = found(lines).ranking.suspects
    behind = sum(each.probability for each in suspects if each.name == "return hose: plugged")
    before = sum(each.probability for each in suspects if each.name in ("oil cooler: plugged", "feed hose: plugged"))
    assert before > 100 * behind


@pytest.mark.parametrize(
    ("old", "new", "name"),
    [
        (
            "rated_speed: 2600 rpm, height: 0 m}",
            "rated_speed: 2600 rpm, height: 0 m, worn: 35 %}",
            "raw-water pump: worn",
        ),
        ("cv: 50,", "cv: 50, blinded: 75 %,", "weed strainer: blinded"),
        ("drop: 25 kPa, at: 150 L/min,", "drop: 25 kPa, at: 150 L/min, fouled: 3,", "engine cooler: fouled"),
    ],
)
def test_a_shared_fault_is_found_at_its_part_or_told_to_look_like_others(old: str, new: str, name: str):
    row = solved(edited(old, new))
    strained = row.part("weed strainer")
    drop = (strained.inlet_pressure or 0) - (strained.outlet_pressure or 0)
    strainer = (
        f"difference: [weed strainer.in, weed strainer.out], condition: cruise, value: {drop:.0f} Pa, accuracy: 800 Pa"
    )
    ranking = found([*given(row), strainer]).ranking
    alike = [each.name for group in ranking.alike for each in group if ranking.suspects[0] in group]
    assert name in (alike or [ranking.suspects[0].name])
    assert sum(each.probability for each in ranking.suspects[:3] if each.estimates[0].part == name.split(":")[0]) > 0.3


@pytest.mark.parametrize("hole", [1.845, 2.4, 4.0])
def test_a_plug_that_leaves_next_to_nothing_is_not_ruled_out_for_lying_between_two_solved_ones(hole: float):
    """There the flows of the engine and the branch come to rest, one soon after the other."""
    before = "      - suction hose:"
    plug = f"      - plug: {{type: blockage, hole: {hole} mm, bore: 38 mm}}\n"
    lines = []
    for condition in ("idle", "cruise"):
        row = solved(edited(before, plug + before), condition)
        for run in ("engine", "oil cooler branch"):
            flow = row.run(run).flow or 0.0
            caught = f"volume: 5 L, took: {0.005 / flow:.1f} s" if flow > 1e-6 else "found: nothing"
            lines.append(f"bucket: {run}, condition: {condition}, {caught}")
    suspects = found(lines).ranking.suspects
    before_the_pump = {"suction hose: plugged", "seacock: plugged", "weed strainer: plugged"}
    assert sum(each.probability for each in suspects if each.name in before_the_pump) > 0.5


def test_a_hose_end_that_is_not_known_exactly_is_known_where_the_bucket_was_held():
    text = edited("type: discharge, height: 0.2 m", "type: discharge, height: 0.2 m ± 0.1 m")
    circuit = netsolve.loads(text)
    name = next(name for name, place in circuit.as_found.places.items() if place.spreads)
    installed, held = Situation("idle"), Situation("idle", end="oil cooler branch", height=-0.3)

    def carried(situation: Situation) -> set[str]:
        return {each.name for each in predict(circuit, [Probe("bucket", ("oil cooler branch",), situation)]).unsure}

    assert name in carried(installed)
    assert name not in carried(held)


def test_what_lies_between_nodes_is_as_unclear_as_it_is():
    """Of a bend too sharp for its nodes: nine of ten places within two of what it is said to be off."""
    nodes, places = np.linspace(0.0, 1.0, 25), np.linspace(0.0, 24.0, 241)
    steep = np.maximum(0.0, 1.0 - (nodes / 0.37) ** 3)[:, None]
    true = np.maximum(0.0, 1.0 - (places / 24 / 0.37) ** 3)[:, None]
    off, unclear = np.abs(finer(steep, places) - true), blur(steep, places)
    assert off.max() > 0.02
    assert np.mean(off <= 2 * unclear + 1e-9) > 0.9
    assert 0 == pytest.approx(blur(np.linspace(0, 1, 25)[:, None], places), abs=1.3e-3)  # a step's share alone
    assert not blur(np.ones((1, 2)), np.zeros(1)).any()


def test_where_a_row_has_no_answer_nothing_that_is_read_comes_near():
    assert np.isfinite(finer(np.array([[np.nan, 1.0]]), np.zeros(3))).all()
    assert finer(np.array([[np.nan, 1.0]]), np.zeros(3))[:, 1] == pytest.approx(1.0)


def test_a_sound_circuit_is_not_said_to_be_faulty():
    suspects = found(given(solved(POT_HAULER.read_text(encoding="utf-8")))).ranking.suspects
    sound = next(each for each in suspects if each.name == "nothing is wrong")
    assert sound.probability > 3 * next(each.probability for each in suspects if each.name == "oil cooler: plugged")


def test_readings_that_nothing_explains_are_said_to_be_wrong_or_the_model():
    lines = given(solved(POT_HAULER.read_text(encoding="utf-8")))
    lines[0] = "pressure: tee-off.common, condition: cruise, value: -20 kPa, accuracy: 1 kPa"
    assert "the model or a reading is wrong" == first(found(lines))


def test_two_faults_are_found_where_one_does_not_explain_the_readings():
    text = with_plug(4.5).replace("cv: 50,", "cv: 50, blinded: 80 %,")
    suspect = found(given(solved(text), vacuum=800)).ranking.suspects[0]
    assert {"weed strainer", "suction hose", "seacock", "intake"} & {each.part for each in suspect.estimates}
    assert {"oil cooler", "feed hose", "return hose"} & {each.part for each in suspect.estimates}


def test_a_check_valve_fitted_backwards_is_told_from_a_plug_by_blowing():
    lines = [
        "bucket: oil cooler branch, condition: cruise, change: screen and check valve, found: nothing",
        "blow: [check valve, check valve], change: screen and check valve, found: other way",
    ]
    assert "check valve: backwards" == first(found(lines))


def test_a_check_valve_fitted_backwards_is_found_beside_another_fault():
    text = edited("cv: 50,", "cv: 50, blinded: 80 %,").replace(
        "  cooler branch closed:",
        "  wrong way: {also: screen and check valve, set: {check valve.backwards: yes}}\n  cooler branch closed:",
    )
    row = solved(text, change="wrong way")
    assert row.run("oil cooler branch").flow == pytest.approx(0.0, abs=1e-8)
    lines = [
        each.replace("condition:", "change: screen and check valve, condition:") for each in given(row, vacuum=800)
    ]
    suspect = found(
        [*lines, "blow: [check valve, check valve], change: screen and check valve, found: other way"]
    ).ranking.suspects[0]
    assert "check valve: backwards" in {each.name for each in suspect.estimates}
    assert {"weed strainer", "suction hose", "seacock", "intake"} & {each.part for each in suspect.estimates}


def test_two_flags_at_once_are_not_tried_nor_two_faults_of_one_part():
    named = {each.name: each for each in faults(row_of(CIRCUIT, SCREENED), 13)}
    backwards, plug = named["check valve: backwards"], named["oil cooler: plugged"]
    assert can_be_paired(backwards, plug)
    assert not can_be_paired(backwards, replace(backwards, part="another valve"))
    assert not can_be_paired(plug, named["oil cooler: scaled up"])


def test_a_jumping_needle_points_at_air_and_a_still_one_at_wear():
    worn = edited("rated_speed: 2600 rpm, height: 0 m}", "rated_speed: 2600 rpm, height: 0 m, worn: 20 %}")
    bucket, *gauges = reversed(given(solved(worn)))
    chance = {}
    for steady in ("yes", "no"):
        suspects = found([bucket, *(f"{each}, steady: {steady}" for each in gauges)]).ranking.suspects
        chance[steady] = {each.name: each.probability for each in suspects}
    ratio = {key: each["raw-water pump: air leak"] / each["raw-water pump: worn"] for key, each in chance.items()}
    assert ratio["no"] / ratio["yes"] == pytest.approx((0.8 / 0.1 * 0.9 / 0.2) ** 2, rel=0.01)


def test_readings_under_several_changes_are_weighed_together():
    """The screen is blinded: as found it is not there, and the branch flows as it should."""
    blinded = edited("cv: 8, mesh: 60, fitted: no", "cv: 8, mesh: 60, fitted: no, blinded: 80 %")
    lines = []
    for change in ("as found", "screen"):
        flow = solved(blinded, "cruise", change).run("oil cooler branch").flow or 0.0
        lines.append(
            f"bucket: oil cooler, condition: cruise, change: {change}, volume: 10 L, took: {0.010 / flow:.2f} s"
        )
    screen = [each for each in found(lines).ranking.suspects if each.estimates[0].part == "mesh screen"]
    assert sum(each.probability for each in screen) > 0.9
    (estimate,) = next(each for each in screen if each.name == "mesh screen: blinded").estimates
    assert estimate.low < 0.8 < estimate.high


def test_the_likelihood_is_that_of_a_normal_with_the_uncertain_numbers_in_its_covariance():
    """Against scipy's own multivariate normal."""
    draw = np.random.default_rng(2)
    off, slopes, deviations = draw.normal(size=(4, 3)), draw.normal(size=(4, 3, 2)), np.array([0.5, 1.0, 2.0])
    logs, _ = normal(off, slopes, deviations)
    expected = [
        multivariate_normal.logpdf(one, cov=np.diag(deviations**2) + effects @ effects.T)
        for one, effects in zip(off, slopes, strict=True)
    ]
    assert expected == pytest.approx(logs)


def test_a_test_that_separates_two_suspects_tells_one_bit_and_one_that_does_not_tells_none():
    apart, same = np.array([[0.0], [100.0]]), np.array([[0.0], [0.0]])
    even = np.array([0.5, 0.5])
    assert 1 == pytest.approx(_information(apart, np.ones((2, 1)), even), abs=1e-3)
    assert 0 == pytest.approx(_information(same, np.ones((2, 1)), even), abs=1e-6)


def test_information_is_that_of_a_channel_that_errs_one_time_in_ten():
    """Two suspects, a word that is wrong one time in ten: 1 - H(0.1) = 0.531 bits (Shannon 1948)."""
    assert _mutual(np.array([[0.9, 0.1], [0.1, 0.9]]), np.array([0.5, 0.5])) == pytest.approx(0.531, abs=1e-3)


def test_what_passes_freely_is_called_open_and_what_does_not_blocked():
    free, little, shut = (np.array([share, share]) for share in (1.0, 0.3, 0.0))
    for word, passing in (("open", free), ("partly", little), ("blocked", shut)):
        others = {"open", "partly", "blocked"} - {word}
        assert all(likelihood(word, passing) > likelihood(other, passing) for other in others)
    assert likelihood("one way", np.array([1.0, 0.0])) > 0.9
    assert likelihood("other way", np.array([0.0, 1.0])) > 0.9


def test_the_next_best_test_tells_the_suspects_apart():
    diagnosis = found(given(solved(with_plug(5))))
    best = diagnosis.tests[0]
    assert all(best.worth >= each.worth for each in diagnosis.tests)
    assert 0 < best.expected.gain <= np.log2(len(best.expected.values or best.expected.words))
    assert best.probe not in [each.reading.probe for each in diagnosis.readings]


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def test_json_ranks_what_may_be_wrong(shell: Shell) -> None:
    data = shell("diagnose", POT_HAULER, CIRCUITS / "readings/pot_hauler.yaml", "--json").json
    assert {"part", "fault", "parameter", "estimate", "low", "high", "probability"} <= set(data["ranked"][0])
    assert 1 == pytest.approx(sum(each["probability"] for each in data["ranked"]))
    chances = [each["probability"] for each in data["ranked"]]
    assert sorted(chances, reverse=True) == chances
    assert {"test", "gain", "expected"} <= set(data["next_tests"][0])


def test_the_command_says_what_is_likely_what_to_do_next_and_what_to_beware_of(shell: Shell) -> None:
    done = shell("diagnose", POT_HAULER, CIRCUITS / "readings/pot_hauler.yaml", "--units", "us")
    assert 0 == done.status
    assert max(map(len, done.out.splitlines())) <= 80
    for said in ("oil cooler", "cannot tell apart", "next best test", "seacock closed", "carbon monoxide"):
        assert said in done.words


def test_a_reading_is_kept_as_it_was_read():
    diagnosis = found(given(solved(with_plug(5))))
    assert all(isinstance(each.reading, Reading) for each in diagnosis.readings)
    assert solved(with_plug(5)).run("oil cooler branch").flow == pytest.approx(
        diagnosis.readings[2].reading.value, rel=1e-3
    )


def test_a_fault_is_looked_at_more_closely_where_a_flow_comes_to_rest():
    """The engine's flow stops where the suction is all but plugged, between two of the values tried at first."""
    circuit = netsolve.load(CIRCUITS / "two_coolers.yaml")
    hole, runs = 3.45e-3, ("gearbox leg", "engine")
    probes = [Probe("bucket", (run,), Situation(name)) for run in runs for name in ("idle", "survey", "full")]
    first = predict(circuit, probes)
    named = next(each.fault for each in first.under if each.fault.name == "suction hose: plugged")
    ((field, _),) = named.fields.items()
    truth = np.array(
        [seen(row_of(circuit, each.situation), {field: np.array([hole])}).read(each)[0] for each in probes]
    )
    readings = [Reading(each, value, each.deviation(value)) for each, value in zip(probes, truth, strict=True)]
    closer = nearer(first, readings, range(len(probes)))

    def off(predicted: Predicted) -> float:
        """By how many standard deviations it shows anything else at the true hole."""
        fine = next(each.fine for each in predicted.under if each.fault.name == named.name)
        at = int(np.abs(fine.values - hole).argmin())
        return float(np.max(np.abs(fine.shown[at] - truth) / [each.deviation for each in readings]))

    assert off(first) > 5
    assert off(closer) < 1
    before, after = (ranked(each, readings, range(len(probes))).suspects for each in (first, closer))
    plugs = {"suction hose: plugged", "seacock: plugged", "weed strainer: plugged"}
    chances = [sum(each.probability for each in suspects if each.name in plugs) for suspects in (before, after)]
    assert chances[0] < 0.1
    assert chances[1] > 0.6


def test_a_closer_look_weighs_a_fault_as_before_where_it_was_clear_enough():
    probes = [Probe("bucket", ("oil cooler branch",), CRUISE), Probe("pressure", ("tee-off.common",), CRUISE)]
    first = predict(CIRCUIT, probes)
    row = solved(with_plug(5.0))
    flow, pressure = row.run("oil cooler branch").flow or 0.0, port(row)
    readings = [Reading(probes[0], flow, 0.025 * flow), Reading(probes[1], pressure, 2500.0)]
    both = [ranked(each, readings, (0, 1)) for each in (first, nearer(first, readings, (0, 1)))]
    before, after = ({each.name: each for each in ranking.suspects} for ranking in both)
    assert before.keys() == after.keys()
    for name, suspect in before.items():
        assert after[name].probability == pytest.approx(suspect.probability, rel=0.1, abs=0.01)


def test_two_faults_between_their_values_are_not_ruled_out_by_readings_finer_than_these():
    """What two probes show bends along both; read at a pair of values in between, far better than the steps."""
    holes = [each for each in faults(row_of(CIRCUIT, CRUISE), NODES) if each.name.endswith("hose: plugged")][:2]
    nodes = np.linspace(0.0, 1.0, COARSE)

    def shown(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.stack([np.exp(-2 * x - y), np.maximum(0.0, 1 - x * x - 0.5 * y)], axis=-1)

    grid = np.meshgrid(nodes, nodes, indexing="ij")
    pair = Pair((holes[0], holes[1]), shown(*grid), np.zeros((COARSE, COARSE, 2, 0)), {})
    probe = Probe("bucket", ("oil cooler branch",), CRUISE)
    values = shown(np.array(0.337), np.array(0.613))
    readings = [Reading(probe, float(value), 1e-4) for value in values]
    assert pair_fit(pair, readings, (0, 1)).left < 4.0
    far = [Reading(probe, float(value) + 0.5, 1e-4) for value in values]
    assert pair_fit(pair, far, (0, 1)).left > 100.0
