"""What is found wrong while a file is read, collected so that all of it is said at once."""

from __future__ import annotations

from dataclasses import dataclass, field

from netsolve.problems import CircuitError, Problem, Span


@dataclass
class Complaints:
    """The problems and the notes of one reading."""

    problems: list[Problem] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)

    def error(self, code: str, message: str, help: str, at: Span | None, also: Span | None = None) -> None:
        """Add something that makes the file wrong."""
        self.problems.append(Problem(code, message, help, at, also))

    def note(self, code: str, message: str, help: str, at: Span | None, also: Span | None = None) -> None:
        """Add something that the writer should hear about."""
        self.notes.append(Problem(code, message, help, at, also, severity="note"))

    def begin(self) -> None:
        """Begin a new reading: what was said before has been heard."""
        self.problems.clear()
        self.notes.clear()

    def stop(self) -> None:
        """End a stage: raise CircuitError when anything was wrong."""
        if self.problems:
            raise CircuitError(self.problems)
