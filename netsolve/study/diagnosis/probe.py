"""What can be looked at on board, how well it can be read, and what was read."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from netsolve.problems import Span

WIDTHS = 2.0
"""Standard deviations to the half width that is meant by an accuracy: it holds 19 times out of 20."""

BUCKET_VOLUME, BUCKET_TIME, BUCKET_LEAST = 0.25e-3, 0.5, 0.05
"""m3, s, and a share: how well a bucket test is done in the field; common practice, no source."""

NOTHING_FLOWS = 0.1e-3 / 60
"""m3/s: a trickle that is called nothing."""

HALF_WIDTHS: Mapping[str, float] = {
    "pressure": 5e3,
    "vacuum": 2.5e3,
    "difference": 2e3,
    "clear hose": 0.2e3,
    "contents": 0.25,
    "temperature": 2.0,
    "alarm": 120.0,
}
"""Pa, and a share: of a 0 to 30 psi gauge (ASME B40.1 grade B, 3 % of its span), a vacuum gauge of 30 inHg, one gauge
swapped between two taps, 20 mm of water in a clear hose, an eye, an infrared thermometer on black tape (K), and a
watch from the start (s) (common practice, no source)."""

EFFORTS: Mapping[str, float] = {
    "bucket": 10,
    "pressure": 12,
    "vacuum": 12,
    "difference": 15,
    "clear hose": 15,
    "contents": 8,
    "blow": 25,
    "opened": 20,
    "temperature": 10,
    "alarm": 60,
}
"""Minutes that each takes; common practice, no source."""

LONGEST_WAIT = 12 * 3600.0
"""s: nobody waits longer for an alarm."""

ANOTHER_CONDITION = 5
"""Minutes to bring the boat into another condition."""

SHARES = {"clean": 0.0, "a little": 0.2, "half": 0.5, "full": 0.95}
"""What is said of a strainer's contents, and what share of it is then covered."""

AMOUNTS = {"nothing": (0.0, NOTHING_FLOWS), "trickle": (1e-5, 1e-5)}
"""What is said to come out of an opened hose: m3/s, and its half width."""

BLOWN = ("open", "partly", "blocked", "one way", "other way")
"""What blowing from one place to another finds."""


@dataclass(frozen=True)
class Situation:
    """What the boat did and how the circuit was set up when something was read.

    `end` is the run whose outlet was held at another `height` (m; None where it was left), `opened` the part whose far
    hose end was taken off and held there.
    """

    condition: str
    change: str = "as found"
    settings: tuple[tuple[str, str], ...] = ()
    end: str = ""
    opened: str = ""
    height: float | None = None


@dataclass(frozen=True)
class Probe:
    """One thing to look at: its kind, the names it is of, the situation, and the height of the gauge (m)."""

    kind: str
    names: tuple[str, ...]
    situation: Situation
    height: float | None = None

    def __str__(self) -> str:
        where = " to ".join(dict.fromkeys(self.names))
        held = self.situation.height
        at = f", held at {held:g} m" if held is not None else ""
        idle = self.kind in ("blow", "contents")
        return f"{self.kind}: {where}{at}{'' if idle else f', {self._when}'}"

    @property
    def _when(self) -> str:
        made = [self.situation.condition]
        made += [self.situation.change] if self.situation.change != "as found" else []
        return ", ".join([*made, *(f"{path} {value}" for path, value in self.situation.settings)])

    @property
    def is_word(self) -> bool:
        """Whether what is found is a word and not a number."""
        return self.kind == "blow"

    @property
    def unit_kind(self) -> str:
        """The kind of quantity that is read."""
        kinds = {"bucket": "flow", "opened": "flow", "contents": "ratio", "temperature": "temperature", "alarm": "time"}
        return kinds.get(self.kind, "pressure")

    def deviation(self, value: float) -> float:
        """The usual standard deviation of such a reading when the truth is `value`, SI."""
        if self.unit_kind == "flow":
            return math.hypot(BUCKET_LEAST * value, NOTHING_FLOWS) / WIDTHS
        if self.kind == "alarm":  # of the rate
            return HALF_WIDTHS[self.kind] / WIDTHS * max(value, 1.0 / LONGEST_WAIT) ** 2
        return HALF_WIDTHS[self.kind] / WIDTHS

    def shown(self, value: float) -> float:
        """The value as people read it: an alarm counts as a rate, and is told as a time."""
        return value if self.kind != "alarm" else math.inf if value <= 0.0 else 1.0 / value

    @property
    def is_warm(self) -> bool:
        """Whether heat comes into it."""
        return self.kind in ("temperature", "alarm")


@dataclass(frozen=True)
class Reading:
    """What was read: a value with its standard deviation (SI), or the word that was found.

    `steady` says whether the needle stood still, None where nobody looked; `at_most` that it was this value or less.
    """

    probe: Probe
    value: float = math.nan
    deviation: float = math.nan
    found: str = ""
    steady: bool | None = None
    at_most: bool = False
    at: Span | None = None


def bucket_flow(volume: float, took: float) -> float:
    """The flow of a bucket test, m3/s, from m3 and s."""
    return volume / took


def bucket_accuracy(volume: float, took: float, off_volume: float, off_time: float) -> float:
    """The relative half width of a bucket test from those of volume and time: root of the sum of squares."""
    return math.hypot(off_volume / volume, off_time / took)
