"""Other words that people type, with the types and parameters meant; used for help only, never read as right."""

from __future__ import annotations

from collections.abc import Mapping

ALIASES: Mapping[str, tuple[str, ...]] = {
    "thru_hull": ("sea_inlet", "discharge"),
    "through_hull": ("sea_inlet", "discharge"),
    "skin_fitting": ("sea_inlet", "discharge"),
    "inlet": ("sea_inlet",),
    "intake": ("sea_inlet",),
    "scoop": ("sea_inlet",),
    "sea": ("sea_inlet", "discharge"),
    "outlet": ("discharge",),
    "overboard": ("discharge",),
    "exhaust": ("exhaust_injection",),
    "exhaust_elbow": ("exhaust_injection",),
    "mixing_elbow": ("exhaust_injection",),
    "bucket": ("tank",),
    "header_tank": ("tank",),
    "header": ("manifold",),
    "sea_chest": ("manifold",),
    "t": ("tee",),
    "y_piece": ("tee",),
    "sea_strainer": ("strainer",),
    "inline_strainer": ("strainer",),
    "filter": ("strainer",),
    "screen": ("strainer",),
    "barb": ("hose_tail",),
    "adapter": ("hose_tail",),
    "hose_barb": ("hose_tail",),
    "elbow": ("bend",),
    "pipe": ("tube",),
    "valve": ("ball_valve", "seacock"),
    "pump": ("impeller_pump", "centrifugal_pump"),
    "raw_water_pump": ("impeller_pump",),
    "flex_impeller_pump": ("impeller_pump",),
    "impeller": ("impeller_pump",),
    "engine_hx": ("heat_exchanger",),
    "hx": ("heat_exchanger",),
    "cooler": ("heat_exchanger", "cooling_coil", "tube_cooler"),
    "oil_cooler": ("heat_exchanger", "cooling_coil", "tube_cooler"),
    "condenser": ("heat_exchanger",),
    "tank_coil": ("cooling_coil",),
    "coil": ("cooling_coil",),
    "nrv": ("check_valve",),
    "non_return_valve": ("check_valve",),
    "restrictor": ("orifice",),
    "siphon_break": ("vented_loop",),
    "anti_siphon": ("vented_loop",),
    "spray_ring": ("injection_ring",),
    "plug": ("blockage",),
}
"""Words of the trade, with the types meant."""

PARAMETER_ALIASES: Mapping[str, tuple[str, ...]] = {
    "diameter": ("bore",),
    "inside_diameter": ("bore",),
    "inner_diameter": ("bore",),
    "id": ("bore",),
    "size": ("bore",),
    "rpm": ("speed",),
    "elevation": ("height", "level"),
    "temp": ("temperature",),
}
"""Words that people type for a parameter, with the parameters meant."""
