"""Wall roughness of the materials that tubes and coils are made of, each with its source.

A new clean wall is meant; scale and growth are parameters of the part, not of its material.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

DRAWN = 1.5e-6
"""m: drawn tubing, Moody (1944), Transactions of the ASME 66, 671-684 (5e-6 ft)."""


@dataclass(frozen=True, slots=True)
class Material:
    """What a wall is made of: roughness in m, and where that is from."""

    roughness: float
    source: str


_MOODY = "Moody (1944), drawn tubing"
_LIKE_DRAWN = "estimate: as smooth as Moody's drawn tubing"

MATERIALS: Mapping[str, Material] = {
    "copper": Material(DRAWN, _MOODY),
    "cupronickel 90-10": Material(DRAWN, _MOODY),
    "cupronickel 70-30": Material(DRAWN, _MOODY),
    "aluminium brass": Material(DRAWN, _MOODY),
    "admiralty": Material(DRAWN, _MOODY),
    "bronze": Material(DRAWN, _LIKE_DRAWN),
    "titanium": Material(DRAWN, _LIKE_DRAWN),
    "pvc": Material(DRAWN, _LIKE_DRAWN),
    "stainless": Material(1.5e-5, "handbook tables of welded stainless tube, from memory"),
    "steel": Material(4.5e-5, "Moody (1944), commercial steel (1.5e-4 ft)"),
}
"""Materials by the word that a circuit file uses."""

MATERIAL_NAMES = tuple(MATERIALS)
"""The materials that `roughness_of` knows, for a `word()` that offers them."""


def roughness_of(material: str) -> float:
    """Roughness of a new clean wall of the material, m; KeyError for an unknown one."""
    return MATERIALS[material].roughness
