"""Globe valves, by how far they are open."""

from __future__ import annotations

from netsolve.plugin import LEAK, Array, Component, Quadratic, Water, ft, part_open, quadratic_k, quantity

_OPENINGS = (0.25, 0.5, 0.75, 1.0)
_K = (112.0, 36.0, 13.0, 9.0)
_CLOSED = 1e-9
_HOOPER = 1500.0


class GlobeValve(Component):
    """A globe valve, open, part shut or closed.

    drop = (K + 1500/Re) rho v |v| / 2, K = 340 fT plus what Perry's table of openings of a plug disc adds to its own
    open valve; below a quarter open as the inverse square of the opening. A flat or bevelled disc loses less when half
    shut, about 9 in all.
    Closed, its seat leaks 1e-14 m3/s/Pa.
    """

    roles = ("shut_off", "multi_turn")

    bore: float = quantity(
        "length", "bore of the valve, or of the pipe it fits; 10 to 80 mm", shown="mm", above=0, sizes="valve"
    )
    opening: float = quantity(
        "ratio",
        "how far it is open, by turns of the wheel from closed over all its turns",
        default=1.0,
        at_least=0,
        at_most=1,
        words={"open": 1.0, "closed": 0.0},
        worst=0.0,
    )

    sources = (
        "Crane TP-410, A-27: globe valve 340 fT",
        "Perry's Chemical Engineers' Handbook, table of losses of fittings: globe valve with plug disc, open 9, three "
        "quarters 13, half 36, a quarter 112",
        "Hooper (1981), Chemical Engineering 88(17), 96-100: globe valve, K1 1500",
        "common practice, no source: below a quarter open as the inverse square of the opening",
    )

    def quadratic(self, water: Water) -> Quadratic:
        """The loss of the valve, or the leak of its seat, as the sum of its powers."""
        k = self._coefficient()
        return quadratic_k(self.bore, k, water, _HOOPER / k).closed_where(self.closed(), LEAK)

    def closed(self) -> Array | bool:
        """Whether it is wholly shut."""
        return self.opening <= _CLOSED

    def status(self, flow: float, drop: float) -> str | None:
        """open, part shut or closed."""
        if self.closed():
            return "closed"
        return "part shut" if self.opening < 1 else "open"

    def _coefficient(self) -> Array:
        return 340.0 * ft(self.bore) + part_open(self.opening, _OPENINGS, _K) - _K[-1]
