"""The architecture: text → circuit → graph → arrays → solution → result → findings → views, one way only."""

from importlinter.cli import EXIT_STATUS_SUCCESS, lint_imports


def test_upper_modules_may_import_lower_ones_never_the_other_way_and_none_in_a_circle():
    assert EXIT_STATUS_SUCCESS == lint_imports(no_cache=True)
