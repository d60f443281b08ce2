"""What each method declares, held against what the trade asks: order, time, which way.

Common practice, no source, where nothing else is named.
"""

from __future__ import annotations

import math

import pytest

from shopboard.checks import registry, remedies
from shopboard.checks.asked import Reading
from shopboard.checks.doubled import DoubledGap
from shopboard.checks.guided import MOST_RUNS
from shopboard.checks.indicator import LEVER, SAME
from shopboard.checks.mean_of_sets import ENOUGH_FOR_SCATTER
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.reckoning import ReckoningError
from shopboard.checks.remedies import remedy_for
from shopboard.checks.usual import USUAL_DRAWER
from shopboard.checks.walk import walk
from tests.builders import make_job
from tests.checks.cuts import cut_test
from tests.checks.machines import measured, walked
from tests.checks.readings import ACROSS, GOOD, KNIVES, MITRE, TOOLS, Case, job_of, right

MINUTES = {
    2: ["note"], 3: ["go-no-go", "timed"], 5: ["leaf-gap", "runout"], 6: ["square"],
    8: ["blade-tension", "straightness", "sweep", "tram", "wind"],
    10: ["centres", "seating", "snipe", "square-flip", "thickness"],
    12: ["coplanar", "drift-angle", "drilled-angle", "flatness", "flip"],
    15: ["carry", "edge-pair", "taper"],
    20: ["diagonals", "three-squares", "three-straightedges"], 25: ["five-cut"], 30: ["frame"],
}  # fmt: skip
"""How long each usually takes, with its correction."""


def true_point(name: str) -> MeasuredCheck:
    """A method, that finds nothing to say against readings of a point without error."""
    method, job = measured(name), job_of(Case(name, {}, ""))
    values, words = method.perfect(job)
    words = {**words, "flush": "flush"}
    assert method.refuse(values, words) is None
    assert job.tolerance.low <= method.formula(values, words) <= job.tolerance.high
    return method


@pytest.mark.parametrize("name", registry.names())
def test_how_long_each_check_takes(name: str) -> None:
    told = {name: minutes for minutes, names in MINUTES.items() for name in names}
    method = true_point(name) if name in GOOD else registry.method(name)
    assert method.best(make_job(drawer=TOOLS)).budget.u >= 0
    assert method.minutes == told[name]


ASKED = {
    "blade-tension": "marks tension over stretch",
    "carry": f"mark circle knives below {' '.join(KNIVES)}",
    "centres": "board first half nearer across higher up",
    "coplanar": "lower length width front_light front_out front_lip front_end"
    " back_light back_out back_lip back_end",
    "diagonals": "cut d1 d2 width other_width length other_length",
    "drift-angle": "cut mark side length offset",
    "drilled-angle": "drill stand against low high rise depth",
    "edge-pair": "cut flip open thickness gap flush",
    "five-cut": "cut fifth a b length",
    "flatness": "wipe front_light front back_light back left_light left right_light right"
    " rising_light rising falling_light falling closing_light closing",
    "flip": "cut flip open width gap",
    "frame": "cut lay others open width gap",
    "runout": "mount lever low high comes_back",
    "snipe": "plane middle lead tail lead_length tail_length",
    "square-flip": "edge line1 line2 at lies gap",
    "straightness": "lay light nowhere near quarter middle three-quarters far",
    "sweep": "mount tooth lever span front back comes_back",
    "taper": "turn carried head tail length between",
    "thickness": "plane left right width",
    "three-squares": "three length ab_light ab ac_light ac bc_light bc",
    "three-straightedges": "three ab_light ab ac_light ac bc_light bc",
    "timed": "run off time",
    "wind": "lay high sticks across raised",
    "tram": "mount lever radius near right far left comes_back",
}
"""First what is done, then what is read, in the order in which one goes round the machine."""


@pytest.mark.parametrize("name", ASKED)
def test_what_is_done_and_read_in_which_order(name: str) -> None:
    method, job = true_point(name), job_of(Case(name, {}, ""))
    keys = [one.key for one in (*method.to_do(job), *method.asked(job))]
    assert keys == ASKED[name].split()
    assert [one.key for one in method.to_do(job) if one.moves] == (
        ["tension"] if name == "blade-tension" else []
    )


