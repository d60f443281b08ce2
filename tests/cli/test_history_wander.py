"""What `history` says of how a point wanders, as words and as JSON."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.journal import open_journal
from shopboard.shop.machine import HOURS_RUN
from shopboard.shop.reader import read_shop
from shopboard.upkeep.happenings import record_happening
from tests.cli.program import FENCE_TRUE, SHOP, Program
from tests.cli.test_look_back import At
from tests.histories import GROWING, THOU_PER_FT, check_over_the_years
from tests.journal.helpers import Clock

EVERY = 'tolerance = "0.1 deg"\nevery = "6 months"'


@pytest.fixture
def years(program: Program, monkeypatch: pytest.MonkeyPatch) -> Program:
    """The saw's blade, checked every 90 days for two years, and knocked about at the end.

    The program's clock stands there, too.
    """
    program.write("shop.toml", SHOP.replace('tolerance = "0.1 deg"', EVERY))
    shop, clock = read_shop(program.shop).shop, Clock()
    with closing(open_journal(program.journal, clock)) as journal:
        record_happening(journal, "saw", HOURS_RUN, 60)
        check_over_the_years(journal, clock, shop, "saw.blade", GROWING)
        record_happening(journal, "saw", "blade changed")
        check_over_the_years(journal, clock, shop, "saw.blade", [(65 * THOU_PER_FT, 0.0)])
    At(program, monkeypatch).clock.now = clock.now
    return program


def test_history_says_how_it_wanders_beside_the_results(years: Program) -> None:
    """One result a line on stdout; words on stderr."""
    ran = years("history", "saw.blade")
    assert len(ran.out.splitlines()) == 9 + 3  # set three times
    first, second = ran.err.splitlines()
    assert first.startswith("It drifts about 3.0")
    assert " a month over 7 changes between checks; at that rate, 5 % chance of being " in first
    assert "probably the cause." in second
    assert "blade changed in between" in second


def test_history_as_json_carries_rate_interval_clock_and_what_is_due(years: Program) -> None:
    """57 thou/ft in seven times 90 days, as far as leaves tell."""
    data = years("history", "saw.blade", "--json").json
    assert (data["schema"], data["point"]) == (1, "saw.blade")
    told = data["wander"]
    assert (told["checks"], told["changes_used"], told["few"]) == (8, 7, False)
    assert (told["clock"], told["per"], told["shows"], told["by_wander"]) == (
        "days", "day", True, True,
    )  # fmt: skip
    low, rate, high = (told[name]["thou_per_ft"] * 90 for name in ("low", "rate", "high"))
    assert low < 57 / 7 < high
    assert rate == pytest.approx(57 / 7, rel=0.15)
    assert 60 < told["due"]["days"] < 182
    assert told["due"]["minutes"] is None
    (step,) = told["steps"]
    assert (step["cause"], step["perhaps"]) == ("blade changed", "")
    assert step["excess"]["thou_per_ft"] == pytest.approx(65 - 7 - 8, abs=3)
    assert step["found"] in [one["uid"] for one in data["results"]]
    assert told["usual"] is None  # seven changes say nothing of what is usual


def test_the_risk_of_the_shop_file_is_the_one_that_is_said(years: Program) -> None:
    """It counts from the next result on; what is on record keeps its day."""
    text = years.shop.read_text(encoding="utf-8").replace("6 months", "1 year")
    years.write("shop.toml", text.replace('unit = "inch"', 'unit = "inch"\nrisk = "20 %"', 1))
    before = years("history", "saw.blade", "--json").json["wander"]["due"]["days"]
    shop, clock = read_shop(years.shop).shop, Clock()
    clock.pass_by(days=9 * 90)
    with closing(open_journal(years.journal, clock)) as journal:
        check_over_the_years(journal, clock, shop, "saw.blade", [0.0], days=1)
    ran = years("history", "saw.blade")
    assert "20 % chance of being out" in ran.err
    assert years("history", "saw.blade", "--json").json["wander"]["due"]["days"] > before


def test_usual_changes_are_told_of_enough_of_them(years: Program) -> None:
    shop, clock = read_shop(years.shop).shop, Clock()
    clock.pass_by(days=9 * 90)
    with closing(open_journal(years.journal, clock)) as journal:
        check_over_the_years(journal, clock, shop, "saw.blade", [7 * THOU_PER_FT])
    usual = years("history", "saw.blade", "--json").json["wander"]["usual"]
    assert usual[0]["thou_per_ft"] < 7 < usual[1]["thou_per_ft"]
    assert "From check to check it usually changes by " in years("history", "saw.blade").err


def test_a_point_with_one_result_or_none_says_what_is_assumed(program: Program) -> None:
    assert program("history", "jointer.fence").err == "No result yet.\n"
    assert program("history", "jointer.fence", "--json").json["wander"] is None
    program.check("jointer.fence", FENCE_TRUE)
    assert program("history", "jointer.fence").err == "Too few checks yet to tell how it moves.\n"
    told = program("history", "jointer.fence", "--json").json["wander"]
    assert (told["checks"], told["clock"], told["by_wander"]) == (0, None, False)


def test_a_point_that_is_no_longer_in_the_shop_file_has_results_but_no_wander(
    years: Program,
) -> None:
    years.write(
        "shop.toml", SHOP.replace('id = "blade"', 'id = "tilt"').replace('blade"]', 'tilt"]')
    )
    ran = years("history", "saw.blade")
    assert ran.code == 0
    assert (len(ran.out.splitlines()), ran.err) == (12, "")
    assert years("history", "saw.blade", "--json").json["wander"] is None


def test_what_may_be_out_soon_is_not_said_to_be_left_from_a_file_either(years: Program) -> None:
    """8 thou/ft each 90 days: at +14 of 21 it is out within the half year; set right, later."""
    given = years.write(
        "near.toml", 'unplugged = "plug out"\nlight = "top"\ngoes = ".006"\nrefused=".008"'
    )
    ran = years("check", "saw.blade", "--answers", given, "--json")
    assert ran.code == 0, ran.err
    data = ran.json
    assert data["verdict"] == "true"
    said = " ".join(data["correction"])
    assert said.startswith("True, at ")
    assert "as it moves, 5 % chance of being out in " in said
    assert "Leave it" not in said
