"""`shopboard check POINT --answers FILE`: a whole check in one go."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.journal import open_journal
from tests.cli.program import BLADE_TRUE, FENCE_OUT, FENCE_TRUE, Program, Ran
from tests.journal.helpers import Clock


def refused(program: Program, point: str, answers: str) -> Ran:
    """A run that must be refused, and must leave nothing on record."""
    ran = program.check(point, answers, "--json")
    assert ran.code == 2
    assert ran.out == ""
    assert program.results(point) == []
    assert "going on" not in program("check", point, typed="").err.lower()
    return ran


def test_it_gives_what_reckoning_gives_and_more(program: Program) -> None:
    """Point, run, verdict, correction, readings; recorded under the uid that is told."""
    data = program.check("jointer.fence", FENCE_OUT, "--json").json
    assert data["point"] == "jointer.fence"
    assert data["recorded"] is True
    assert data["method"] == "square"
    assert data["verdict"] == "out"
    assert data["error"]["thou_per_ft"] == pytest.approx(0.041 / 4 * 12_000)
    assert {"uncertainty", "tolerance", "probability", "lean", "readings", "run"} <= set(data)
    (finding,) = data["findings"]
    (kept,) = program.results("jointer.fence")
    assert kept["uid"] == finding["uid"]
    assert kept["error"]["thou_per_ft"] == pytest.approx(data["error"]["thou_per_ft"], abs=1e-3)


def test_without_json_it_is_told_in_lines(program: Program) -> None:
    """Run, error, uncertainty, tolerance, verdict."""
    ran = program.check("jointer.fence", FENCE_TRUE)
    assert ran.code == 0
    assert ran.out.startswith("as-found")
    assert "verdict" in ran.out


def test_of_a_near_result_it_is_told_what_would_settle_it(program: Program) -> None:
    """As the check that asks step by step tells it; nothing of what is proven."""
    near = 'light = "top"\ngoes = ".013"\nrefused = ".0145"\n'
    ran = program.check("jointer.fence", near)
    assert "verdict      borderline" in ran.out
    assert "\nToo close to call. To settle it:" in ran.out
    assert "settle" not in program.check("jointer.fence", FENCE_OUT).out


def test_no_record_leaves_the_journal_as_it_is(program: Program) -> None:
    """The same numbers, nothing kept."""
    tried = program.check("jointer.fence", FENCE_OUT, "--json", "--no-record").json
    assert tried["recorded"] is False
    assert "uid" not in tried["findings"][0]
    assert program.results("jointer.fence") == []
    assert program.check("jointer.fence", FENCE_OUT, "--json").json["error"] == tried["error"]


def test_it_is_the_same_check_as_the_plain_one(program: Program) -> None:
    """Typed line by line, the identical result is recorded."""
    program.check("jointer.fence", FENCE_OUT)
    typed = ("", "", "top", "typed", ".040", ".042", "", "")
    program("check", "jointer.fence", typed="".join(f"{line}\n" for line in typed))
    with closing(open_journal(program.journal, Clock())) as journal:
        plain, from_file = journal.recent("check", "jointer", "fence")
    assert plain.body == from_file.body


def test_a_caution_must_be_in_the_file(program: Program) -> None:
    """That the plug is out is never assumed."""
    ran = refused(program, "saw.blade", FENCE_TRUE)
    assert "unplugged is missing" in ran.err
    assert "plug out" in ran.err


def test_the_run_after_a_correction_stands_in_a_table(program: Program) -> None:
    """[left] holds its answers; both runs are recorded, and the screw is learnt.

    In a file of an earlier version the plug stands there, too.
    """
    answers = (
        f'unplugged = "plug out"\n{FENCE_OUT}next = "adjust"\n'
        '[left]\nunplugged = "plug out"\nturned_by = "2 1/4"\nlight = "none"\nboth = "neither"\n'
    )
    data = program.check("saw.blade", answers, "--json").json
    assert [one["run"] for one in data["findings"]] == ["as-found", "as-left"]
    assert data["run"] == "as-left"
    assert data["findings"][0]["verdict"] == "out"
    assert data["findings"][0]["correction"]
    assert data["verdict"] == "true"
    screw = data["findings"][1]["readings"]["screw"]
    assert screw["turns"] == pytest.approx(2.25)
    assert screw["nm_per_turn"] == pytest.approx(0.041 / 6 * 18 / 2.25 * 25.4e6, rel=0.01)
    runs = [one["run"] for one in program.results("saw.blade")]
    assert runs == ["as-left", "as-found"]


def test_the_plug_is_not_confirmed_again_before_moving(program: Program) -> None:
    """It is out since the first step: the correction needs no second word of it."""
    left = '[left]\nturned_by = "2 1/4"\nlight = "none"\nboth = "neither"\n'
    answers = f'unplugged = "plug out"\n{FENCE_OUT}next = "adjust"\n{left}'
    assert program.check("saw.blade", answers, "--json").json["verdict"] == "true"


def test_the_turned_reading_needs_no_yes(program: Program) -> None:
    """A table [turned] says that the square was turned over."""
    turned = '[turned]\nlight = "bottom"\ngoes = ".038"\nrefused = ".040"\n'
    data = program.check("saw.blade", f'unplugged = "plug out"\n{FENCE_OUT}{turned}', "--json").json
    assert data["error"]["thou_per_ft"] == pytest.approx(0.040 / 6 * 12_000)


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        ('light = "sideways"', ["light", "it can be"]),
        ('light = "tpo"', ["light", "did you mean top"]),
        (FENCE_OUT + 'lihgt = "top"\n', ["lihgt", "did not ask"]),
        ('light = "top"\ngoes = ".042"\nrefused = ".040"\n', ["refused", "thicker"]),
        ('light = "top"\ngoes = "5 in"\nrefused = "6 in"\n', ["goes", "reach"]),
        ('light = "top"\ngoes = ".040"\n', ["refused is missing", "a length"]),
        ('light = "top"\n', ["leaf1 is missing", "goes, refused"]),
        ("", ["light is missing", "top, bottom, none"]),
        ('light = "top"\ngoes = nan\nrefused = ".04"\n', ["goes", "not a measurement"]),
        ('light = "top"\ngoes = inf\n', ["goes", "not a measurement"]),
        ('light = "top"\ngoes = -1\n', ["goes", "thinner than 0"]),
        ("light = true\n", ["light", "text or a number"]),
        ("light = ['top']\n", ["light", "text or a number"]),
        ("light = top\n", ["answers.toml:1:9:", "not a value"]),
        (f'{FENCE_TRUE}place = "no"\n', ["place", "must be done"]),
        (f'{FENCE_TRUE}tools = "hammer with nails"\n', ["tools", "square-6"]),
        (f'{FENCE_TRUE}[[as_left]]\nlight = "top"\n', ["as_left: write [as_left], with one"]),
        ("[a" * 500, ["answers.toml"]),
        ("x = 1" + "0" * 5000 + "\n", ["answers.toml"]),
        (
            "# " + "x" * 70_000 + "\n",
            ["the file has 70,003 bytes; at most 64,000 bytes are allowed"],
        ),
    ],
)
def test_a_file_that_does_not_answer_the_check_is_refused(
    program: Program, answers: str, says: list[str]
) -> None:
    """By file and step, with the reason; nothing is recorded, no check is left open."""
    ran = refused(program, "jointer.fence", answers)
    assert all(word in ran.err for word in ["answers.toml", *says])


def test_a_missing_answer_close_to_an_unused_one_is_named_with_it(program: Program) -> None:
    """Rfused was meant to be refused."""
    ran = refused(program, "jointer.fence", 'light = "top"\ngoes = ".040"\nrfused = ".042"\n')
    assert "did you mean refused" in ran.err


@pytest.mark.parametrize(
    "numbers", ["goes = 0.040\nrefused = 0.042\n", "goes = 0.04\nrefused=0.0420\n"]
)
def test_numbers_may_stand_without_quotes(program: Program, numbers: str) -> None:
    """A bare number takes the shop's unit."""
    data = program.check("jointer.fence", f'light = "top"\n{numbers}', "--json").json
    assert data["error"]["thou_per_ft"] == pytest.approx(123)


