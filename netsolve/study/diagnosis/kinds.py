"""The kinds of readings as they are written, each declared once: its keys, their units and what they mean."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import ClassVar

from netsolve.contract.declare import Declared, flag, quantity, word
from netsolve.study.diagnosis.probe import (
    AMOUNTS,
    BLOWN,
    BUCKET_LEAST,
    BUCKET_TIME,
    BUCKET_VOLUME,
    HALF_WIDTHS,
    SHARES,
    WIDTHS,
    bucket_accuracy,
    bucket_flow,
)

FARTHEST = 30.0
"""m: no gauge nor hose end of a boat is farther from the waterline."""

ATMOSPHERE = 101325.0
"""Pa: no gauge shows less than nothing at all."""

COLDEST, HOTTEST = 263.15, 473.15
"""K: sea water is ice below, oil smokes above."""

_ACCURACY = "leave the ± out, and add accuracy: with what stands behind it"


class Kind(Declared):
    """A kind of reading; `names` says what it is of: runs, places, parts."""

    of: ClassVar[str] = "place"
    count: ClassVar[int] = 1

    def check(self) -> Iterable[str]:
        """Sentences about values that cannot be right together."""
        return ()

    def measured(self, weight: float) -> tuple[float, float, str]:
        """The value, its standard deviation (SI), and the word that was found; `weight` is ρ g, Pa/m."""
        raise NotImplementedError

    @property
    def at_most(self) -> bool:
        """Whether it was what was measured, or less."""
        return False

    def gauge_height(self) -> float | None:
        """How high the gauge was, m above the waterline; None where it was at the place."""
        return getattr(self, "height", None)


class _Caught(Kind):
    """Water caught in a bucket."""

    volume: float | None = quantity("volume", "how much was caught", above=0, default=None, exact=_ACCURACY)
    took: float | None = quantity("time", "in what time, by a watch", above=0, default=None, exact=_ACCURACY)
    height: float | None = quantity(
        "length",
        "height of the hose end above the waterline while it ran; without it, as installed",
        default=None,
        at_least=-FARTHEST,
        at_most=FARTHEST,
    )
    accuracy: float | None = quantity("ratio", "how well the flow is known, of its value", above=0, default=None)
    found: str | None = word("what came out, where nothing could be measured", *AMOUNTS, default=None)

    def measured(self, weight: float) -> tuple[float, float, str]:
        """The flow, m3/s."""
        if self.volume is None or self.took is None:
            value, width = AMOUNTS[self.found or "nothing"]
            return value, width / WIDTHS, ""
        flow = bucket_flow(self.volume, self.took)
        usual = max(BUCKET_LEAST, bucket_accuracy(self.volume, self.took, BUCKET_VOLUME, BUCKET_TIME))
        return flow, flow * (self.accuracy or usual) / WIDTHS, ""

    def check(self) -> Iterable[str]:
        """Both of volume and time, or what was found."""
        if (self.volume is None) != (self.took is None):
            yield "volume and took belong together: how much, in what time"
        if self.volume is None and self.took is None and self.found is None:
            yield "it needs volume and took, or found: nothing"
        if self.volume is not None and self.found is not None:
            yield "give volume and took, or found, not both"


class Bucket(_Caught):
    """A bucket under the end of a run that ends at an opening."""

    of = "run"


class Opened(_Caught):
    """A hose taken off behind a part, and what came out of it there; the rest of the run is then stopped off."""

    of = "part"


class Pressure(Kind):
    """A gauge at a place."""

    value: float = quantity("pressure", "what the gauge shows", at_least=-ATMOSPHERE, exact=_ACCURACY)
    accuracy: float | None = quantity("pressure", "how far off it may be", above=0, default=None)
    height: float | None = quantity(
        "length", "height of the gauge above the waterline", default=None, at_least=-FARTHEST, at_most=FARTHEST
    )
    steady: bool | None = flag("whether its needle stood still; where it jumps, air may come in", default=None)
    sort: ClassVar[str] = "pressure"

    def measured(self, weight: float) -> tuple[float, float, str]:
        """Pa gauge."""
        return self.value, (self.accuracy or HALF_WIDTHS[self.sort]) / WIDTHS, ""


class Vacuum(Pressure):
    """A vacuum gauge at a place: what it shows is below the air's pressure."""

    value: float = quantity("pressure", "what the gauge shows", at_most=ATMOSPHERE, exact=_ACCURACY)
    sort: ClassVar[str] = "vacuum"


