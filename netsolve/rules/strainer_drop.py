"""Branch strainers that take much even when clean."""

from collections.abc import Iterator

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenRow, quantity


class StrainerDrop(Rule):
    """A clean strainer in a branch takes a small part of what drives the branch."""

    limit: float = quantity("ratio", "its clean drop over the pressure that drives the run", default=0.1, above=0)
    severity = "note"
    basis = "estimate: a tenth of the branch's pressure at cruise"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each strainer that is not on a pump's suction side."""
        for strainer in row.parts("strainer"):
            drive = row.run_of[strainer.run].drive
            if strainer.name in row.suction or abs(strainer.flow) <= NO_FLOW or drive <= 0:
                continue
            clean = strainer.drop if not strainer.value("blinded") else strainer.drop_with(blinded=0.0)
            share = abs(clean) / drive
            if share > self.limit:
                message = (
                    f"{strainer.name} takes {100 * share:.3g} % of what drives {strainer.run} even when it is clean"
                )
                help = "a larger strainer: little is left before weed starves the branch"
                yield self.finding(strainer, message, help=help, value=share, limit=self.limit, unit="1")
