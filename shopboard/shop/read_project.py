"""Reading projects: what will be made, and how its joints should fit."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from typing import Any, cast, get_args

from shopboard.shop.joint_forms import FORMS, SIZES, Form, cuts_of, default_fits
from shopboard.shop.kinds import choice, list_of, text
from shopboard.shop.machine_values import TWO_IDS
from shopboard.shop.made_on import Makers
from shopboard.shop.measures import in_unit
from shopboard.shop.problems import shorten
from shopboard.shop.project import Closed, FitName, Joint, JointKind, MisfitLimit, Project, ShowsIn
from shopboard.shop.project_values import LONG, MISFIT, PIECES, THICK, WIDE
from shopboard.shop.report import Fault
from shopboard.shop.settings import read_as
from shopboard.shop.table import Table, reads

_CLOSED = choice(*get_args(Closed))
_MACHINES_OR_POINTS = list_of(
    text(TWO_IDS, 'the id of a machine, or of a point as "machine.point"'), least=1
)
BY_HAND = "by hand"
"""Where lengths come from that are cut to no stop."""
_SIZE = dict.fromkeys(SIZES, WIDE) | {"length": LONG, "other_length": LONG, "thickness": THICK}


@reads("[[project]]")
def read_project(t: Table, makers: Makers | None = None) -> Project:
    """Read a project.

    Args:
        t: its table.
        makers: the machines that it is made on.
    """
    on = makers or Makers()

    def joints(read: dict[str, Any]) -> tuple[Joint, ...]:
        thick = t.take("thickness", THICK, None)
        return tuple(t.many("joint", lambda below: read_joint(below, read["id"], thick, on)))

    project = read_as(t, Project, joints=joints)
    on.refuse_missing(t, "also_on", project.also_on if makers is not None else ())
    seen: dict[str, int] = {}
    for index, joint in enumerate(project.joints):
        if joint.id in seen:
            first = (*t.path, "joint", seen[joint.id], "id")
            what = f"another joint of this project has the id {shorten(joint.id)}"
            spot = (*t.path, "joint", index, "id")
            t.report.add(Fault(spot, what, "each id once", first=first))
        elif joint.id:
            seen[joint.id] = index
    if "joint" not in t.raw:
        what, allowed = "no joint in this project yet", "add [[project.joint]]"
        t.report.add(Fault(t.path, what, allowed, severity="warning"))
    return project


@reads("[[project.joint]]")
def read_joint(
    t: Table, project: str = "", thick: float | None = None, makers: Makers | None = None
) -> Joint:
    """Read a joint.

    Args:
        t: its table.
        project: id of its project.
        thick: how thick the wood of the project is, mm.
        makers: the machines that it is made on.
    """
    makers = makers or Makers()

    def fits(read: dict[str, Any]) -> dict[FitName, MisfitLimit]:
        kind, form = read["kind"], _form(t, read["kind"])
        found, read["closed"] = t.one("fit", lambda below: read_fit(below, kind, form)) or (
            {},
            None,
        )
        return {**default_fits(t.report.unit), **found}

    joint = read_as(
        t,
        Joint,
        project=project,
        pieces=lambda read: _pieces(t, read["kind"], _form(t, read["kind"])),
        sizes=lambda read: _sizes(t, read["kind"], _form(t, read["kind"]), thick),
        fits=fits,
    )
    kind, form = joint.kind, _form(t, joint.kind)
    _refuse_no_room(t, kind, form, joint.pieces, joint.sizes)
    if form is not _ANY:
        _refuse_what_has_no_place(t, joint, form)
    cuts = () if form is _ANY else cuts_of(kind, tuple(joint.sizes))
    allowed = cuts if cuts else get_args(ShowsIn)
    said = t.one("made_on", lambda below: read_made_on(below, kind, allowed, makers)) or {}
    by_hand = said.get("length") == (BY_HAND,)
    if by_hand:
        said = {**said, "length": (), **dict.fromkeys(form.with_lengths, ())}
    points = makers.fill_in(cuts, said)
    if makers.whole:
        _warn_of_lost(t, _lost(form, cuts, said, points, makers), points)
    knives = makers.with_knives(points)
    return joint._replace(points=points, with_knives=knives, lengths_by_hand=by_hand)


def _refuse_what_has_no_place(t: Table, joint: Joint, form: Form) -> None:
    """Refuse what does nothing in that kind of joint; warn where a size makes nothing known."""
    kind = joint.kind
    if joint.alternate and not form.turns:
        turns = " or ".join(one for one, other in FORMS.items() if other.turns)
        t.refuse("alternate", f"turning faces cancels nothing in {_a(kind)}", f"only in {turns}")
    if joint.two_fences and "mitre" not in form.cuts:
        t.refuse("two_fences", f"no mitre is cut for {_a(kind)}", "only in a frame or segment ring")
    if kind == "segment ring" and "thickness" not in joint.sizes:
        what = "thickness is not told: how far a blade that leans opens its joints is not known"
        t.report.add(Fault(t.path, what, "write it here", severity="warning"))


def _lost(
    form: Form,
    cuts: Sequence[ShowsIn],
    said: Collection[ShowsIn],
    points: Mapping[ShowsIn, tuple[str, ...]],
    makers: Makers,
) -> list[ShowsIn]:
    """Give the cuts that something must prove, and nothing does."""
    needed = [cut for cut in cuts if cut not in form.if_shown]
    lost = [cut for cut in needed if cut not in points and cut not in said]
    return lost + [cut for cut in needed if cut in points and not makers.measures(points[cut])]


def _warn_of_lost(
    t: Table, lost: Sequence[ShowsIn], points: Mapping[ShowsIn, tuple[str, ...]]
) -> None:
    """Warn of cuts that nothing proves: no point shows there, or none that is measured."""
    if not lost:
        return
    shows = "nothing that is measured" if lost[0] in points else "no point of this shop"
    what = f"{shows} shows in the {' or the '.join(lost)}: nothing proves it"
    allow = f'write shows_in = "{lost[0]}" at a point'
    if "length" in lost:
        allow += f', or length = "{BY_HAND}" in [project.joint.made_on]'
    t.report.add(Fault(t.path, what, allow, severity="warning"))


_ANY = Form((), (), ())


def _form(t: Table, kind: JointKind) -> Form:
    """Give what a kind of joint needs; nothing can be said of one that was refused."""
    refused = "kind" not in t.raw or t.report.has_error((*t.path, "kind"))
    return _ANY if refused else FORMS[kind]


def _a(kind: str) -> str:
    return kind if kind == "veneer" else f"a {kind}"


def _pieces(t: Table, kind: JointKind, form: Form) -> int:
    """Read how many pieces come together; 0 where there are none to count."""
    told = t.take("pieces", PIECES, None)
    if form is _ANY:
        return told or 0
    if not form.fewest:
        if told is not None:
            t.refuse("pieces", f"{_a(kind)} has no pieces to count", "count: how many alike")
        return 0
    if told is None and not form.pieces:
        t.miss("pieces", f"pieces is missing in {t.header}: how many in {_a(kind)}?")
    if told is not None and told < form.fewest:
        if not t.report.has_error((*t.path, "pieces")):
            what, allowed = f"{_a(kind)} of {told} pieces", f"at least {form.fewest}"
            t.refuse("pieces", what, allowed, at_key=False)
        return form.fewest
    return told or form.pieces or form.fewest


def _sizes(t: Table, kind: JointKind, form: Form, thick: float | None) -> dict[str, float]:
    """Read the sizes that a kind of joint has; refuse what is missing and what has no place."""
    read = {size: t.take(size, _SIZE[size], None) for size in SIZES}
    sizes = {size: mm for size, mm in read.items() if mm is not None}
    if form is _ANY:
        return sizes
    if "thickness" in (*form.sizes, *form.may) and thick is not None:
        sizes.setdefault("thickness", thick)
    missing = [size for size in form.sizes if size not in sizes]
    needless = [size for size in sizes if size not in (*form.sizes, *form.may)]
    _refuse_sizes(t, kind, form, missing, needless)
    for size in needless:
        del sizes[size]
    for size in missing:
        sizes[size] = 1.0  # stands in; it is refused
    if "other_length" in form.may:
        sizes.setdefault("other_length", sizes["length"])
    return sizes


def _refuse_sizes(
    t: Table, kind: JointKind, form: Form, missing: Sequence[str], needless: Sequence[str]
) -> None:
    """Refuse sizes that have no place, and miss others; of one each, the one may mean the other."""
    meant = missing[0] if len(missing) == len(needless) == 1 else ""
    for size in needless:
        listed = ", ".join((*form.sizes, *form.may))
        hint = f'did you mean "{meant}"?' if meant else ""
        t.refuse(size, f"{_a(kind)} has no {_words(size)} to tell", f"it has: {listed}", hint)
    for size in missing if not meant else ():
        or_there = ", or in [[project]] for all" if size == "thickness" else ""
        what = f"{size} is missing in {t.header}, for {_a(kind)}"
        t.miss(size, what, f"write it here{or_there}" if or_there else "")


def _refuse_no_room(
    t: Table, kind: JointKind, form: Form, pieces: int, sizes: Mapping[str, float]
) -> None:
    """Refuse a frame or a box whose sides leave nothing inside: two sizes were mixed up."""
    bad = any(t.report.has_error((*t.path, key)) for key in (*sizes, "pieces"))
    if bad or form is _ANY or any(size not in t.raw for size in form.sizes if size != "thickness"):
        return
    if kind == "frame":  # inside, a side is shorter by the width of a member at both mitres
        taken = 2 * sizes["width"] * math.tan(math.pi / pieces)
        around = ("length", "other_length")
    elif kind in ("carcase", "drawer"):
        taken = 2 * sizes["thickness"]
        # The third size is the width of the boards: they may be as narrow as one likes.
        around = ("width", "height" if kind == "carcase" else "depth")
    else:
        return
    told = min(around, key=lambda size: sizes[size])
    outer = sizes[told]
    if outer <= taken + 0.01:
        unit = t.report.unit
        what = f"nothing is left inside: {in_unit(taken, unit)} of {in_unit(outer, unit)} is wood"
        t.refuse(told, what, "sizes are outside ones", at_key=False)


def _words(key: str) -> str:
    return key.replace("_", " ")


@reads("[project.joint.fit]")
def read_fit(
    t: Table, kind: JointKind = "panel", form: Form = _ANY
) -> tuple[dict[FitName, MisfitLimit], Closed | None]:
    """Read what is wanted of a joint, and how it is closed; None: as is usual."""
    found: dict[FitName, MisfitLimit] = {}
    closed = cast(Closed | None, t.take("closed", _CLOSED, None))
    if closed is not None and form is not _ANY and closed not in form.closings:
        allowed = " or ".join(f'"{one}"' for one in form.closings) or "nothing is to be said of it"
        t.refuse("closed", f"{_a(kind)} cannot be closed that way", allowed, at_key=False)
        closed = None
    for name in get_args(FitName):
        mm = t.take(name, MISFIT, None)
        if mm is None:
            continue
        if form is not _ANY and name not in form.fits:
            t.refuse(name, f"no {name} can be wanted of {_a(kind)}", f"only {_and(form.fits)}")
        raw = t.raw[name]
        typed = raw.strip() if isinstance(raw, str) else in_unit(mm, t.report.unit)
        found[name] = MisfitLimit(mm, typed, "shop file")
    return found, closed


@reads("[project.joint.made_on]")
def read_made_on(
    t: Table,
    kind: JointKind = "panel",
    cuts: tuple[ShowsIn, ...] = get_args(ShowsIn),
    makers: Makers | None = None,
) -> dict[ShowsIn, tuple[str, ...]]:
    """Read where the cuts of a joint are made: full names of points; none for one refused.

    Lengths may be made by hand.
    """
    found: dict[ShowsIn, tuple[str, ...]] = {}
    keys = {cut.replace(" ", "_"): cut for cut in get_args(ShowsIn)}
    for spaced in [key for key in t.raw if key in keys.values() and key not in keys]:
        t.settled.add(spaced)
        t.refuse(spaced, f"{shorten(spaced)} with a space", f"write {spaced.replace(' ', '_')}")
    for key, cut in keys.items():
        names = t.take(key, _MACHINES_OR_POINTS, None)
        if names is None:
            continue
        found[cut] = ()
        if cut not in cuts:
            t.refuse(key, f"no {cut} is cut for {_a(kind)}", f"only {_and(cuts)}")
        elif BY_HAND in names:
            if cut == "length" and len(names) == 1:
                found[cut] = (BY_HAND,)
            else:
                what = f'"{BY_HAND}" is said of all lengths of a joint, and of nothing else'
                t.refuse(key, what, f'length = "{BY_HAND}"', at_key=False)
        elif makers is not None and all(names):
            found[cut] = makers.named(t, key, cut, names)
    return found


def _and(words: tuple[str, ...]) -> str:
    return ", ".join(word.replace(" ", "_") for word in words)
