"""The outline of a voyage: what its files say, before any plan."""

import subprocess
import sys
from pathlib import Path

import pytest

from voyager.errors import Problems
from voyager.session.outline import outline

ROUTES = Path(__file__).parents[2] / "routes"
VOYAGES = ["spring.toml", "autumn.toml", "winter.toml"]


def tables(name: str) -> dict:
    import tomli

    return tomli.loads((ROUTES / name).read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", VOYAGES)
def test_says_what_the_file_says(name):
    raw, told = tables(name), outline(str(ROUTES / name))
    assert told["voyage"]["departs"] == str(raw["departs"])
    assert told["voyage"]["sky"] == raw.get("sky", "cautious")
    assert told["voyage"]["aim"] == raw.get("aim", "soonest")
    assert [(leg["from"], leg["to"]) for leg in told["legs"]] == [(leg["from"], leg["to"]) for leg in raw["leg"]]
    assert [leg["nights"] for leg in told["legs"]] == [leg.get("nights", 0) for leg in raw["leg"]]
    fixed = [bool({"speed_kmh", "speed_kn"} & set(leg)) for leg in raw["leg"]]
    assert [leg["fixed_speed"] for leg in told["legs"]] == fixed
    assert [leg["leg"] for leg in told["legs"]] == list(range(1, len(raw["leg"]) + 1))


@pytest.mark.parametrize("name", VOYAGES)
def test_the_comfort_ladder_is_the_boats_and_ends_with_off(name):
    told = outline(str(ROUTES / name))
    steps = list(tables(tables(name)["boat"]).get("comfort", {}))
    assert told["choices"]["comfort"] == [*[step for step in steps if step != "off"], "off"]
    assert told["voyage"]["comfort"] in told["choices"]["comfort"]


def test_a_fixed_speed_is_told_in_kmh(tmp_path):
    text = (ROUTES / "spring.toml").read_text(encoding="utf-8").replace("[[leg]]", "[[leg]]\nspeed_kn = 3", 1)
    (tmp_path / "spring.toml").write_text(text, encoding="utf-8")
    boat = tables("spring.toml")["boat"]
    (tmp_path / boat).write_text((ROUTES / boat).read_text(encoding="utf-8"), encoding="utf-8")
    leg = outline(str(tmp_path / "spring.toml"))["legs"][0]
    assert (leg["fixed_speed"], leg["speed_kmh"]) == (True, 5.556)


def test_all_problems_are_raised(tmp_path):
    (tmp_path / "bad.toml").write_text("departs = 2027-03-01\n", encoding="utf-8")
    with pytest.raises(Problems, match="boat"):
        outline(str(tmp_path / "bad.toml"))


def test_no_sun_library_is_loaded_for_it():
    code = (f"import sys; from voyager.session.outline import outline; outline({str(ROUTES / 'spring.toml')!r});"
            " print(*[name for name in ('pvlib', 'pandas', 'scipy', 'textual') if name in sys.modules])")  # fmt: skip
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == ""
