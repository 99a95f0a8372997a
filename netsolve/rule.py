"""Rules of the trade: what a rule declares, and how it says what it has found."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar

from netsolve.contract.declare import Declared
from netsolve.contract.seen import End, SeenJoint, SeenOil, SeenPart, SeenPort, SeenRun, Spot
from netsolve.contract.seen_row import SeenRow, Walk
from netsolve.problems import Finding

__all__ = [
    "SEVERITIES",
    "End",
    "Rule",
    "SeenJoint",
    "SeenOil",
    "SeenPart",
    "SeenPort",
    "SeenRow",
    "SeenRun",
    "Spot",
    "Walk",
]

SEVERITIES = ("danger", "fault", "wear", "note")
"""The worst first."""


class Rule(Declared):
    """One rule; its thresholds are declared fields, which `limits:` in the circuit file overrides.

    `severity` is one of `SEVERITIES`; `basis` says where the threshold comes from; `hazards` name the cautions that go
    with its findings; the finding's code is the rule's file name.
    """

    code: ClassVar[str]
    severity: ClassVar[str] = "note"
    basis: ClassVar[str] = ""
    hazards: ClassVar[tuple[str, ...]] = ()
    contract: ClassVar[int] = 1

    def __init_subclass__(cls, **more: Any) -> None:
        super().__init_subclass__(**more)
        cls.code = cls.__module__.rpartition(".")[2]

    def findings(self, row: SeenRow) -> Iterable[Finding]:
        """What this rule has to say about the row."""
        raise NotImplementedError(f"{type(self).__name__} has no findings")

    def finding(
        self,
        about: SeenPart | SeenRun | SeenJoint | SeenOil,
        message: str,
        *,
        help: str = "",
        value: float | None = None,
        limit: float | None = None,
        unit: str = "",
        severity: str | None = None,
    ) -> Finding:
        """A finding of this rule's code and basis, and of its severity where no other is given."""
        return Finding(
            self.code,
            severity or self.severity,
            about.name,
            message,
            help,
            value,
            limit,
            unit,
            self.basis,
            about.at,
            self.hazards,
        )

    def grade(self, value: float, good: float, warn: float) -> str | None:
        """The severity of a value: that of the rule beyond `warn`, a note beyond `good`, else none."""
        if value > warn:
            return self.severity
        return "note" if value > good else None

    def lacking(self, about: SeenPart | SeenRun | SeenJoint | SeenOil, parameter: str) -> Finding:
        """A note that this rule cannot judge something because the file does not give a parameter of it."""
        message = f"{about.name} is not judged: its {parameter} is not given"
        help = f"write {parameter}: … for {about.name}, or silence it by limits: {{{self.code}: off}}"
        return Finding(self.code, "note", about.name, message, help, at=about.at, lacks=parameter)
