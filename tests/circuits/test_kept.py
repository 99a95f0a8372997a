"""The tables and pictures beside the circuits are what the program gives today."""

from pathlib import Path

import pytest

from tests.circuits.kept import CIRCUITS, FOLDER, pictures, table


@pytest.mark.parametrize("path", CIRCUITS, ids=lambda path: path.stem)
def test_the_table_beside_the_circuit_is_true(path: Path):
    assert path.with_suffix(".txt").read_text(encoding="utf-8") == table(path)


@pytest.mark.parametrize("path", CIRCUITS, ids=lambda path: path.stem)
def test_the_picture_beside_the_circuit_is_true(path: Path, tmp_path: Path):
    for made in pictures(path, tmp_path):
        assert (FOLDER / made.name).read_bytes() == made.read_bytes()