CARE = {
    "blade-tension": ("Plug out. A band under tension", "Never past what"),
    "carry": ("Unplugged, with the plug in sight. Knives cut", "Turn the head by its pulley"),
    "centres": ("Plug out, and out it stays", "Sleeves rolled up"),
    "coplanar": ("Plug out. Knives cut", "Turn the head by its pulley"),
    "diagonals": ("Cutting a panel: guard on", "Let the blade stop"),
    "drift-angle": ("A test cut is a cut: guard down", "Stop the saw and wait"),
    "drilled-angle": ("Clamp the board", "Chuck key out"),
    "edge-pair": ("Guard over the knives", "Boards longer than 12 in"),
    "five-cut": ("Five cuts: guard on", "Stop the blade"),
    "flip": ("A test cut is a cut: guard on", "The offcut must be free", "Let the blade stop"),
    "frame": ("Each mitre is a cut: guard on", "Short pieces are clamped", "Let the blade stop"),
    "runout": ("Plug out. Turn it by hand only",),
    "snipe": ("Board longer than the rollers", "Never look or reach in"),
    "sweep": ("Plug out. Turn the blade by hand",),
    "taper": ("Face shield on", "Turn it once by hand", "Rest out of the way"),
    "thickness": ("Board longer than the rollers", "Never look or reach in"),
    "timed": ("It runs: every guard on", "Stand out of the cutter's line"),
    "wind": ("Plug out; nothing in chuck", "Sight from beside"),
    "tram": ("Plug out, and out it stays", "Turn the spindle by hand only"),
}
"""How it begins before what comes after it; the maker's manual last."""


@pytest.mark.parametrize("name", GOOD)
def test_what_to_take_care_of_in_the_order_in_which_it_is_met(name: str) -> None:
    job = job_of(Case(name, {}, ""))
    step = walk(true_point(name), job, {}).step
    assert step is not None
    if name not in CARE:
        assert step.key != "care"
        return
    *told, manual = step.lines
    assert len(told) == len(CARE[name])
    assert all(line.startswith(begin) for line, begin in zip(told, CARE[name], strict=True))
    assert manual.startswith("The maker's manual and local rules come first")


WAYS = {
    "carry": ("Lower", "Raise"),  # too high; too low
    "diagonals": ("toward the work", "away from"),  # an obtuse corner wants the fence turned in
    "drift-angle": ("right", "left"),  # the fence follows the feed
    "drilled-angle": ("less away", "more away"),
    "wind": ("the right side must come down", "the left side must come down"),
    "taper": ("away from the tool", "toward the tool"),  # too near the tool it is cut thinner
    "five-cut": ("toward the work", "away from"),
    "frame": ("sharper", "blunter"),  # a point of more than 45 degrees is too blunt
    "sweep": ("The back must move nearer", "The front must move nearer"),
    "flip crosscut": ("toward the work", "away from"),
    "flip on-edge": ("toward the half", "away from"),
    "flip mitre": ("sharper", "blunter"),
    "edge-pair edges": ("toward the table", "away from the table"),  # a fence that leans back
    "edge-pair straightedge": ("toward the table", "away from the table"),
}
"""What must be moved where the error is plus, and where it is minus."""


@pytest.mark.parametrize("name", WAYS)
def test_what_must_move_which_way(name: str) -> None:
    """The one is never said of the other."""
    method, _, use = name.partition(" ")
    found = cut_test(method, use) if use else measured(method)
    aims = found.use.aims if isinstance(found, DoubledGap) and found.use else found.aims
    for said, begins, other in zip(aims, WAYS[name], reversed(WAYS[name]), strict=True):
        assert begins in said
        assert other not in said


def test_how_the_end_that_is_open_is_told() -> None:
    """Open where plus opens it: at the fence, the table, the tip, and not at the other end."""
    ends = {
        "flip crosscut": ("fence", "away"), "flip on-edge": ("table", "top"),
        "flip mitre": ("tip", "heel"), "edge-pair edges": ("fence", "away"),
        "edge-pair straightedge": ("hollow", "away"),
    }  # fmt: skip
    for name, (plus, minus) in ends.items():
        method = cut_test(*name.split())
        lever = method.fields[1].name
        signs = []
        for end in (plus, minus):
            assert end in dict(method.asked(make_job())[0].options)  # type: ignore[union-attr]
            signs.append(method.formula({"gap": 0.2, lever: 100.0}, {"open": end}))
        assert signs == pytest.approx([math.atan(0.002) / 2, -math.atan(0.002) / 2])
    lines = {side: measured("square-flip").formula({"gap": 0.2, "at": 100.0}, {"lies": side})
             for side in ("right", "left")}  # fmt: skip
    assert abs(lines["right"]) == pytest.approx(math.atan(0.001))
    assert lines["left"] == -lines["right"]


NEEDED = {
    "blade-tension": "stretch over",
    "carry": "circle",
    "centres": "across up",
    "coplanar": "outfeed infeed",
    "diagonals": "d1 d2 width length",
    "drift-angle": "offset length",
    "drilled-angle": "low high rise depth",
    "edge-pair": "gap thickness",
    "five-cut": "a b length",
    "flatness": "points",
    "flip": "gap width",
    "frame": "width",
    "go-no-go": "answer",
    "knife-marks": "rpm knives feed",
    "leaf-gap": "goes refused",
    "leg": "rake splay",
    "level": "plane screws",
    "note": "text",
    "rim-speed": "diameter rpm",
    "runout": "high low",
    "screw": "thread move",
    "seating": "clean pins light screws edges",
    "snipe": "middle lead tail",
    "square": "goes refused lever light",
    "square-flip": "gap at",
    "straightness": "points",
    "sweep": "front back span",
    "taper": "head tail length",
    "thickness": "left right width",
    "three-squares": "ab bc ac",
    "three-straightedges": "ab bc ac",
    "timed": "time",
    "tram": "near far left right radius",
    "wind": "raised across sticks",
}


