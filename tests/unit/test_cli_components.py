"""The catalogue on the command line: its groups, the page of one, and what a part described there takes."""

from __future__ import annotations

import math
import re
import textwrap
from pathlib import Path

import pytest

from netsolve.components.hose import Hose
from netsolve.registry import Registry
from netsolve.water import sea_water
from tests.commands import Done, Shell, written

GPM = 3.785411784e-3 / 60
"""m3/s in a US gallon a minute: 231 cubic inches, by definition."""
PSI = 6894.757293168

PLUGIN = '''"""A weir."""

import numpy as np
from netsolve.plugin import Array, Component, Water, quantity


class Weir(Component):
    """A weir box of invented loss."""

    step: float = quantity("length", "height of the step", above=0)
    velocity_bore = ""
    sources = ("invented for the test",)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """A straight line."""
        {body}
'''


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Shell:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.chdir(tmp_path)
    return Shell(capsys)


def refused(done: Done) -> str:
    assert (done.status, done.out) == (2, "")
    assert "Traceback" not in done.err
    return done.err


def table(done: Done) -> list[list[float]]:
    """The numbers of a printed table."""
    assert done.status == 0
    return [
        [float(cell) for cell in line.split()] for line in done.out.splitlines() if re.fullmatch(r"[\d. e+-]+", line)
    ]


@pytest.mark.parametrize(
    ("name", "group"),
    [
        ("hose", "Pipes and hoses"),
        ("reducer", "Pipes and hoses"),
        ("seacock", "Valves"),
        ("check_valve", "Valves"),
        ("strainer", "Strainers"),
        ("impeller_pump", "Pumps"),
        ("tube_cooler", "Coolers"),
        ("orifice", "Other fittings"),
        ("sea_inlet", "Joints: openings"),
        ("tee", "Joints: meeting places"),
    ],
)
def test_the_catalogue_is_by_groups(shell: Shell, name: str, group: str) -> None:
    blocks = shell("components").out.split("\n\n")
    (block,) = [block for block in blocks if re.search(rf"^  {name} ", block, re.MULTILINE)]
    assert block.splitlines()[0] == group


def test_every_component_is_in_the_catalogue_once(shell: Shell) -> None:
    found = re.findall(r"^  ([a-z_]+) ", shell("components").out, re.MULTILINE)
    assert sorted(found) == list(Registry.built_in().names())


@pytest.mark.parametrize("name", Registry.built_in().names())
def test_every_page_fits_80_columns_and_has_an_example(shell: Shell, name: str) -> None:
    done = shell("components", name)
    assert (done.status, done.err) == (0, "")
    assert 80 >= max(len(line) for line in done.out.splitlines())
    assert f"type: {name}" in done.out


@pytest.mark.parametrize(("name", "fouls"), [("tube_cooler", True), ("cooling_coil", True), ("hose", False)])
def test_the_page_of_a_cooler_says_how_far_its_passing_of_heat_fouls(shell: Shell, name: str, fouls: bool):
    assert ("fouling: from 0 m² K/W to 0.00035 m² K/W" in shell("components", name).words) == fouls


def test_a_page_says_bounds_defaults_what_is_assumed_how_it_fouls_and_its_ports(shell: Shell) -> None:
    words = shell("components", "strainer").words
    assert "blinded: ratio, %; left out, 0 %; at least 0 %, below 100 %" in words
    assert "How it fouls, wears or closes blinded: from 0 % to 95 %" in words
    assert "Ports in, out" in words
    assert (
        "roughness: length, mm or in; left out, 0.01 mm (assumed); at least 0 mm" in shell("components", "hose").words
    )
    assert "shut: from open to closed" in shell("components", "seacock").words
    assert "pressure: pressure, kPa or psi" in shell("components", "tank").words  # as it is written in a file


def test_the_plot_of_a_page_rises_to_the_right_for_a_loss_and_falls_for_a_pump(shell: Shell) -> None:
    def ends(name: str) -> tuple[int, int]:
        lines = [
            line.split("|", 1)[1]
            for line in shell("components", name).out.splitlines()
            if re.match(r"[\d. -]{10} \|", line)
        ]
        columns = list(zip(*(f"{line:60}" for line in lines), strict=True))
        return columns[0].index("*"), columns[-1].index("*")

    assert ends("hose") == (7, 0)  # lines counted from the top
    assert ends("centrifugal_pump") == (0, 7)


def test_a_table_has_flow_drop_and_speed_in_both_systems(shell: Shell) -> None:
    rows = table(
        shell("components", "hose", "--set", "bore=5/8 in", "--set", "length=3 m", "--curve", "0 .. 6 gpm, 7 points")
    )
    assert [row[1] for row in rows] == [0, 1, 2, 3, 4, 5, 6]
    hose, water = Hose(bore=0.015875, length=3.0), sea_water(288.15, 35.0)
    for litres, gallons, kilopascals, psi, metres, feet in rows:
        drop = float(hose.pressure_drop(gallons * GPM, water))
        speed = gallons * GPM / (math.pi / 4 * 0.015875**2)
        told = [litres, kilopascals, psi, metres, feet]
        exact = [gallons * GPM * 6e4, drop / 1e3, drop / PSI, speed, speed / 0.3048]
        assert told == pytest.approx(exact, rel=5e-3, abs=5e-4)  # three digits, three decimals


