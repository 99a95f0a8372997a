"""The short list of units says what pint's own full list says."""

from decimal import Decimal

import pint
import pytest

from netsolve.quantities.definitions import LINES
from netsolve.quantities.spellings import KINDS

EXPRESSIONS = sorted(
    {(unit.format(gallon=gallon), kind.si) for kind in KINDS.values() for unit in kind.units.values()
     for gallon in ("gallon", "imperial_gallon")}
)  # fmt: skip


@pytest.fixture(scope="module")
def registries() -> tuple[pint.UnitRegistry, pint.UnitRegistry]:
    ours = pint.UnitRegistry(None, non_int_type=Decimal)
    ours.load_definitions(LINES)
    return ours, pint.UnitRegistry(non_int_type=Decimal)


@pytest.mark.parametrize(("expression", "si"), EXPRESSIONS)
def test_every_unit_is_what_pints_own_list_says(registries, expression, si):
    for number in (Decimal(0), Decimal(1)):
        ours, theirs = (float(each.Quantity(number, expression).to(si).magnitude) for each in registries)
        assert theirs == pytest.approx(ours, rel=1e-11, abs=1e-14)
