"""The size that is chosen serves, the next one down does not, by solving files that have them."""

import pytest

import netsolve
from netsolve.quantities import sizes
from netsolve.study.one_row import row_at
from netsolve.units import read
from tests.commands import CIRCUITS, POT_HAULER, Shell, edited, written

HAULER = netsolve.load(POT_HAULER)


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def spare(bore: float, condition: str) -> float:
    """What the oil cooler of the pot hauler gets above its need with hoses of a bore (m), in shares of the need."""
    part = row_at(
        HAULER, condition, "as found", {f"{hose} hose.bore": f"{bore} m" for hose in ("feed", "return")}
    ).part("oil cooler")
    return part.flow / part.min_flow - 1


@pytest.mark.parametrize(("reserve", "share"), [((), 0.15), (("--reserve", "25 %"), 0.25), (("--reserve", "0 %"), 0.0)])
@pytest.mark.parametrize(("system", "names"), [("metric", sizes.HOSE_METRIC), ("us", sizes.HOSE_INCH)])
def test_the_smallest_hose_that_serves(shell, reserve, share, system, names):
    done = shell(
        "size",
        POT_HAULER,
        "feed hose.bore",
        "return hose.bore",
        "--condition",
        "full",
        "--units",
        system,
        *reserve,
        "--json",
    )
    (told,) = done.json["sizings"]
    by_hand = next(
        name for name, bore in sorted(names.items(), key=lambda each: each[1]) if spare(bore, "full") >= share
    )
    assert told["chosen"] == f"{by_hand} {'mm' if system == 'metric' else 'in'}"
    assert done.json["reserve"] == share
    for each in told["candidates"]:
        assert each["serves"] == (spare(each["value_m"], "full") >= share)


def test_every_condition_counts(shell):
    told = shell("size", POT_HAULER, "feed hose.bore", "return hose.bore", "--json").json["sizings"][0]
    assert told["chosen"] is None
    assert {each["tightest"]["condition"] for each in told["candidates"][-3:]} == {"idle"}
    out = shell("size", POT_HAULER, "feed hose.bore", "return hose.bore")
    assert "from 6.3 mm to 76 mm serves every need" in out.words
    assert "--sensitivity 'oil cooler'" in out.words
    assert max(map(len, out.out.splitlines())) <= 80


def test_the_next_one_down_and_up_stand_beside_it(shell):
    out = shell("size", POT_HAULER, "feed hose.bore", "return hose.bore", "--condition", "full", "--units", "us").out
    lines = [line.split()[:2] for line in out.splitlines() if " in  " in line]
    assert lines == [["1/2", "in"], ["->", "5/8"], ["3/4", "in"]]


def test_a_drill_that_neither_starves_nor_overfeeds(shell, tmp_path):
    """An orifice that is too small starves its own branch, one too large overfeeds it: a few drills fit between."""
    text = (CIRCUITS / "two_coolers.yaml").read_text(encoding="utf-8")
    done = shell(
        "size",
        CIRCUITS / "two_coolers.yaml",
        "balancing orifice.bore",
        "--change",
        "balancing orifice",
        "--reserve",
        "0 %",
        "--json",
    )
    (told,) = done.json["sizings"]
    assert told["chosen"] in {f"{name} mm" for name in sizes.DRILL_METRIC}
    serving = [each["serves"] for each in told["candidates"]]
    assert serving[0] is False
    circuit = netsolve.loads(text)
    for each in told["candidates"]:
        rows = [
            row_at(circuit, condition, "balancing orifice", {"balancing orifice.bore": f"{each['value_m']} m"})
            for condition in circuit.conditions
        ]
        met = all(
            part.verdict not in ("starved", "dry", "shut", "reversed", "overfed")
            for row in rows
            for part in row.parts.values()
            if part.fitted
        )
        assert each["serves"] == met


def test_the_most_that_a_part_stands_counts_too(shell, tmp_path):
    text = edited(
        "coil_diameter: 250 mm, min_flow: 3 gpm}", "coil_diameter: 250 mm, min_flow: 2 gpm, max_flow: 14 L/min}"
    )
    told = shell("size", written(tmp_path, text), "feed hose.bore", "--condition", "full", "--json").json["sizings"][0]
    serving = [each["name"] for each in told["candidates"] if each["serves"]]
    assert told["chosen"] == serving[0]
    assert told["candidates"][-1]["tightest"]["bound"] == "max_flow"
    assert told["candidates"][-1]["serves"] is False


def test_a_size_that_matters_to_nothing_is_not_named(shell):
    out = shell("size", POT_HAULER, "weed strainer.bore", "--condition", "full").words
    assert "makes a difference to any need, so none is named" in out
    assert "DN" not in out


@pytest.mark.parametrize("name", sizes.STANDARD)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_name_of_a_size_is_read_as_its_bore(name, system):
    for text, bore in sizes.STANDARD[name][system].items():
        if not text.startswith("DN "):
            assert read(text, "length").value == pytest.approx(bore)


@pytest.mark.parametrize(
    ("settings", "message"),
    [
        ((), "nothing is to be sized"),
        (("oil cooler.bore",), "comes in no standard sizes"),
        (("feed hose.bore", "seacock.bore"), "comes in valve sizes"),
        (("feed hse.bore",), "did you mean 'feed hose'?"),
        (("feed hose.bor",), "did you mean 'bore'?"),
        (("feed hose.bore", "--reserve", "lots"), "--reserve"),
        (("feed hose.bore", "--reserve", "-5 %"), "no reserve to ask for"),
    ],
)
def test_what_cannot_be_sized_is_told(shell, settings, message):
    done = shell("size", POT_HAULER, *settings)
    assert (done.status, done.out) == (2, "")
    assert message in done.err


def test_a_circuit_without_needs_has_nothing_to_size_for(shell, tmp_path):
    text = (
        edited(", min_flow: 35 L/min}", "}")
        .replace(", min_flow: 3 gpm}", "}")
        .replace(", oil cooler.min_flow: 1.5 gpm", "")
    )
    done = shell("size", written(tmp_path, text), "feed hose.bore")
    assert done.status == 2
    assert "no part has a need" in done.err