class Difference(Pressure):
    """One gauge swapped between two taps, or a U-tube: the first place less the second."""

    count = 2
    sort = "difference"


class ClearHose(Kind):
    """A clear hose taped up at a place: how high the water stands in it."""

    level: float = quantity(
        "length", "height of the water in the hose above the waterline of the boat", at_most=FARTHEST, exact=_ACCURACY
    )
    accuracy: float | None = quantity("length", "how far off that may be", above=0, default=None)

    def measured(self, weight: float) -> tuple[float, float, str]:
        """The pressure at the waterline that bears the column, Pa."""
        width = HALF_WIDTHS["clear hose"] if self.accuracy is None else weight * self.accuracy
        return weight * self.level, width / WIDTHS, ""

    def gauge_height(self) -> float | None:
        """The level is counted from the waterline."""
        return 0.0


class Blow(Kind):
    """Blowing through from one part to another, hoses off outside of them.

    Where joints lie between the two, every other way at these is held shut, by a thumb, a clamp or a valve.
    """

    of = "part"
    count = 2
    found: str = word("one way: from the first to the second but not back; other way: only back", *BLOWN)

    def measured(self, weight: float) -> tuple[float, float, str]:
        """The word."""
        return float("nan"), float("nan"), self.found


class Contents(Kind):
    """A strainer or cooler opened and looked at."""

    of = "part"
    found: str = word("how much of it is covered or filled with dirt", *SHARES)

    def measured(self, weight: float) -> tuple[float, float, str]:
        """The share that is covered."""
        return SHARES[self.found], HALF_WIDTHS["contents"] / WIDTHS, ""


class Temperature(Kind):
    """Water at a part's inlet or outlet or at a joint, or an oil once its temperature stands."""

    of = "warm"
    value: float = quantity(
        "temperature", "what the thermometer shows", at_least=COLDEST, at_most=HOTTEST, exact=_ACCURACY
    )
    accuracy: float | None = quantity("temperature difference", "how far off it may be", above=0, default=None)

    def measured(self, weight: float) -> tuple[float, float, str]:
        """K."""
        return self.value, (self.accuracy or HALF_WIDTHS["temperature"]) / WIDTHS, ""


class Alarm(Kind):
    """The time from a cold start until an oil's alarm sounded, or how long it did not; it counts as a rate."""

    of = "oil"
    took: float | None = quantity("time", "from the start, by a watch", above=0, default=None, exact=_ACCURACY)
    never: float | None = quantity(
        "time", "how long it was run from the start and did not sound", above=0, default=None, exact=_ACCURACY
    )
    accuracy: float | None = quantity("time", "how far off that may be", above=0, default=None)

    def check(self) -> Iterable[str]:
        """One of the two times."""
        if (self.took is None) == (self.never is None):
            yield "it needs took: 60 min, or never: 90 min where it did not sound in that time, one of the two"

    @property
    def at_most(self) -> bool:
        """It did not sound: it would have come later, and the rate is lower."""
        return self.never is not None

    def measured(self, weight: float) -> tuple[float, float, str]:
        """Alarms for each second, 1/s."""
        time = self.took or self.never or math.inf
        width = (self.accuracy or HALF_WIDTHS["alarm"]) / WIDTHS
        return 1.0 / time, width / time**2, ""


KINDS: Mapping[str, type[Kind]] = {
    "bucket": Bucket,
    "pressure": Pressure,
    "vacuum": Vacuum,
    "difference": Difference,
    "clear hose": ClearHose,
    "opened": Opened,
    "blow": Blow,
    "contents": Contents,
    "temperature": Temperature,
    "alarm": Alarm,
}
