"""A Y that parts one line into two."""

from typing import ClassVar

from netsolve.plugin import Array, Joint, Water, k_drop, quantity


class YPiece(Joint):
    """A Y: one line parts into two legs alike, or two become one.

    drop = K (1 + 10/Re) rho v |v| / 2 in each leg, by the flow of that leg alone; joining and parting cost the same.
    """

    contract = 1

    ports: ClassVar[tuple[str, ...]] = ("stem", "left", "right")
    paths: ClassVar[tuple[tuple[str, str], ...]] = (("stem", "left"), ("stem", "right"))

    bore: float = quantity("length", "bore of each leg", shown="mm", above=0, example="19 mm")
    k: float = quantity(
        "number",
        "loss coefficient of one leg, in its bore",
        default=0.4,
        above=0,
        assumed="0.4, an estimate for a smooth Y; a sharp one has 0.5 to 1",
    )

    sources = ("common practice, no source: losses of a Y by the flow of the leg alone; K 0.4 is an estimate",)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """The loss from the stem to each leg, Pa; the two legs stand on the first axis, in flow and loss."""
        return k_drop(flow, self.bore, self.k, water)