def test_a_table_without_settings_is_that_of_the_example(shell: Shell) -> None:
    done = shell("components", "hose", "--curve", "0 .. 1 L/s, 2 points")
    assert done.out.splitlines()[0] == "hose: bore 16 mm, length 2 m"
    assert [row[0] for row in table(done)] == [0, 60]


def test_assumed_values_are_said_with_the_table_until_they_are_given(shell: Shell) -> None:
    settings = ["--set", "bore=16 mm", "--set", "length=2 m"]
    assert "roughness 0.01 mm: the middle of" in shell("components", "hose", *settings).words
    assert "assumed" not in shell("components", "hose", *settings, "--set", "roughness=0.02 mm").out


def test_a_part_that_has_no_bore_has_no_speed_and_a_pump_a_drop_below_zero(shell: Shell) -> None:
    done = shell("components", "centrifugal_pump", "--set", "shutoff=3 m", "--set", "open_flow=40 L/min")
    rows = table(done)
    assert {len(row) for row in rows} == {4}
    # 3 m of sea water of 1026 kg/m3 (15 degC, 35 g/kg) is 30.2 kPa
    assert rows[0][2] == pytest.approx(-30.2, abs=0.05)
    assert "pressure that the part gives" in done.words


def test_a_shut_valve_is_said_to_be_shut(shell: Shell) -> None:
    done = shell("components", "seacock", "--set", "bore=16 mm", "--set", "shut=closed")
    assert "it is closed by its own settings" in done.words


def test_data_is_in_si_with_what_is_assumed(shell: Shell) -> None:
    told = shell(
        "components", "hose", "--set", "bore=20 mm", "--set", "length=2 m", "--curve", "-1 .. 1 L/s, 3 points", "--json"
    ).json
    assert (told["format"], told["component"], told["settings"]) == (1, "hose", ["bore=20 mm", "length=2 m"])
    assert [each["parameter"] for each in told["assumed"]] == ["roughness"]
    assert [point["flow_m3_s"] for point in told["points"]] == pytest.approx([-1e-3, 0.0, 1e-3])
    drops = [point["pressure_drop_pa"] for point in told["points"]]
    assert drops[0] == -drops[2]
    assert told["points"][2]["velocity_m_s"] == pytest.approx(1e-3 / (math.pi / 4 * 0.02**2))


@pytest.mark.parametrize(
    ("settings", "place", "message", "help"),
    [
        (["bore=5/8 inn", "length=2 m"], "--set:1:6", "'inn' is not a unit that is known", "write 5/8 in"),
        (["length=2 m", "bor=16 mm"], "--set:2:1", "a hose has no 'bor'", "did you mean 'bore'?"),
        (["bore = -1 mm", "length=2 m"], "--set:1:8", "must be above 0 mm, not -1 mm", "for example 16 mm"),
        (["bore=16 mm"], "--set:1:1", "'hose' has no 'length'", "add --set 'length=2 m'"),
        (["bore=16 mm", "length"], "--set:2:1", "'length' is not NAME=VALUE", "write --set 'bore=16 mm'"),
        (["bore=", "length=2 m"], "--set:1:1", "'bore=' is not NAME=VALUE", ""),
        (["bore=16 mm\nlength: 2 m"], "--set:1:1", "is not NAME=VALUE", ""),
        (["bore=16 mm", "bore=17 mm"], "--set:2:1", "'bore' is given twice", "keep one of the two"),
        (["bore=[16 mm"], "--set:1:6", "the '[' opened here is never closed", "close it with ']'"),
        (["bore=16 mm", "length=2 m", "wall=rough"], "--set:3:6", "'rough' is none of smooth, corrugated", ""),
        (["bore=16 mm", "length=2 m", "kink_bore=17 mm"], "--set:", "is larger than the hose's bore", ""),
    ],
)  # fmt: skip
def test_a_bad_setting_is_told_at_its_place(
    shell: Shell, settings: list[str], place: str, message: str, help: str
) -> None:
    told = refused(shell("components", "hose", *(option for each in settings for option in ("--set", each))))
    assert f"{place}" in told
    assert message in told
    assert help in told
    line = int(re.findall(r"--set:(\d+):", told)[0])
    assert settings[line - 1].splitlines()[0] in told


