"""How a charge of oil is written, and what a cooler says of heat, as plain text for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import fill

from netsolve.contract.cooling import Cooling, Oil
from netsolve.contract.declare import Declared
from netsolve.reading.written import beside
from netsolve.views.catalogue import WIDTH
from netsolve.views.parameters import indented, parameters

OIL = """oils:
  hydraulic: {volume: 60 L, grade: VG 46, metal: 40 kg, heat: 2 kW,
              start: 25 degC, alarm: 71 degC, limit: 66 degC, loss: 8 W/K}"""

COOLER = """- oil cooler: {type: cooling_coil, bore: 13.8 mm, length: 8 m,
    coil_diameter: 250 mm, cools: hydraulic, ua: 100 W/K}"""

_CHECKED = "'netsolve heat FILE' then tells how warm the oil gets, and when its alarm sounds."


def oils_page() -> str:
    """What may be said of a charge of oil, an example of one, and of the cooler that cools it."""
    about = (
        "A charge of oil or coolant that is warmed, taken as one well-mixed temperature with the metal that warms with "
        "it. It stands under oils: by a name of its own; the coolers that cool it say cools: and that name. All can be "
        "settings of conditions and changes, as hydraulic.heat: 6 kW."
    )
    blocks = [
        ["oils", "===="],
        [fill(about, WIDTH)],
        ["Parameters", *parameters(Oil)],
        ["An example to paste", *(f"  {line}" for line in OIL.splitlines())],
        ["and the part that cools it", *(f"  {line}" for line in COOLER.splitlines())],
        [fill(_CHECKED, WIDTH)],
    ]
    return "\n\n".join("\n".join(block) for block in blocks)


def cooler_keys(kind: type[Declared]) -> Iterator[str]:
    """What a cooler may say of heat; nothing of what is no cooler."""
    if Cooling not in beside(kind).values():
        return
    about = (
        "All may be left out. How an oil is written: netsolve components oils. A cooler either gives heat, or passes "
        "it: with ua, or area and u, or the maker's rated duty with its four flows and temperatures."
    )
    yield from indented([about])
    yield "  cools: the name of the oil that it cools, from oils:"
    yield from parameters(Cooling)
