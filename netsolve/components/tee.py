"""A tee, in all six combinations of flow directions.

In each of the six the two losses are quadratic forms in the two flows, whose coefficients depend on the ratio
of areas `a` and on the angle alone. A leg's flow is a pair: so many times `straight`, so many times `branch`.
`turn` is the angle through which the branch's stream turns, 0 straight on; heads are of the main's velocity.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from netsolve.plugin import Array, Joint, Water, area, quantity, word

Leg = tuple[float, float]
Floats = npt.NDArray[np.float64]

RUN_LAMINAR = 200.0
BRANCH_LAMINAR = 500.0
"""Hooper's K1 of a screwed tee, straight through and as an elbow: K1/Re velocity heads are lost besides."""

NO_LOSS = 100.0
"""Pa s/m3: the resistance left where losses are not counted, 0.1 Pa at 1 L/s."""


@dataclass(frozen=True, slots=True)
class Form:
    """A quadratic form in the flows x to `straight` and y to `branch`: xx x^2 + xy x y + yy y^2."""

    xx: Array
    xy: Array
    yy: Array

    def at(self, x: Array, y: Array) -> Array:
        """The value at two flows."""
        return (self.xx * x + self.xy * y) * x + self.yy * y * y

    def gradient(self, x: Array, y: Array) -> tuple[Array, Array]:
        """The derivatives by x and by y."""
        return self.xx * (x + x) + self.xy * y, self.xy * x + self.yy * (y + y)

    def __neg__(self) -> "Form":
        return Form(-self.xx, -self.xy, -self.yy)

    def __sub__(self, other: "Form") -> "Form":
        return Form(self.xx - other.xx, self.xy - other.xy, self.yy - other.yy)


FIELDS = ("xx", "xy", "yy")


def form(*terms: tuple[Array, Leg, Leg]) -> Form:
    """The sum of terms, each a coefficient times the flows of two legs."""
    return Form(
        sum((k * p[0] * q[0] for k, p, q in terms), 0.0),
        sum((k * (p[0] * q[1] + p[1] * q[0]) for k, p, q in terms), 0.0),
        sum((k * p[1] * q[1] for k, p, q in terms), 0.0),
    )


DEAD_RUN = 0.35
"""Run loss of a dividing tee when all goes into the branch, in main heads (Gardel)."""


def dividing(run: Leg, branch: Leg, a: Array, turn: Array) -> tuple[Form, Form]:
    """Losses from the leg with the sum to the run (Gardel) and to the branch (Bassett K6)."""
    whole = (run[0] + branch[0], run[1] + branch[1])
    to_run = form((0.03, run, run), (DEAD_RUN, branch, branch), (-0.2, run, branch))
    bend = -2.0 * np.cos(0.75 * turn) / a
    return to_run, form((1.0, whole, whole), (1.0 / (a * a), branch, branch), (bend, whole, branch))


def combining(run: Leg, branch: Leg, a: Array, turn: Array) -> tuple[Form, Form]:
    """Losses from run and branch to the leg with the sum (Gardel; his 0.92 is 0.97 to close a border)."""
    mixing = (2.0 - a, run, branch)
    from_run = form((0.03, run, run), (_run_all_branch(a, turn), branch, branch), mixing)
    return from_run, form((-0.97, run, run), (_branch_all_branch(a, turn), branch, branch), mixing)


def _run_all_branch(a: Array, turn: Array) -> Array:
    """Loss from the still run to the outlet, all coming from the branch, in main heads."""
    return -(1.0 + 1.62 * (np.cos(turn) / a - 1.0) - 0.38 * (1.0 - a))


def _branch_all_branch(a: Array, turn: Array) -> Array:
    """Loss from the branch to the outlet, all coming from the branch, in main heads."""
    cosine = np.cos(turn)
    return -(1.2 * (cosine / a - 1.0) + 0.8 * (1.0 - 1.0 / (a * a)) - (1.0 / a - 1.0) * cosine)


def facing(leg: Leg, other: Leg, alone: Array, dead: Array) -> Form:
    """Loss between one of two facing runs and the branch that carries their sum.

    `alone` is the loss, in main heads, when this leg carries all; `dead` when the other one does. The last
    term is Bassett's.
    """
    whole = (leg[0] + other[0], leg[1] + other[1])
    return form((dead, other, whole), (alone, leg, whole), (-1.0, leg, other))


def sectors(a: Array, angle: Array) -> tuple[tuple[Form, Form], ...]:
    """Losses common to straight and common to branch, in main heads, in the order of `sector`."""
    common, straight, branch = (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)
    against, back = (-1.0, 0.0), (-1.0, -1.0)
    lean = np.pi - angle

    divided = dividing(straight, branch, a, angle)
    mixed = combining(straight, branch, a, angle)
    divided_back = dividing(back, branch, a, lean)
    mixed_on = combining(common, (0.0, -1.0), a, lean)

    into, into_lean = _all_into_branch(a, angle), _all_into_branch(a, lean)
    from_common = facing(common, against, into, into_lean - DEAD_RUN)
    from_straight = facing(against, common, into_lean, into - DEAD_RUN)

    out, out_lean = _branch_all_branch(a, angle), _branch_all_branch(a, lean)
    to_common = facing(common, against, out, out_lean - _run_all_branch(a, lean))
    to_straight = facing(against, common, out_lean, out - _run_all_branch(a, angle))
    return (
        divided,
        (-mixed[0], -mixed[1]),
        (-divided_back[0], divided_back[1] - divided_back[0]),
        (mixed_on[0], mixed_on[0] - mixed_on[1]),
        (from_common - from_straight, from_common),
        (to_straight - to_common, -to_common),
    )


