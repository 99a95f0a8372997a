"""Loss coefficients of fittings, and what a valve's Kv or Cv means; floats or arrays, angles in rad.

A K stands on the velocity pressure in the bore that its docstring names, fully turbulent; beta is small over
large bore.
"""

from __future__ import annotations

import numpy as np

from netsolve.hydraulics import colebrook
from netsolve.water import Array, Water

ENTRANCE_SHARP = 0.5
"""K of a square-edged entrance flush with the wall. Source: Crane TP-410, A-30 (from memory)."""

ENTRANCE_PROJECTING = 0.78
"""K of a pipe that projects into the water. Source: Crane TP-410, A-30 (from memory); Idelchik has 1.0."""

EXIT = 1.0
"""K of an exit: all of the velocity pressure. Source: Borda-Carnot; Crane TP-410, A-30 (from memory)."""

CLOSED_ANGLE = np.pi / 2 * (1 - 1e-9)
"""rad: from this angle on a quarter-turn valve is closed; a rounding short of 90 degrees."""

_PSI = 6894.757293168
_US_GALLON_PER_MINUTE = 3.785411784e-3 / 60.0
_CUBIC_METRE_PER_HOUR = 1.0 / 3600.0
_REFERENCE_DENSITY = 999.0  # kg/m3, water at 15 degC, to which Crane and IEC 60534 refer specific gravity

_ROUNDED = ((0.0, 0.02, 0.04, 0.06, 0.10, 0.15), (0.5, 0.28, 0.24, 0.15, 0.09, 0.04))
# Weisbach's K of a cock in a round pipe by degrees from open. The last point is the line through 60 and 65
# degrees in ln K drawn on to 90: his cock shut at 82.5, and between 65 and that he gives nothing.
_COCK_DEGREES = (5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 90)
_COCK = (
    0.05,
    0.29,
    0.75,
    1.56,
    3.10,
    5.47,
    9.68,
    17.3,
    31.2,
    52.6,
    106.0,
    206.0,
    486.0,
    486.0 * (486.0 / 206.0) ** 5,
)
_LN_COCK = np.log(_COCK)

# The port of a reduced-bore valve, a size below its bore, in cones of 30 degrees.
_REDUCED_PORT, _REDUCED_CONE = 0.8, np.pi / 6
_BENDS = (
    (1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0, 20.0),
    (20.0, 14.0, 12.0, 12.0, 14.0, 17.0, 24.0, 30.0, 34.0, 38.0, 42.0, 50.0),
)


def ft(bore: Array) -> Array:
    """Crane's friction factor of full turbulence in clean commercial steel of a bore in m.

    Colebrook's factor at Re = 7.5e6 D with e/D = 3.41268e-5 D^-1.0112.

    Source: Crane TP-410, editions from 2009, table A-27; the fit is that of the `fluids` library (ft_Crane).
    """
    return colebrook(7.5e6 * bore, 3.4126825352925e-5 * bore**-1.0112)


def entrance_rounded(radius_over_bore: Array) -> Array:
    """K of an entrance with rounded edge, on the bore, by the edge's radius over bore.

    Straight between Crane's points; 0.04 from r/d = 0.15 up.

    Source: Crane TP-410, A-30.
    """
    return np.interp(radius_over_bore, *_ROUNDED)


def contraction(beta: Array) -> Array:
    """K of a sudden contraction on the smaller bore, 0.5 (1 - beta^2). Source: Crane TP-410, A-26."""
    return 0.5 * (1.0 - beta * beta)


def enlargement(beta: Array) -> Array:
    """K of a sudden enlargement on the smaller bore, (1 - beta^2)^2. Source: Borda-Carnot; Crane, A-26."""
    return (1.0 - beta * beta) ** 2


def taper_contraction(beta: Array, angle: Array) -> Array:
    """K of a contracting cone on the smaller bore; `angle` is the included angle.

    0.8 sin(a/2) (1 - beta^2) up to 45 degrees, 0.5 sqrt(sin(a/2)) (1 - beta^2) above; Crane's two pieces
    leave a step of 1 % between them.

    Source: Crane TP-410, A-26, formulas 1 and 2.
    """
    half = np.sin(0.5 * angle)
    return np.where(angle <= np.pi / 4.0, 0.8 * half, 0.5 * np.sqrt(half)) * (1.0 - beta * beta)


def taper_enlargement(beta: Array, angle: Array) -> Array:
    """K of a widening cone on the smaller bore; `angle` is the included angle.

    2.6 sin(a/2) (1 - beta^2)^2 up to 45 degrees, (1 - beta^2)^2 above.

    Source: Crane TP-410, A-26, formulas 3 and 4.
    """
    share = np.where(angle <= np.pi / 4.0, 2.6 * np.sin(0.5 * angle), 1.0)
    return share * enlargement(beta)


def orifice_recovered(beta: Array, cd: Array) -> Array:
    """K on the pipe's bore of an orifice in a line, where the jet fills the pipe again.

    [sqrt(1 - beta^4 (1 - C^2)) / (C beta^2) - 1]^2. Worked as [sqrt(1 + (beta^-4 - 1)/C^2) - 1]^2, the same
    thing: for any C it falls steadily as the hole grows and is exactly zero where the hole is the bore.

    Source: ISO 5167-2:2003, clause 5.4 (permanent pressure loss), as a coefficient.
    """
    return (np.sqrt(1.0 + (beta**-4.0 - 1.0) / (cd * cd)) - 1.0) ** 2


