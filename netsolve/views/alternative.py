"""A picture in words, for whoever cannot see it: each run with its flow, its verdict and what its parts take."""

from __future__ import annotations

from collections.abc import Iterator

from netsolve import units
from netsolve.circuit import AS_FOUND
from netsolve.result import RunResult
from netsolve.views import oil_box, warmth, wording
from netsolve.views.scene import Scene
from netsolve.views.strip import minus

_LEAST_SHARE = 0.05


def described(scene: Scene) -> str:
    """The text alternative of a picture: the finding, which row it is, then a sentence for each run."""
    against = f", before and after, against {AS_FOUND}" if scene.before else ""
    which = f"Condition {scene.row.condition}, change {scene.row.change}{against}."
    return " ".join([wording.sentence(scene.title), which, *_runs(scene), *_oils(scene)])


def _runs(scene: Scene) -> Iterator[str]:
    for run in scene.row.runs.values():
        was = scene.before.runs.get(run.name) if scene.before else None
        words = [f"{run.name} from {run.source} to {run.target}", *_amounts(run, was, scene.system)]
        takes = [
            f"{take.name} {units.show(take.pressure, 'pressure', system=scene.system)} ({100 * take.share:.0f} %)"
            for take in run.takes
            if take.share >= _LEAST_SHARE
        ]
        taken = f"; of its pressure {', '.join(takes)}" if takes else ""
        yield f"{', '.join(words)}{taken}."


def _oils(scene: Scene) -> Iterator[str]:
    """Each oil, and how warm the water leaves its cooler and any other."""
    for oil in scene.row.oils.values():
        yield wording.sentence(f"{oil.name} {', '.join(oil_box.told(scene, oil))}")
    for part in scene.row.parts.values():
        if water := warmth.cooler(part, scene.system):
            yield wording.sentence(f"{part.name}: {water}")


def _amounts(run: RunResult, was: RunResult | None, system: str) -> Iterator[str]:
    if was is not None and was.flow is not None and run.flow is not None:
        yield minus(wording.pair(was.flow, run.flow, "flow", system=system))
        yield minus(wording.difference(was.flow, run.flow, system=system))
    elif run.flow is not None:
        yield minus(wording.flow(run.flow, system))
    if run.verdict:
        yield wording.word(run.verdict)
