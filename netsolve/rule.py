"""Rules of the trade: what a rule declares, and what it sees of a solved row."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

from netsolve.declare import Declared
from netsolve.problems import Finding, Span

SEVERITIES = ("danger", "fault", "wear", "note")
"""The worst first."""


@dataclass(frozen=True)
class Spot:
    """A place in a run: static pressure (Pa gauge; None where no water stands), height (m), bore (m or None)."""

    pressure: float | None
    height: float
    bore: float | None


@dataclass(frozen=True)
class SeenPart:
    """A fitted part as a rule sees it; flow in m3/s, velocity in m/s, `roles` as its component declares them.

    `least_speed` (m/s) is the velocity below which the part does not work as its law says, None where there is none.
    """

    name: str
    type: str
    run: str
    roles: tuple[str, ...]
    flow: float
    velocity: float | None
    inlet: Spot
    outlet: Spot
    at: Span | None
    least_speed: float | None = None


@dataclass(frozen=True)
class SeenRun:
    """A run as a rule sees it: its fitted parts in order, from one joint to the other."""

    name: str
    source: str
    target: str
    flow: float
    parts: tuple[SeenPart, ...]


@dataclass(frozen=True)
class SeenRow:
    """One condition under one change, as rules see it."""

    condition: str
    change: str
    system: str
    runs: tuple[SeenRun, ...]

    def parts(self, role: str | None = None) -> Iterator[SeenPart]:
        """Every fitted part, or those with a role."""
        for run in self.runs:
            yield from (part for part in run.parts if role is None or role in part.roles)


class Rule(Declared):
    """One rule; its thresholds are declared fields, which `limits:` in the circuit file overrides.

    `severity` is one of `SEVERITIES`; `basis` says where the threshold comes from; the finding's code is the rule's
    file name.
    """

    code: ClassVar[str]
    severity: ClassVar[str] = "note"
    basis: ClassVar[str] = ""

    def __init_subclass__(cls, **more: Any) -> None:
        super().__init_subclass__(**more)
        cls.code = cls.__module__.rpartition(".")[2]

    def findings(self, row: SeenRow) -> Iterable[Finding]:
        """What this rule has to say about the row."""
        raise NotImplementedError(f"{type(self).__name__} has no findings")

    def finding(
        self,
        about: SeenPart,
        message: str,
        *,
        help: str = "",
        value: float | None = None,
        limit: float | None = None,
        unit: str = "",
    ) -> Finding:
        """A finding of this rule's code, severity and basis."""
        return Finding(self.code, self.severity, about.name, message, help, value, limit, unit, self.basis, about.at)