def _all_into_branch(a: Array, turn: Array) -> Array:
    """Loss into the branch, all going there, in main heads."""
    return 1.0 + 1.0 / (a * a) - 2.0 * np.cos(0.75 * turn) / a


def sector(straight: Array, branch: Array) -> npt.NDArray[np.intp]:
    """Which of the six sectors the flows lie in, the first that holds, in the order of `sectors`.

    common divides, common collects, straight divides, straight collects, branch collects, branch divides.
    """
    common = straight + branch
    rest = np.where(branch >= 0.0, 4, 5)
    rest = np.where((common >= 0.0) & (branch <= 0.0), 3, rest)
    rest = np.where((common <= 0.0) & (branch >= 0.0), 2, rest)
    rest = np.where((straight <= 0.0) & (branch <= 0.0), 1, rest)
    return np.where((straight >= 0.0) & (branch >= 0.0), 0, rest)


class Tee(Joint):
    """A tee: `common` carries the sum of `straight` and `branch`, whichever way each of the three flows.

    Losses are quadratic forms in the flows times rho/(2 A^2), A the area of `bore`, and continuous wherever a
    leg stands still; their slopes jump there, and may be negative, for one stream can drive another. Added is
    Hooper's K1/Re, 200 for `straight` and 500 for `branch`, each in its own bore: a slope at no flow.
    Measured square equal tees: rms 0.05 of a head dividing, combining 0.08 for the run, 0.17 for the branch.
    """

    bore: float = quantity("length", "inside diameter of the straight way", shown="mm", above=0, example="32 mm")
    branch_bore: float = quantity("length", "inside diameter of the branch", shown="mm", above=0, same_as="bore")
    angle: float = quantity(
        "angle",
        "turn from common into branch: less than 90 deg leans along, more leans back",
        shown="deg",
        at_least=np.pi / 6,
        at_most=5 * np.pi / 6,
        default=np.pi / 2,
    )
    losses: str = word("the losses of the tee", "counted", "none", default="counted")

    ports = ("common", "straight", "branch")
    paths = (("common", "straight"), ("common", "branch"))
    coupled = True
    sources = (
        "Bassett, Winterbone & Pearson (2001), Proc. IMechE C 215(8), 861-881: into the branch, facing runs",
        "Gardel (1957), Bulletin technique de la Suisse romande 83, 123 and 143: other paths (from memory)",
        "Hooper (1981), Chemical Engineering 88(17), 96-100: K1 of tees",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Total pressure lost from common to straight and to branch, Pa; one flow for each, leading axis."""
        flows = np.asarray(flow)
        if self.losses == "none":
            return NO_LOSS * flows
        x, y = flows[0], flows[1]
        head, linear, form = self._terms(flows, water)
        lost: Array = head * form.at(x, y) + linear * flows
        return lost

    def jacobian(self, flow: Array, water: Water) -> Array:
        """Derivatives of both losses (first axis) by both flows (second), Pa s/m3; exact inside a sector."""
        flows = np.asarray(flow)
        if self.losses == "none":
            none = 0.0 * flows[0]
            return np.array([[NO_LOSS + none, none], [none, NO_LOSS + none]])
        x, y = flows[0], flows[1]
        head, linear, form = self._terms(flows, water)
        by_straight, by_branch = form.gradient(x, y)
        slopes = np.empty((2, *np.shape(by_straight)))
        slopes[:, 0], slopes[:, 1] = head * by_straight, head * by_branch
        slopes[0, 0] += linear[0]
        slopes[1, 1] += linear[1]
        return slopes

    def check(self) -> Iterable[str]:
        """No source covers a branch wider than the main."""
        if self.branch_bore > self.bore:
            yield "the branch is wider than the main: no source covers it, add a reducer"

    def _terms(self, flow: Floats, water: Water) -> tuple[Array, Floats, Form]:
        """Velocity pressure in the main per flow squared, rho/(2 A^2); K1 mu / (2 d A) of both paths; their form.

        Each coefficient of the form is taken from the sector in which the flows lie.
        """
        if flow.ndim not in self._shapes:
            self._shapes[flow.ndim] = self._shape(flow.ndim)
        head, linear, forms = self._shapes[flow.ndim]
        form = forms[0]
        if np.count_nonzero(flow < 0.0):  # the rule: all tees of a circuit divide in all rows
            where = sector(*flow)
            form = Form(*(np.choose(where, [getattr(each, name) for each in forms]) for name in FIELDS))
        return water.density * head, np.asarray(water.viscosity * linear), form

    @cached_property
    def _shapes(self) -> dict[int, tuple[Array, Floats, list[Form]]]:
        """What `_shape` gives, by the number of axes."""
        return {}

    def _shape(self, axes: int) -> tuple[Array, Floats, list[Form]]:
        """What its bores and its angle make of `_terms`, the forms by sector; flows have so many axes, paths first."""
        fields = np.broadcast_shapes(*map(np.shape, (self.bore, self.branch_bore, self.angle)))

        def beside(values: Iterable[Array]) -> Floats:
            each = [np.broadcast_to(value, fields) for value in values]
            return np.array(each).reshape(len(each), *(1,) * (axes - 1 - len(fields)), *fields)

        forms = sectors((self.branch_bore / self.bore) ** 2, self.angle)
        along = 0.5 * RUN_LAMINAR / (self.bore * area(self.bore))
        off = 0.5 * BRANCH_LAMINAR / (self.branch_bore * area(self.branch_bore))
        return (
            0.5 / area(self.bore) ** 2,
            beside((along, off)),
            [Form(*(beside(getattr(path, name) for path in both) for name in FIELDS)) for both in forms],
        )
