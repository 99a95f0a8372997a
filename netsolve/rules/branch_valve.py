"""Branches that cannot be shut."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow


class BranchValve(Rule):
    """A branch teed off the engine's water can be shut at the tee, so that a burst hose does not stop the engine."""

    severity = "fault"
    basis = "common practice, no source: an isolating valve at the tee"
    hazards = ("flooding",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each run at the branch of a tee in which no valve stands; a note where one before it shuts all."""
        for run in row.runs:
            ends = [end for end in (run.start, run.stop) if not row.joint_of[end.joint].free]
            tee = next((end.joint for end in ends if end.port == "branch"), None)
            if tee is None or any("shut_off" in part.roles for part in run.parts):
                continue
            before = row.way_to(run.along[:1]).parts
            stopped = any("shut_off" in part.roles for part in before)
            how = "is stopped only with the engine's water" if stopped else "cannot be stopped"
            message = f"{run.name} has no valve at {tee}: a burst hose there {how}"
            help = "a full-bore quarter-turn valve at the tee, within reach"
            yield self.finding(run, message, help=help, severity="note" if stopped else self.severity)
