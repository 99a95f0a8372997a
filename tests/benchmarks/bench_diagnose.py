"""A simulated bench: cases with a fault drawn at random, read as a technician would, and diagnosed.

`python -m tests.benchmarks.bench_diagnose [CASES [SEED]]`. The truth is a circuit whose bores, coefficients and
pump are off within their bands, and which the diagnosis does not know; the readings have the errors of 5.1's sort, as
`probe.py` has them. Four questions: is the right part first after an hour of readings; how often is a part that is all but
sure the wrong one; do the ranges hold the truth; how many tests does the next best test save against the cheapest first.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

import netsolve
from netsolve.arrays.stack import Floats
from netsolve.study.diagnosis.blown import BLOWN_WORDS, likelihood, ratios
from netsolve.study.diagnosis.candidates import candidates, effort
from netsolve.study.diagnosis.diagnose import best_tests, diagnose
from netsolve.study.diagnosis.evidence import normal
from netsolve.study.diagnosis.fault import NOTHING_WRONG, WRONG_HERE, Fault
from netsolve.study.diagnosis.nearer import nearer
from netsolve.study.diagnosis.predicted import Predicted, covered, predict
from netsolve.study.diagnosis.probe import Probe, Reading
from netsolve.study.diagnosis.ranking import Ranking, ranked
from netsolve.study.diagnosis.read import read_file
from netsolve.study.diagnosis.rows import row_of
from netsolve.study.diagnosis.seen import seen
from netsolve.study.uncertain import uncertain

SEED = 20
CIRCUITS = (
    ("circuits/pot_hauler.yaml", "screen and check valve"),
    ("circuits/two_coolers.yaml", "as found"),
    ("circuits/reference_diesel_as_fitted.yaml", "as found"),
)
HOUR = 60.0
SURE, MOST_TESTS = 0.9, 15
APART = 9.0
"""Squared standard deviations between what two faults show, from which on a case can be told apart."""


@dataclass(frozen=True)
class Case:
    """A fault with one value of its parameter, and what every probe of its circuit shows of it: values or ratios."""

    fault: Fault
    value: float
    shown: Floats
    passing: dict[int, Floats]


@dataclass(frozen=True)
class Bench:
    """A circuit with every probe predicted, and cases of it."""

    predicted: Predicted
    cases: tuple[Case, ...]


def made(path: str, change: str, count: int, draw: np.random.Generator) -> Bench:
    """A circuit and so many cases of it."""
    circuit = netsolve.load(path)
    row = next(each for each in circuit.rows if each.change == change)
    probes = candidates(circuit, [name for name, part in row.parts.items() if part.fitted], change)
    predicted = predict(circuit, probes)
    under = [each for each in predicted.under if each.fault.fault not in (NOTHING_WRONG, WRONG_HERE)]
    weights = np.array([each.fault.prior for each in under])
    picked = draw.choice(len(under), size=count, p=weights / weights.sum())
    drawn = [_with_value(under[index].fault, draw) for index in picked]
    off = draw.standard_normal((count, len(uncertain(row_of(circuit, probes[0].situation)))))
    return Bench(predicted, tuple(_cases(predicted, drawn, off)))


def _with_value(fault: Fault, draw: np.random.Generator) -> Fault:
    """The fault with one value, anywhere between its nodes."""
    at = draw.uniform(0, len(fault.values) - 1)
    nodes = np.arange(len(fault.values))
    fields = {field: np.array([np.interp(at, nodes, values)]) for field, values in fault.fields.items()}
    value = np.array([np.interp(at, nodes, fault.values)])
    return Fault(fault.part, fault.fault, fault.parameter, fault.kind, value, fault.prior, fields, fault.record)


def _cases(predicted: Predicted, drawn: Sequence[Fault], off: Floats) -> Iterator[Case]:
    shown = np.zeros((len(drawn), len(predicted.probes)))
    passing: list[dict[int, Floats]] = [{} for _ in drawn]
    for situation in dict.fromkeys(probe.situation for probe in predicted.probes):
        row = row_of(predicted.circuit, situation)
        unsure = uncertain(row)
        for records in {id(fault.record): fault.record for fault in drawn}.values():
            mine = [index for index, fault in enumerate(drawn) if fault.record is records]
            fields = {(each.name, each.field): each.at(off[mine, number]) for number, each in enumerate(unsure)}
            for place, index in enumerate(mine):
                for field, values in drawn[index].fields.items():
                    now = float(getattr(row.parts[field[0]].component, field[1]))
                    fields.setdefault(field, np.full(len(mine), now))[place] = values[0]
            sight = seen(drawn[mine[0]].row(row), fields)
            for at, probe in enumerate(predicted.probes):
                if probe.situation == situation and probe.kind not in ("blow", "contents"):
                    shown[mine, at] = sight.read(probe)
        for at, probe in enumerate(predicted.probes):
            for index, fault in enumerate(drawn):
                if probe.situation == situation and probe.kind == "contents":
                    shown[index, at] = covered(row, probe.names[0], fault)[0]
                if probe.situation == situation and probe.is_word:
                    passing[index][at] = ratios(row, probe.names, fault)[0]
    for index, fault in enumerate(drawn):
        yield Case(fault, float(fault.values[0]), shown[index], passing[index])


def read(bench: Bench, case: Case, at: int, draw: np.random.Generator) -> Reading:
    """What a technician reads with the probe with this place."""
    probe = bench.predicted.probes[at]
    if probe.is_word:
        chances = np.array([float(likelihood(word, case.passing[at])) for word in BLOWN_WORDS])
        return Reading(probe, found=str(draw.choice(BLOWN_WORDS, p=chances / chances.sum())))
    truth = float(case.shown[at])
    value = truth + probe.deviation(abs(truth)) * draw.standard_normal()
    return Reading(probe, value, probe.deviation(abs(value)))


def in_an_hour(probes: Sequence[Probe]) -> list[int]:
    """The probes of a fixed hour, the cheapest first."""
    chosen, spent = [], 0.0
    for at in cheapest_first(probes):
        minutes = effort(probes[at], [Reading(probes[each]) for each in chosen])
        if spent + minutes > HOUR:
            break
        chosen.append(at)
        spent += minutes
    return chosen


def cheapest_first(probes: Sequence[Probe]) -> list[int]:
    """All probes, the cheapest first; of those that cost alike, in the condition that shows most: cruise."""
    return sorted(range(len(probes)), key=lambda at: (effort(probes[at], []), probes[at].situation.condition == "idle"))


def can_be_told_apart(bench: Bench, case: Case, chosen: Sequence[int]) -> bool:
    """Whether no fault of another part, and no sound circuit, shows the same within the errors of the readings."""
    probes = bench.predicted.probes
    at = [each for each in chosen if not probes[each].is_word]
    deviations = np.array([probes[each].deviation(abs(float(case.shown[each]))) for each in at])
    for under in bench.predicted.under:
        if under.fault.part == case.fault.part:
            continue
        fine = under.fine
        _, left = normal(case.shown[at] - fine.shown[:, at], fine.slopes[:, at], deviations)
        words = sum(np.abs(fine.ratios[each][:, 0] - case.passing[each][0]) for each in chosen if probes[each].is_word)
        if float((left + 10 * np.asarray(words)).min()) < APART:
            return False
    return True


def chance_of(ranking: Ranking, part: str) -> float:
    """How likely it is that this part is at fault."""
    return sum(each.probability for each in ranking.suspects if part in [one.part for one in each.estimates])


def parts_in_order(ranking: Ranking) -> list[str]:
    """The parts, the likeliest first."""
    parts = dict.fromkeys(one.part for each in ranking.suspects for one in each.estimates)
    return sorted(parts, key=lambda part: -chance_of(ranking, part))


def tests_needed(bench: Bench, case: Case, draw: np.random.Generator, *, best: bool) -> int:
    """How many tests until one part is nearly sure, following the next best test or the cheapest first."""
    order = cheapest_first(bench.predicted.probes)
    readings, taken = [read(bench, case, order[0], draw)], [order[0]]
    while len(taken) < MOST_TESTS:
        ranking = ranked(bench.predicted, readings, taken)
        if chance_of(ranking, parts_in_order(ranking)[0]) > SURE:
            break
        rest = [at for at in order if at not in taken]
        offered = best_tests(bench.predicted, ranking, readings, rest) if best else ()
        at = bench.predicted.probes.index(offered[0].probe) if offered else rest[0]
        taken.append(at)
        readings.append(read(bench, case, at, draw))
    return len(taken)


def by_the_best(bench: Bench, case: Case, draw: np.random.Generator) -> tuple[list[int], list[Reading]]:
    """The probes and readings of an hour in which the next best test is made each time."""
    probes = bench.predicted.probes
    order = cheapest_first(probes)
    readings, taken, spent = [read(bench, case, order[0], draw)], [order[0]], effort(probes[order[0]], [])
    while True:
        ranking = ranked(bench.predicted, readings, taken)
        rest = [at for at in order if at not in taken and spent + effort(probes[at], readings) <= HOUR]
        offered = best_tests(bench.predicted, ranking, readings, rest)
        if not offered:
            return taken, readings
        at = probes.index(offered[0].probe)
        spent += effort(probes[at], readings)
        taken.append(at)
        readings.append(read(bench, case, at, draw))


def one_diagnosis() -> float:
    """s for the ten readings of a circuit of 30 parts, pairs and next tests included, once everything is imported."""
    circuit = netsolve.load("circuits/faults/tug_winch.yaml")
    readings = read_file("circuits/readings/tug_winch.yaml", circuit)
    assert (30, 10) == (len(circuit.as_found.parts), len(readings))
    began = time.perf_counter()
    diagnose(circuit, readings)
    return time.perf_counter() - began


def main() -> None:
    """Run the bench and print its figures."""
    print(f"30 parts, ten readings: {one_diagnosis():.1f} s")
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    draw = np.random.default_rng(int(sys.argv[2]) if len(sys.argv) > 2 else SEED)
    began = time.perf_counter()
    benches = [
        made(path, change, count // len(CIRCUITS) + (number < count % len(CIRCUITS)), draw)
        for number, (path, change) in enumerate(CIRCUITS)
    ]
    print(f"made in {time.perf_counter() - began:.1f} s")
    rows = []
    for bench in benches:
        for case in bench.cases:
            taken, readings = by_the_best(bench, case, draw)
            ranking = ranked(nearer(bench.predicted, readings, taken), readings, taken)
            order = parts_in_order(ranking)
            place = order.index(case.fault.part) if case.fault.part in order else 99
            own = [
                one
                for each in ranking.suspects
                for one in each.estimates
                if len(each.estimates) == 1 and (one.part, one.fault) == (case.fault.part, case.fault.fault)
            ]
            inside = None if not own or own[0].value is None else own[0].low <= case.value <= own[0].high
            alike = {one.part for group in ranking.alike for each in group for one in each.estimates}
            apart = can_be_told_apart(bench, case, taken)
            needed = [tests_needed(bench, case, draw, best=each) for each in (True, False)] if apart else [0, 0]
            top = chance_of(ranking, order[0])
            rows.append((apart, place, inside, needed, case.fault.part in alike, top))
    told = [each for each in rows if each[0]]
    print(f"{len(rows)} cases, {len(told)} can be told apart; {time.perf_counter() - began:.0f} s in all")
    for name, some in (("told apart", told), ("not told apart", [each for each in rows if not each[0]])):
        places = np.array([each[1] for each in some])
        print(f"{name}: right part first {np.mean(places == 0):.1%}, among three {np.mean(places < 3):.1%}")
    inside = [each[2] for each in rows if each[2] is not None]
    print(f"90 % ranges hold the truth in {np.mean(inside):.1%} of {len(inside)}")
    needed = np.array([each[3] for each in told])
    print(f"tests until nearly sure: next best {needed[:, 0].mean():.2f}, cheapest first {needed[:, 1].mean():.2f}")
    print(f"fewer by {1 - needed[:, 0].sum() / needed[:, 1].sum():.0%}")
    for least in (SURE, 0.99):
        sure = [each for each in rows if each[5] > least]
        wrong = sum(each[1] > 0 for each in sure)
        print(f"a part said to be over {least:.0%} likely: {len(sure)} cases, the wrong one in {wrong}")


if __name__ == "__main__":
    main()
