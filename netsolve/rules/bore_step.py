"""A change of bore that nobody wrote a fitting for."""

from collections.abc import Iterator
from itertools import pairwise

from netsolve.plugin import Finding, Rule, SeenPart, SeenRow, contraction, enlargement, quantity, show

WATER_DENSITY = 1025.0
"""kg/m3: good enough to say what a step would cost."""


class BoreStep(Rule):
    """Neighbouring bores agree, or the reducer or hose tail between them is written down."""

    limit: float = quantity("ratio", "smaller bore over larger", above=0, at_most=1, default=0.8)
    severity = "note"
    basis = "handbook: sudden contraction and enlargement, Crane TP-410"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each step of bore between neighbours in a run that carries water."""
        for run in row.runs:
            for before, after in pairwise(run.parts):
                bores = before.outlet.bore, after.inlet.bore
                if bores[0] is None or bores[1] is None or not run.flow:
                    continue
                if min(bores[0], bores[1]) < self.limit * max(bores[0], bores[1]):
                    yield self._step(row, before, after, bores[0], bores[1])

    def _step(self, row: SeenRow, before: SeenPart, after: SeenPart, first: float, second: float) -> Finding:
        small, large = min(first, second), max(first, second)
        beta = small / large
        k = float(contraction(beta) if first > second else enlargement(beta))
        speed = after.flow / (3.141592653589793 / 4 * small**2)
        cost = show(k * WATER_DENSITY * speed**2 / 2, "pressure", system=row.system)
        sizes = f"{show(first, 'length', system=row.system)} to {show(second, 'length', system=row.system)}"
        message = (
            f"between '{before.name}' and '{after.name}' the bore steps from {sizes}; a fitting there would cost {cost}"
        )
        help = "write the reducer or hose_tail that joins them, if there is one"
        return self.finding(after, message, help=help, value=beta, limit=self.limit, unit="1")
