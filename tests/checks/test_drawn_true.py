"""What a drawing shows is what is there, and what the words of the result say.

Each set-up is planted by plain coordinates (`set_ups.py`), a person reads it, the check finds it,
and the drawing of the result, and of the readings before it, is read back from its characters
(`read_drawings.py`).
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

import pytest

from shopboard.checks import registry
from shopboard.checks.asked import Pick, Reading, Taken
from shopboard.checks.drawn.canvas import Lines
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Do, Step
from shopboard.metrology.adjuster import Side
from shopboard.metrology.propagate import Input
from tests.checks import set_ups
from tests.checks.read_drawings import BODY, first, last, leans, open_end, surface, tells, where
from tests.checks.readings import Case, job_of
from tests.checks.set_ups import Planted, both_ways

SIDES: tuple[Side, ...] = ("left", "right")


def method_of(name: str, planted: Planted) -> MeasuredCheck:
    """A method, in the use that is read."""
    method: Any = registry.method(name)
    assert isinstance(method, MeasuredCheck)
    uses = {one.name: one for one in getattr(method, "uses", ())}
    use = planted.words.get("use")
    return type(method)(uses[use]) if use else method  # type: ignore[call-arg]


def job_at(name: str, side: Side = "") -> CheckContext:
    """A point of which the shop file says nothing but a side."""
    job = job_of(Case(name, {}, ""))
    return job._replace(geometry=job.geometry._replace(side=side))


def found(name: str, job: CheckContext, planted: Planted) -> tuple[Outcome, Lines]:
    """Judge what was planted; give the outcome and its drawing."""
    method = method_of(name, planted)
    inputs = {key: Input(value) for key, value in planted.values.items()}
    taken = Taken(inputs, {key: one for key, one in planted.words.items() if key != "use"})
    outcome = method.evaluate(job, [taken])
    return outcome, method.as_found(Do(key="x", title="x"), job, {}, outcome).diagram


def asked(name: str, job: CheckContext, planted: Planted, key: str) -> Lines:
    """Walk to a reading by typing what was planted before it; give its drawing."""
    method = method_of(name, planted)
    answers = {step.key: "done" for step in method.to_do(job)}
    for one in method.asked(job):
        if one.key == key:
            break
        if isinstance(one, Pick):
            answers[one.key] = planted.words.get(one.key, one.usual or "")
        elif isinstance(one, Reading) and one.tool == "leaves":
            gap = planted.values[one.key]
            answers |= {f"{one.key}.goes": f"{gap * 0.99:.4f} mm"}
            answers |= {f"{one.key}.refused": f"{gap * 1.01:.4f} mm", f"{one.key}.by": "leaves"}
        else:
            answers[one.key] = f"{planted.values[one.key]:.4f} mm"
    step = method.take(job, answers, "", 1)
    assert isinstance(step, Step)
    assert step.key.partition(".")[0] == key
    return step.diagram


def agrees(
    name: str, planted: Planted, read: Callable[[Lines], str], key: str = "", side: Side = ""
) -> None:
    """Result, drawing and what was planted say the same; so does the drawing of a reading."""
    job = job_at(name, side)
    outcome, drawn = found(name, job, planted)
    assert planted.says in outcome.lean, (outcome.lean, planted)
    assert read(drawn) == planted.seen, drawn
    assert "exaggerated" in drawn[-1]
    if key:
        before = asked(name, job, planted, key)
        assert read(before) == planted.seen, before


# ---------------------------------------------------------------- along a slot, at a face


def _swept(rows: Lines) -> str:
    """The end with the shorter plunger, and where the back of the face is."""
    scene = [row[:17] for row in rows[:7]]
    back, front = (row.count("─") for row in (scene[1], scene[5]))
    nearer = "front" if front < back else "back" if back < front else "neither"
    return f"{nearer} {leans([first(row, '▒╱╲') for row in scene])}"


@pytest.mark.parametrize("slot", SIDES)
@pytest.mark.parametrize("lean", [1, -1])
def test_a_face_along_a_slot(lean: int, slot: Side) -> None:
    agrees("sweep", set_ups.sweep(lean, slot), _swept, side=slot)
    rows = found("sweep", job_at("sweep", slot), set_ups.sweep(lean, slot))[1]
    assert (rows[0].index("║") < first(rows[0], "▒╱╲")) is (slot == "left")


@pytest.mark.parametrize(("key", "mark"), [("front", "○ back"), ("back", "○ front")])
def test_the_end_that_is_read_now_is_marked(key: str, mark: str) -> None:
    drawn = asked("sweep", job_at("sweep", "left"), set_ups.sweep(1, "left"), key)
    text = "\n".join(drawn)
    assert f"● {key}" in text
    assert mark in text


# ---------------------------------------------------------------- cuts that are closed


def _of_the_half_that_stays(rows: Lines) -> str:
    """Where the top of its cut is."""
    scene = rows[1:6]
    left = next(row for row in rows if "stays" in row)
    if left.index("stays") < left.index("turned"):
        return leans([last(row, "╱╲", 14) for row in scene])
    return leans([first(row, "╱╲", 14) for row in scene])


@pytest.mark.parametrize("stays", SIDES)
@pytest.mark.parametrize("way", [1, -1])
def test_a_cut_leans_as_the_half_that_stays_shows(way: int, stays: Side) -> None:
    for planted in (set_ups.flip(way, stays), set_ups.crosscut(way, stays)):
        agrees("flip", planted, _of_the_half_that_stays, "width", stays)
        _, rows = found("flip", job_at("flip", stays), planted)
        open_at = "bottom" if planted.words["open"] in ("table", "fence") else "top"
        assert open_end(rows[1:6], 28) == open_at


@pytest.mark.parametrize("planted", both_ways(set_ups.mitre))
def test_a_square_in_a_corner(planted: Planted) -> None:
    agrees("flip", planted, lambda rows: open_end(rows[:5], 7), "width")


@pytest.mark.parametrize("planted", both_ways(set_ups.edges))
def test_two_edges(planted: Planted) -> None:
    def read(rows: Lines) -> str:
        open_cells = [sum(row[at : at + 1] not in BODY for row in rows[:8]) for at in (6, 20)]
        return "left" if open_cells[0] > open_cells[1] else "right"

    agrees("edge-pair", planted, read, "thickness")


@pytest.mark.parametrize("planted", both_ways(set_ups.across))
def test_a_straightedge_across_two_boards(planted: Planted) -> None:
    """It lies on the faces that fall away, and the board that falls is drawn falling."""

    def read(rows: Lines) -> str:
        assert tells(surface(rows[2:6], 3), surface(rows[2:6], 25)) == "left"
        return rows[6].split()[0]

    agrees("edge-pair", planted, read, "thickness")


@pytest.mark.parametrize("planted", both_ways(set_ups.five_cut))
@pytest.mark.parametrize("side", SIDES)
def test_the_last_strip(planted: Planted, side: Side) -> None:
    """Wider at the fence or away from it, on the side of the cut where the board is not."""

    def read(rows: Lines) -> str:
        parts = [row[:22].split("│")[side == "left"].count("▒") for row in (rows[1], rows[5])]
        return "fence" if parts[1] > parts[0] else "away"

    agrees("five-cut", planted, read, side=side)


@pytest.mark.parametrize("planted", both_ways(set_ups.frame))
def test_the_last_corner(planted: Planted) -> None:
    def read(rows: Lines) -> str:
        return {"top": "toe", "bottom": "heel"}[open_end(rows[:5], 20)]

    agrees("frame", planted, read, "gap")


# ---------------------------------------------------------------- what leans


@pytest.mark.parametrize("planted", both_ways(set_ups.drift))
def test_a_drift(planted: Planted) -> None:
    def read(rows: Lines) -> str:
        return leans([first(row, "╱╲│") for row in rows[:7]])

    agrees("drift-angle", planted, read, "offset")


@pytest.mark.parametrize("planted", both_ways(set_ups.rod))
def test_a_rod(planted: Planted) -> None:
    agrees("drilled-angle", planted, lambda rows: leans([first(row, "▒") for row in rows[:6]]))


@pytest.mark.parametrize("planted", both_ways(set_ups.wind))
def test_two_sticks(planted: Planted) -> None:
    def read(rows: Lines) -> str:
        level = dict(where(rows[:4], "─"))
        low = [at for at, row in where(rows[:5], "●") if row]
        assert (min(low) < 10) is (level[max(level)] < level[min(level)])
        return tells(level[min(level)], level[max(level)])

    agrees("wind", planted, read, "raised")


@pytest.mark.parametrize("planted", both_ways(set_ups.square_flip))
def test_two_lines(planted: Planted) -> None:
    def read(rows: Lines) -> str:
        return "right" if rows[0].index("1") > rows[0].index("2") else "left"

    agrees("square-flip", planted, read, "gap")


@pytest.mark.parametrize("planted", both_ways(set_ups.squares))
def test_two_squares(planted: Planted) -> None:
    agrees("three-squares", planted, lambda rows: open_end(rows[:6], 19), "bc")


@pytest.mark.parametrize("planted", both_ways(set_ups.straightedges))
def test_two_straightedges(planted: Planted) -> None:
    def read(rows: Lines) -> str:
        held = [sum(row[at : at + 1] in "▒█" for row in rows[:6]) for at in (1, 9)]
        return "ends" if held[0] < held[1] else "middle"

    agrees("three-straightedges", planted, read, "bc")


# ---------------------------------------------------------------- from above


@pytest.mark.parametrize(("across", "up"), [*itertools.product((1, -1), repeat=2)])
def test_two_dents(across: int, up: int) -> None:
    def read(rows: Lines) -> str:
        scene = [row[:22] for row in rows[:7]]
        ((axis, level),), ((fresh, row),) = where(scene, "+"), where(scene, "●")
        assert where(scene, "○") == [(2 * axis - fresh, 2 * level - row)]
        return f"{'left' if fresh < axis else 'right'} {'above' if row < level else 'below'}"

    agrees("centres", set_ups.dents(across, up), read, "up")


@pytest.mark.parametrize("planted", both_ways(set_ups.panel))
def test_a_panel(planted: Planted) -> None:
    """The side at the marked corner leans out over it, or in; the words say which."""

    def read(rows: Lines) -> str:
        assert ("over 90" in rows[-2]) is (planted.seen == "left")
        return leans([first(row, "○●╱╲║") for row in rows[:6]])

    agrees("diagonals", planted, read)


@pytest.mark.parametrize(("near", "right"), [*itertools.product((1, -1), repeat=2)])
def test_a_table_swept_round(near: int, right: int) -> None:
    def read(rows: Lines) -> str:
        words = [*itertools.chain.from_iterable(row.split() for row in rows)]
        return " ".join(sorted(a for a, b in itertools.pairwise(words) if b == "HIGH"))

    job, planted = job_at("tram"), set_ups.tram(near, right)
    outcome, drawn = found("tram", job, planted)
    assert planted.says in outcome.lean
    assert read(drawn) == planted.seen, drawn


# ---------------------------------------------------------------- lying


@pytest.mark.parametrize("planted", both_ways(set_ups.thickness))
def test_a_planed_board(planted: Planted) -> None:
    def read(rows: Lines) -> str:
        return tells(surface(rows[:5], 1), surface(rows[:5], 27))

    agrees("thickness", planted, read)


@pytest.mark.parametrize("planted", both_ways(set_ups.taper))
def test_a_turned_piece(planted: Planted) -> None:
    def read(rows: Lines) -> str:
        return tells(surface(rows[:7], 2), surface(rows[:7], 29))

    agrees("taper", planted, read)


@pytest.mark.parametrize("end", ["lead", "tail"])
def test_an_end_that_is_cut_too_deep(end: str) -> None:
    def read(rows: Lines) -> str:
        return {"left": "right", "right": "left"}[tells(surface(rows, 1), surface(rows, 29))]

    agrees("snipe", set_ups.snipe(end), read, f"{end}_length")
