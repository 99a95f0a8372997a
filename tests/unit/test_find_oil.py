"""What `--for` cannot ask of an oil."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import Shell
from tests.unit.test_need_from_heat import text


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def test_a_flow_is_not_compared_with_an_oil(shell: Shell, tmp_path: Path):
    path = tmp_path / "winch.yaml"
    path.write_text(text(), encoding="utf-8")
    done = shell("sweep", str(path), "--find", "water.temperature = 5 .. 40 degC", "--for", "cooler = winch")
    assert done.err.startswith("--for:1:10: error[bad-goal]")
    assert "cooler carries water, winch is an oil" in done.err
    assert "--for 'winch = 60 degC'" in done.err
