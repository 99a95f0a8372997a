"""Where runs end: what the ends cost, and the seats of those in air."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from netsolve.arrays.inline import Inline
from netsolve.arrays.joints import Joints
from netsolve.arrays.openings import Mouth, end_name
from netsolve.arrays.slots import Slots, of_slots, squeezed, stacks
from netsolve.arrays.stack import Ints, Stack


@dataclass(frozen=True)
class Ends:
    """The ends of runs, that at the source and that at the target of each by turns; `at` (runs, 2) are the joints."""

    runs: Sequence[str]
    at: Ints
    joints: Joints

    def stacks(self, inline: Inline) -> tuple[Stack, ...]:
        """The ends that cost anything; joints without a bore borrow that of the run's end."""
        kept, rows = np.flatnonzero(self.joints.costly[self.at.ravel()]), self.joints.rows
        edges, signs = kept // 2, np.where(kept % 2 == 0, 1.0, -1.0)
        slots = Slots(
            names=[end_name(self.runs[edge], sign) for edge, sign in zip(edges.tolist(), signs.tolist(), strict=True)],
            edges=edges[None],
            records=of_slots(self.joints.laws, self.at.ravel()[kept], rows),
            weights=np.ones((rows, len(kept)), order="F"),
            signs=signs,
        )
        known = ~np.isnan(inline.bores(edges, signs))
        return (
            *(_bored(stack, inline) for stack in stacks(_weighed(slots, known))),
            *stacks(_weighed(slots, ~known)),
        )

    def mouths(self) -> tuple[Stack, ...]:
        """The seats of the ends in air or gas."""
        weights = self.joints.one_way[:, self.at.ravel()]
        kept = np.flatnonzero(weights.any(axis=0))
        slots = Slots(
            names=[f"{self.runs[edge]}.mouth" for edge in (kept // 2).tolist()],
            edges=(kept // 2)[None],
            records=[Mouth()] * (self.joints.rows * len(kept)),
            weights=weights[:, kept],
            signs=np.where(kept % 2 == 0, -1.0, 1.0),
        )
        return stacks(slots)


def _weighed(slots: Slots, counted: np.ndarray) -> Slots:
    """The slots that count in any row, each in the rows (rows, slots) where it does."""
    return replace(slots, weights=np.asfortranarray(slots.weights * counted)).among(np.flatnonzero(counted.any(axis=0)))


def _bored(stack: Stack, inline: Inline) -> Stack:
    """The stack with the bores of the runs' ends, where the joints have none of their own."""
    if stack.record.__dict__.get("bore", 0.0) is not None:
        return stack
    bores = inline.bores(stack.edges[0], stack.signs)
    return stack.with_field("bore", squeezed(np.asfortranarray(np.where(np.isnan(bores), 1.0, bores))))
