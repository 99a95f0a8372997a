"""A vented loop: an inverted U above the waterline with an air inlet at its top."""

from typing import ClassVar

from netsolve.plugin import Array, Crest, quantity, word


class VentedLoop(Crest):
    """A loop above the waterline whose vent lets air in and so breaks a siphon; stuck shut, it does not.

    With a working vent the water leaves the top at the pressure of the air: the fall on the far side gives nothing
    back. `none` and `stuck shut` are a plain high point. To add a loop by a change, write it with `vent: none` at the
    height of the hose that is there, and set both.
    """

    height: float | None = quantity(
        "length", "height of the loop's top above the waterline at rest", shown="m", example="0.4 m"
    )
    bore: float | None = quantity("length", "inside diameter at the top", shown="mm", above=0, default=None)
    vent: str = word("whether the air inlet works", "works", "stuck shut", "none", default="works")

    roles: ClassVar[tuple[str, ...]] = ("vent",)
    sources: ClassVar[tuple[str, ...]] = (
        "hydrostatics: where the pressure at a vented top would fall below the atmosphere's, air enters and the down "
        "leg runs part-full",
        "heights of 10 to 12 in above the waterline at every angle of heel: makers' manuals, common practice",
    )

    def breaks(self) -> Array | bool:
        """A working vent breaks the siphon."""
        return self.vent == "works"

    def status(self, before: float, after: float) -> str | None:
        """`venting` while air comes in and the down leg is part-full, `full` else; None without a working vent."""
        if self.vent != "works":
            return None
        return "venting" if after < -1.0 else "full"
