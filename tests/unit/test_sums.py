"""Values added up in columns, whichever of the three ways it is done, against numpy's own."""

import numpy as np
import pytest

from netsolve.arrays.stack import MOST_IN_TABLE, Sums


@pytest.mark.parametrize(
    ("rows", "slots", "columns"),
    [(1, 6, 4), (3, 6, 4), (2, 90, MOST_IN_TABLE // 80), (6, 6, 4), (50, 6, 4)],
    ids=["a table, one row", "a table, few rows", "row by row", "slot by slot, just", "slot by slot"],
)
def test_slots_of_one_column_add_up(rows: int, slots: int, columns: int) -> None:
    draw = np.random.default_rng(rows)
    where, values = draw.integers(0, columns, slots), draw.normal(size=(rows, slots))
    total = np.asfortranarray(draw.normal(size=(rows, columns)))
    expected = total.copy()
    np.add.at(expected, (slice(None), where), values)
    Sums(where).add(total, np.asfortranarray(values))
    np.testing.assert_allclose(total, expected, rtol=0, atol=1e-12)