@pytest.mark.parametrize("name", NEEDED)
def test_what_a_sum_cannot_do_without(name: str) -> None:
    """Each is named when nothing is given; everything else can be left out."""
    if name in GOOD:
        true_point(name)
    with pytest.raises(ReckoningError) as told:
        registry.reckoner(name).reckon({})
    assert [one.partition("= is missing: ")[0] for one in told.value.reasons] == NEEDED[
        name
    ].split()


SIGNED = {"sweep": "front back", "runout": "high low", "tram": "near far left right",
          "three-squares": "ab ac bc", "three-straightedges": "ab ac bc",
          "frame": "angle_error"}  # fmt: skip


@pytest.mark.parametrize(
    "name", [one for one in NEEDED if hasattr(registry.reckoner(one), "fields")]
)
def test_what_may_be_below_nothing(name: str) -> None:
    """A dial either side of its zero, a pair that opens at the other end; no length of wood."""
    if name in GOOD:
        true_point(name)
    fields = registry.reckoner(name).fields  # type: ignore[attr-defined]
    signed = [one.name for one in fields if one.signed]
    assert sorted(signed) == sorted(SIGNED.get(name, "").split())


def test_a_lever_slants_and_a_stand_slips_as_it_is_told() -> None:
    assert [value for value, _ in LEVER.options] == ["square", "15", "30", "45"]
    assert [value for value, _ in SAME.options] == ["yes", "no"]


def test_a_reckoning_takes_tools_that_are_usual() -> None:
    """DIN 875-1, grade 2: 0.035 mm over 150 mm; DIN 862 and JIS B 7503 from catalogues."""
    (square,), (leaves,) = USUAL_DRAWER.squares, USUAL_DRAWER.feelers
    assert square.length == 150.0
    assert square.limit * 150 == pytest.approx(0.035)
    assert list(leaves.leaves) == sorted(leaves.leaves)
    assert {one.kind: (one.reach, one.limit) for one in USUAL_DRAWER.others} == {
        "straightedge": (1000.0, 0.03), "calliper": (150.0, 0.02), "indicator": (10.0, 0.01),
    }  # fmt: skip


OTHERWISE = [("flip", MITRE), ("edge-pair", ACROSS), ("runout", {"lever": "30"})]


def test_a_remedy_is_told_in_more_words_than_it_is_known_by() -> None:
    told = set()
    for name, more in [*((name, {}) for name in GOOD), *OTHERWISE]:
        case = Case(name, {}, "", more=more)
        outcome = walked(name, job_of(case), right(case)).findings[0].outcome
        told |= {remedy_for(one) for one in outcome.estimate.budget.sources}
    told |= {remedies.TURN_OVER, remedies.NOT_AGREED, *remedies._REMEDIES.values()}
    for one in told:
        assert one is not None
        assert not one.words or len(one.id) < len(one.words), one.id


def test_how_often_is_often_enough() -> None:
    """From three on a scatter tells (GUM 4.2); nobody corrects fifty times in one check."""
    assert (ENOUGH_FOR_SCATTER, MOST_RUNS) == (3, 50)


def test_a_look_leaves_nothing_on_the_machine() -> None:
    """No tool lies on it, so that nothing is asked to be taken off (a cutter near, it is)."""
    for name in ("go-no-go", "note", "square-flip", "three-squares", "three-straightedges"):
        assert not registry.method(name).clears, name  # type: ignore[attr-defined]
    for name in ("square", "leaf-gap", "sweep", "tram", "runout", "straightness", "carry"):
        assert registry.method(name).clears, name  # type: ignore[attr-defined]


def test_a_gap_at_a_station_touches_where_no_leaf_goes() -> None:
    stations = [
        one for one in measured("straightness").asked(make_job()) if isinstance(one, Reading)
    ]
    assert [one.touches for one in stations] == [False, True, True, True, True, True]


def test_a_true_point_is_off_to_no_side() -> None:
    """Where nothing is off, no end is named."""
    told = {}
    for name in ("drift-angle", "sweep", "frame", "tram", "five-cut"):
        method, job = measured(name), job_of(Case(name, {}, ""))
        values, words = method.perfect(job)
        told[name] = method.adds({**values, "pivot": 300.0}, words)
    assert told["drift-angle"]["far_end"] == "neither"
    assert told["sweep"]["nearer_to_the_slot"] == "neither"
    assert told["frame"]["open_at"] == "none"
    assert told["tram"]["near_far"]["high"] == "neither"  # type: ignore[index]
    assert told["five-cut"]["fence_move_way"] == "none"
