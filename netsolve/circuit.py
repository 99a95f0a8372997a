"""The circuit: one installation, read and validated, frozen; and its rows, every condition under every change."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, ClassVar

from netsolve.component import Component, Joint
from netsolve.contract.cooling import Cooling, Oil
from netsolve.contract.declare import Declared, quantity
from netsolve.problems import Problem, Span
from netsolve.showing import Shown
from netsolve.water import Water

AS_FOUND = "as found"
"""The change that changes nothing: the file as written."""

AS_WRITTEN = "as written"
"""The one condition of a file without conditions."""


class Engine(Declared):
    """What turns pumps and makes exhaust gas."""

    unsure: ClassVar[bool] = True

    speed: float = quantity("rotation", "engine speed", shown="rpm", at_least=0)
    rated_speed: float | None = quantity(
        "rotation", "speed at which the maker rates it", shown="rpm", above=0, default=None
    )


@dataclass(frozen=True)
class Part:
    """One item of a kind, in this boat.

    Flows in m3/s, heights in m above the waterline; `spreads` are the half widths written behind ± (SI), those of needs
    and height too. `engine` is the one that turns it, if any does.
    """

    name: str
    type: str
    run: str
    component: Component
    fitted: bool = True
    height: float | None = None
    count: int = 1
    min_flow: float | None = None
    """None where nothing is wanted, or `need_from_heat`: it then follows from what the row gives its oil."""
    max_flow: float | None = None
    note: str = ""
    spreads: Mapping[str, float] = field(default_factory=dict)
    cooling: Cooling | None = None
    """What a cooler does with heat; None where nothing is said of it."""
    cools: str | None = None
    """The oil that it cools."""
    cooling_spreads: Mapping[str, float] = field(default_factory=dict)
    at: Span | None = None
    engine: str | None = None
    need_from_heat: bool = False


def bore_field(component: Component, *, outlet: bool) -> str | None:
    """The field that holds the bore at a part's inlet or outlet, or None where it has none, as of many tubes."""
    names = bore_fields(type(component), outlet=outlet)
    return next((name for name in names if isinstance(getattr(component, name), float)), None)


@cache
def bore_fields(kind: type[Component], *, outlet: bool) -> tuple[str, ...]:
    """Those that the kind has of the names under which a bore may go, the foremost first."""
    if not kind.velocity_bore:
        return ()
    names = ("bore_out" if outlet else "bore_in", "hose_bore", "bore")
    return tuple(name for name in names if name in kind.model_fields or hasattr(kind, name))


@dataclass(frozen=True)
class Place:
    """A joint of the circuit, by name; `joint` is its law; `spreads` are the half widths written behind ± (SI).

    `engine` is the one whose speed it hangs on, if it does.
    """

    name: str
    type: str
    joint: Joint
    height: float | None = None
    note: str = ""
    at: Span | None = None
    spreads: Mapping[str, float] = field(default_factory=dict)
    engine: str | None = None


@dataclass(frozen=True)
class End:
    """One end of a run: the joint and its port (of a joint that takes any number of runs, the run's own name)."""

    joint: str
    port: str

    def __str__(self) -> str:
        return f"{self.joint}.{self.port}" if self.port else self.joint


@dataclass(frozen=True)
class Charge:
    """A charge of oil or coolant, by name; `spreads` are the half widths written behind ± (SI)."""

    name: str
    oil: Oil
    spreads: Mapping[str, float] = field(default_factory=dict)
    note: str = ""
    at: Span | None = None


@dataclass(frozen=True)
class Run:
    """Parts in line between two joints; one flow, positive from `source` to `target`."""

    name: str
    source: End
    target: End
    parts: tuple[str, ...]
    blanked: bool = False
    either: bool = False
    note: str = ""
    at: Span | None = None


@dataclass(frozen=True)
class Row:
    """One condition under one change: every part, joint and run as it is then. Rows share what does not differ.

    `liquid` is the record that the water's properties come from; `engine_spreads` are by engine, as those of parts.
    """

    condition: str
    change: str
    parts: Mapping[str, Part]
    places: Mapping[str, Place]
    runs: Mapping[str, Run]
    engines: Mapping[str, Engine]
    water: Water
    liquid: Declared | None = None
    oils: Mapping[str, Charge] = field(default_factory=dict)
    engine_spreads: Mapping[str, Mapping[str, float]] = field(default_factory=dict)


@dataclass(frozen=True)
class Assumed:
    """A value in use that nobody wrote: an estimate, and where it comes from; `value` in SI.

    `kind` is the kind of quantity that a number is, for showing it in the units of the trade.
    """

    part: str
    parameter: str
    value: float | str | bool
    unit: str
    source: str
    kind: str = ""


@dataclass(frozen=True)
class Circuit(Shown):
    """One installation, one YAML file. `rows` are in file order, conditions inside changes, `as found` first."""

    name: str
    rows: tuple[Row, ...]
    conditions: tuple[str, ...]
    changes: tuple[str, ...]
    about: Mapping[str, str] = field(default_factory=dict)
    units: str = "metric"
    gallon: str = "us"
    limits: Mapping[str, Any] = field(default_factory=dict)
    assumed: tuple[Assumed, ...] = ()
    notes: tuple[Problem, ...] = ()
    file: str = "<text>"
    make_row: Callable[[str, str, Mapping[str, str]], Row] | None = field(default=None, repr=False, compare=False)

    def row(self, condition: str, change: str, settings: Mapping[str, str]) -> Row:
        """The row of a condition and a change with further settings, `{"feed hose.bore": "16 mm"}`; the last win.

        CircuitError where a setting is of nothing that there is, or has a value that it cannot have.
        """
        if self.make_row is None:
            raise ValueError("a circuit that was not read from a document has only the rows that it has")
        return self.make_row(condition, change, settings)

    @property
    def as_found(self) -> Row:
        """The circuit as written, under the first condition."""
        return self.rows[0]
