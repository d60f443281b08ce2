"""Every HOLD's remedy, carried out with a perfect result, lifts what it was asked for.

Random shops, records and joints, written as files and journals; what is asked for is recorded as
somebody would measure it who finds every point exactly right, until nothing more is asked.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path
from random import Random

from shopboard.checks.further import ways
from shopboard.journal import NewEntry, new_uid
from shopboard.metrology.kind import RECORD_UNITS
from shopboard.metrology.uncertainty import Estimate
from shopboard.open_shop import OpenShop
from shopboard.prep.answers import answers_of, needs_of
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.prep.joint_fit import JointFit
from shopboard.prep.point_need import need_for
from shopboard.prep.reason import ReasonSort
from shopboard.results.references import proven_drawer
from shopboard.sittings.point_job import job_for
from tests.in_turn import few, part
from tests.journal.helpers import Clock
from tests.prep.random_work import Work, shop_file, some_work
from tests.prep.results import by_square, result
from tests.prep.test_trust import _append, _entries, _record, fits_of, just_fitting

SEEDS = few([22, *range(22), *range(23, 30)], 3)
"""By 22 a check lifts its reason, which is rare: it is tried always."""
MOST_CHECKS = 40
NO_CHECK_HELPS: frozenset[ReasonSort] = frozenset(
    {"tag", "change", "clock", "nothing shows", "cannot"}
)


@contextmanager
def desk_of(work: Work, place: Path, *, by_cut: bool) -> Iterator[OpenShop]:
    """Write the shop and what was recorded.

    Args:
        work: the shop, its joint and its records.
        place: a folder of its own.
        by_cut: angles can be checked by a test cut, too, which a wider board makes finer.
    """
    shutil.rmtree(place, ignore_errors=True)
    place.mkdir()
    text, clock = shop_file(work), Clock()
    if by_cut:
        text = text.replace('check = "square"', 'check = ["square", "flip"]')
    (place / "shop.toml").write_text(text, encoding="utf-8")
    with closing(OpenShop(place / "shop.toml", place / "journal.sqlite3", clock)) as open_shop:
        waiting: list[NewEntry] = []
        for number, act in enumerate(work.acts):
            entries = [_by_its_method(open_shop, entry) for entry in _entries(work, number)]
            waiting += entries
            if not entries:
                _append(open_shop, waiting)
                _record(open_shop, act, clock)
        _append(open_shop, waiting)
        open_shop.refresh()
        yield open_shop


def _by_its_method(open_shop: OpenShop, entry: NewEntry) -> NewEntry:
    """Let a result be one of the way in which its point is checked."""
    if entry.kind != "check":
        return entry
    method = open_shop.shop.points[f"{entry.machine}.{entry.point}"].checks[0]
    return entry._replace(body={**entry.body, "method": method})


def answer_of(open_shop: OpenShop) -> GlueUpAnswer:
    return answers_of(open_shop, open_shop.shop.projects[0].joints)[0]


def finest(open_shop: OpenShop, name: str) -> Estimate:
    """What a point without error is measured as in the best way that is at hand."""
    point = open_shop.shop.points[name]
    found = ways(job_for(open_shop.shop, point, open_shop.journal), point.checks)
    return min((one.best for one in found if one.at_hand), key=lambda one: one.budget.u)


def find_it_right(open_shop: OpenShop, name: str) -> None:
    """Record a check of a point that finds it exactly right, as finely as the tools can."""
    point, best = open_shop.shop.points[name], finest(open_shop, name)
    body = result(best.error, 1e-9, point.tolerance.kind)
    even = [one.u * 3**0.5 for one in best.budget.sources if one.even and one.u]
    sigma = best.budget.spread_around(0.0).sigma
    _, factor = RECORD_UNITS[point.tolerance.kind]
    body |= {
        "method": point.checks[0],
        "sigma": int(sigma * factor),
        "even": [int(one * factor) for one in even],
    }
    if point.proves:
        body |= {"readings": {"proves": point.proves}, "expanded": int(2 * sigma * factor)}
    elif point.checks[0] == "square":
        # Taken as it was proven, so that its light tells of the point alone.
        square = proven_drawer(open_shop.shop, open_shop.journal).squares[0]
        by = by_square(0.0, 0.0, square.id, square.known_error, 0.0)
        body |= {"readings": by["readings"]}
    open_shop.journal.append([NewEntry(new_uid(), "check", point.machine, point.id, body)])
    open_shop.refresh()
    while name in open_shop.waiting:
        begun, ended = open_shop.waiting[name], {"v": 1, "why": "finished"}
        entry = NewEntry(new_uid(), "end", point.machine, point.id, ended, begun.uid)
        open_shop.journal.append([entry])
        open_shop.refresh()


def test_what_is_asked_for_leads_to_go_and_else_it_is_said_that_nothing_does(
    tmp_path: Path,
) -> None:
    """Each check asked for lifts its reason; where none can help none is asked for.

    The other way round: where it is said that no check can prove it, all of them, found right, do
    not make it go.
    """
    seen = {"lifted": 0, "cannot": 0, "checks": 0, "by a wider board": 0}
    for seed in SEEDS:
        chance, work = Random(seed), some_work(seed)
        share = chance.choice((0.1, 0.2, 0.3, 0.4, 0.6))
        if chance.random() < 0.8:
            work = _wanting(work, fits_of(work, tmp_path / "shop"), share)
        with desk_of(work, tmp_path / "shop", by_cut=seed % 2 == 0) as open_shop:
            found = answer_of(open_shop)
            first = {one.sort for one in found.reasons}
            if "cannot" in first:
                seen["cannot"] += 1
                assert not any(one.points for one in found.reasons), (seed, found.reasons)
                _find_all_right(open_shop)
                assert not answer_of(open_shop).go, (seed, work.joint.kind, found.reasons)
                continue
            if first & NO_CHECK_HELPS or found.go:
                continue
            for _ in range(MOST_CHECKS):
                if found.go:
                    break
                found, wider = _lift(open_shop, found, seed)
                seen["checks"] += 1
                seen["by a wider board"] += wider
            assert found.go, (seed, found.reasons)
            seen["lifted"] += 1
    assert min(seen.values()) > 0, seen


def _wanting(work: Work, fits: Sequence[JointFit], share: float) -> Work:
    """Want that share of what its misfits can be; 4 um at the least: no shop file asks for less."""
    work = just_fitting(work, fits, share)
    wanted = {fit: max(0.004, mm) for fit, mm in work.joint.wanted.items()}
    return replace(work, joint=replace(work.joint, wanted=wanted))


def _find_all_right(open_shop: OpenShop) -> None:
    """Find all points right, those first that others rest on."""
    joint = open_shop.shop.projects[0].joints[0]
    rest = [name for name in joint.point_names if name not in open_shop.standing.order]
    for _ in range(2):  # what rests on a point that was checked after it waits for a second look
        for name in (*open_shop.standing.order, *open_shop.shop.points, *rest):
            stands = open_shop.standing.of_point(name)
            if stands is not None and name in open_shop.shop.points:
                find_it_right(open_shop, name)


def _lift(open_shop: OpenShop, found: GlueUpAnswer, seed: int) -> tuple[GlueUpAnswer, bool]:
    """Do what the first reason asks for; say whether it took a wider board."""
    reason = found.told[0]
    assert reason.points, (seed, reason)
    project = open_shop.shop.projects[0]
    for name in reason.points:
        need = need_for(open_shop, name, project, project.joints[0])
        find_it_right(open_shop, name)
        stands = open_shop.standing.of_point(name)
        assert stands is not None
        assert stands.record is not None
        if need is not None and reason.sort == "too much":
            assert need.is_met(stands.record.spread), (seed, name, need, stands.record.spread)
    after = answer_of(open_shop)
    again = [one for one in after.reasons if (one.sort, one.about) == (reason.sort, reason.about)]
    start = reason.words.partition(" can be ")[0]
    assert not [one for one in again if one.words.startswith(start)], (seed, reason, again)
    assert not {one.sort for one in after.reasons} & {"cannot"}, (seed, reason, after.reasons)
    return after, "test board" in reason.to_do


def test_a_project_says_of_its_joints_what_the_answer_says(tmp_path: Path) -> None:
    """One source of words: what a project asks for is what the glue-up asks for."""
    told = 0
    for seed in range(part(20)):
        work = some_work(seed, calm=True)
        work = _wanting(work, fits_of(work, tmp_path / "shop"), 0.4)
        work = replace(work, acts=tuple(act for act in work.acts if act.what == "result"))
        with desk_of(work, tmp_path / "shop", by_cut=seed % 2 == 0) as open_shop:
            found = answer_of(open_shop)
            said = needs_of(open_shop, open_shop.shop.projects[0]).to_do[found.joint.full_name]
            asked = [one for one in found.reasons if one.sort in ("cannot", "too much")]
            assert [(one.words, one.to_do) for one in said] == [
                (one.words, one.to_do) for one in asked
            ]
            told += len(said)
    assert told > 5