def test_a_file_that_is_none_is_refused(program: Program) -> None:
    """Missing, a folder, no text, a name that cannot be."""
    (program.folder / "bytes.toml").write_bytes(b"\xff\xfe\x00")
    for name in ("missing.toml", "", "bytes.toml", "a\0b"):
        path = f"{program.folder}/{name}"
        ran = program("check", "jointer.fence", "--answers", path)
        assert ran.code == 2
        assert len(ran.err.splitlines()) == 1


def test_leaf_by_leaf_answers_work_as_well(program: Program) -> None:
    """leaf1, leaf2 ... as the steps would ask them."""
    answers = {"light": "top"}
    for _ in range(12):
        text = "".join(f'{name} = "{said}"\n' for name, said in answers.items())
        ran = program.check("jointer.fence", text, "--json", "--no-record")
        if ran.code == 0:
            break
        missing = ran.err.partition(" is missing")[0].rpartition(" ")[2]
        answers[missing] = "refused"
    assert ran.code == 0
    assert ran.json["readings"]["gap_nm"][0] == 0
    assert "leaf1" in answers


def test_json_goes_with_answers_only(program: Program) -> None:
    """A check by hand prints no JSON."""
    for option in ("--json", "--no-record"):
        ran = program("check", "saw.blade", option)
        assert ran.code == 2
        assert "--answers" in ran.err


def test_a_recorded_check_is_finished(program: Program) -> None:
    """Nothing is left to go on with, and the standing follows at once."""
    assert program.check("saw.blade", BLADE_TRUE).code == 0
    assert program("check", "saw.blade", typed="").err.count("Going on") == 0
    points = {one["id"]: one["state"] for one in program("points", "--json").json["points"]}
    assert points == {"saw.blade": "true", "saw.fence": "unproven", "jointer.fence": "unproven"}