def bend_90(radius_over_bore: Array, bore: Array) -> Array:
    """K of a smooth 90 degree bend by its centre-line radius over bore, n fT, its own friction included.

    Straight between Crane's points; held at the ends of the table, r/d 1 and 20.

    Source: Crane TP-410, A-30 (table of n).
    """
    return np.interp(radius_over_bore, *_BENDS) * ft(bore)


def mitre(angle: Array) -> Array:
    """K of a mitred bend of one cut by its angle of turn, 0.42 sin(a/2) + 2.56 sin^3(a/2).

    Source: Rennels & Hudson (2012), Pipe Flow, ch. 15.
    """
    half = np.sin(0.5 * angle)
    return half * (0.42 + 2.56 * half * half)


def cock(angle: Array) -> Array:
    """K that a cock or ball in a round bore adds, by its angle from open; none when open.

    ln K straight between Weisbach's angles, as the square of the angle below 5 degrees; above 65 degrees K
    grows as fast as from 60 to 65.

    Source: Weisbach, as tabulated in Perry's Chemical Engineers' Handbook (5, 10, 20, 40 and 60 degrees; the
    others from memory).
    """
    degrees = np.degrees(angle)
    k: Array = np.exp(np.interp(degrees, _COCK_DEGREES, _LN_COCK)) * np.minimum(degrees / _COCK_DEGREES[0], 1.0) ** 2
    return k


def ball_valve(bore: Array, angle: Array, *, reduced: bool) -> tuple[Array, float]:
    """K on the bore of a ball valve by its angle from open, and Hooper's K1, which goes over Re.

    3 fT, or that of a port of 0.8 bores between cones of 30 degrees (about 0.6), plus `cock`.

    Source: Crane TP-410, A-28, ball valve, formulas 5 and 6; Hooper (1981), Chemical Engineering 88(17),
    96-100: K1 300 full and 1000 reduced.
    """
    if not reduced:
        return 3.0 * ft(bore) + cock(angle), 300.0
    cones = taper_contraction(_REDUCED_PORT, _REDUCED_CONE) + taper_enlargement(_REDUCED_PORT, _REDUCED_CONE)
    return (3.0 * ft(bore) + cones) / _REDUCED_PORT**4 + cock(angle), 1000.0


def part_open(opening: Array, openings: tuple[float, ...], ks: tuple[float, ...]) -> Array:
    """K by opening (0 to 1) from a handbook's points: ln K straight between them.

    Below the first point K grows as the inverse square of the opening, as for a hole whose area goes with it; held
    below 1 %, so that it stays finite.
    """
    held = np.maximum(opening, 0.01)
    k: Array = np.exp(np.interp(held, openings, np.log(ks))) * np.maximum(openings[0] / held, 1.0) ** 2
    return k


def grate(open_share: Array) -> Array:
    """K on the bore of an entrance through a grate, (1.707/f - 1)^2, f the open area over the bore's area.

    The entrance is included: f = 1 gives 0.5.

    Source: Idelchik, Handbook of Hydraulic Resistance, diagram 3-12 (from memory); Borda with Cc = 0.586.
    """
    return (1.707 / open_share - 1.0) ** 2


def perforated_plate(open_share: Array) -> Array:
    """K of a thin, sharp-edged perforated plate across a pipe on the approaching flow; none where f = 1.

    [0.707 sqrt(1 - f) + 1 - f]^2 / f^2, f the open share. Later editions print (1 - f)^0.375, which gives 4
    to 13 % more for f 0.3 to 0.6.

    Source: Idelchik, Handbook of Hydraulic Resistance, diagram 8-1 (older editions; from memory).
    """
    closed = 1.0 - open_share
    return ((0.707 * np.sqrt(closed) + closed) / open_share) ** 2


def screen(open_area: Array, reynolds_wire: Array) -> Array:
    """K of a clean screen of round woven wire on the approaching flow, by open share and U d_wire / nu.

    (1 - f^2)/f^2 [7.125/Re + 0.88/log10(Re + 1.25) + 0.055 log10(Re)], Re from 1e-4 to 1e4; held at its ends.

    Source: Brundrett (1993), J. Fluids Eng. 115, 239-242 (from memory).
    """
    re = np.clip(reynolds_wire, 1e-4, 1e4)
    squared = open_area * open_area
    law = 7.125 / re + 0.88 / np.log10(re + 1.25) + 0.055 * np.log10(re)
    k: Array = (1.0 - squared) / squared * law
    return k


def kv_coefficient(kv: Array, water: Water) -> Array:
    """What to multiply Q|Q| by for the drop in Pa across a valve of Kv (m3/h at 1 bar), Q in m3/s.

    Drop = SG (Q/Kv)^2 bar, SG = density/999, against water at 15 degC.

    Source: IEC 60534-1 (from memory).
    """
    return water.density / _REFERENCE_DENSITY * 1e5 / (kv * _CUBIC_METRE_PER_HOUR) ** 2


def cv_coefficient(cv: Array, water: Water) -> Array:
    """What to multiply Q|Q| by for the drop in Pa across a valve of Cv (US gal/min at 1 psi), Q in m3/s.

    Drop = SG (Q/Cv)^2 psi, SG = density/999, against water at 15 degC (60 degF) as Crane and IEC 60534 do.

    Source: Crane TP-410, eq. 2-8 ff. (from memory); IEC 60534-1.
    """
    return water.density / _REFERENCE_DENSITY * _PSI / (cv * _US_GALLON_PER_MINUTE) ** 2