@pytest.mark.parametrize(
    ("flows", "place", "message", "help"),
    [
        ("6 .. 0 gpm", "1:1", "the range does not rise", "put the smaller flow first"),
        ("0 .. 0 gpm", "1:1", "the range does not rise", ""),
        ("0 .. 6 furlongs", "1:6", "'furlongs' is not a unit that is known", "for example 12 L/min"),
        ("0 .. 6", "1:6", "'6' has no unit", "write 6 L/min or 6 gpm"),
        ("few .. 6 gpm", "1:1", "'few' is not a number", ""),
        ("0 kPa .. 6 gpm", "1:1", "'0 kPa' is a pressure", "for example 12 L/min"),
        ("0 .. 1,5 gpm", "1:6", "has a comma in its number", "write 1.5 gpm"),
        ("0 .. 6 gpm, 1 points", "1:13", "from 2 to 200 points can be shown, not '1'", "write 7 points"),
        ("0 .. 6 gpm, 1e9 points", "1:13", "can be shown, not '1e9'", ""),
        ("0 .. 6 gpm, ², points", "1:", "", ""),
        ("6 gpm", "1:1", "'6 gpm' is not a range of flows", "write --curve '0 .. 6 gpm, 7 points'"),
        ("", "1:1", "'' is not a range of flows", ""),
    ],
)
def test_a_bad_range_is_told_at_its_place(shell: Shell, flows: str, place: str, message: str, help: str) -> None:
    told = refused(shell("components", "hose", "--curve", flows))
    assert f"--curve:{place}" in told
    assert message in told
    assert help in told


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["tee", "--curve", "0 .. 6 gpm"], "'tee' is a joint"),
        (["--curve", "0 .. 6 gpm"], "are of one component"),
        (["--json"], "are of one component"),
        (["hoes", "--set", "bore=16 mm"], "no component is called 'hoes'"),
    ],
)
def test_what_has_no_table_is_refused(shell: Shell, arguments: list[str], message: str) -> None:
    assert message in refused(shell("components", *arguments))


def test_a_plugin_has_a_place_in_the_catalogue_a_page_and_a_table(shell: Shell, tmp_path: Path) -> None:
    written(tmp_path, PLUGIN.replace("{body}", "return 2e6 * flow"), "weir.py")
    listed = shell("components", "--plugins", tmp_path).out
    assert re.search(r"Other fittings\n(  .*\n)*  weir +A weir box of invented loss\.", listed)
    page = shell("components", "weir", "--plugins", tmp_path).out
    assert "- weir: {type: weir, step: 16 mm}" in page
    assert "What the example takes" in page
    rows = table(
        shell("components", "weir", "--plugins", tmp_path, "--set", "step=0.1 m", "--curve", "0 .. 60 L/min, 3")
    )
    assert [row[2] for row in rows] == [0, 1, 2]


@pytest.mark.parametrize("body", ["return flow / None", "return np.zeros(3)"])
def test_a_plugin_that_fails_is_to_blame_and_still_has_its_page(shell: Shell, tmp_path: Path, body: str) -> None:
    written(tmp_path, PLUGIN.replace("{body}", body), "weir.py")
    told = refused(shell("components", "weir", "--plugins", tmp_path, "--set", "step=0.1 m"))
    assert "error[plugin-failed]: 'Weir' fails" in told
    page = shell("components", "weir", "--plugins", tmp_path)
    assert page.status == 0
    assert "What the example takes" not in page.out


@pytest.mark.parametrize("name", ["cooling_coil", "heat_exchanger", "tube_cooler"])
def test_the_page_of_a_cooler_tells_what_it_may_say_of_heat(shell: Shell, name: str) -> None:
    page = shell("components", name).out
    heat = page[page.index("What it may say of heat") : page.index("\nPorts\n")]
    for key in ("cools", "heat", "ua", "u", "rated_duty", "arrangement", "fouling", "oil_pressure"):
        assert re.search(rf"^  {key}: ", heat, re.MULTILINE), key
    assert "netsolve components oils" in " ".join(heat.split())


def test_the_page_of_another_part_says_nothing_of_heat(shell: Shell) -> None:
    assert "heat" not in shell("components", "hose_tail").out


def test_the_oil_and_its_cooler_on_their_page_can_be_pasted(shell: Shell) -> None:
    page = shell("components", "oils").out
    assert max(map(len, page.splitlines())) <= 80
    oil, _, cooler = page.partition("An example to paste\n")[2].partition("\n\nand the part that cools it\n")
    cooler = cooler.partition("\n\n")[0]
    Path("boat.yaml").write_text(
        f"""format: 1
circuit: pasted
water: {{kind: sea, temperature: 15 degC, salinity: 35 g/kg}}
{textwrap.dedent(oil)}
joints:
  feed: {{type: fixed_flow, flow: 8 L/min, height: 0 m}}
  sea: {{type: tank, level: 0 m, losses: none}}
runs:
  branch:
    from: feed
    to: sea
    parts:
{textwrap.indent(cooler, "      ")}
""",
        encoding="utf-8",
    )
    (row,) = shell("heat", "boat.yaml", "--json").json["rows"]
    rate = 8e-3 / 60 * 1026 * 3990  # sea water of 15 degC: 1026 kg/m3, 3990 J/(kg K), handbooks
    passed = rate * (1 - math.exp(-100 / rate))
    wanted = (2000 + passed * 15 + 8 * 35) / (passed + 8)
    assert row["oils"]["hydraulic"]["plateau_k"] - 273.15 == pytest.approx(wanted, abs=0.2)
