"""Shops, records and projects by chance, as a description and as a shop file.

The shop is written as a file and the records go into a journal, so that all of the program lies
between these and its answer. What is to be said of them is in `plain_sense.py`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from random import Random
from typing import Literal, NamedTuple

from tests.shop_head import head

Measure = Literal["angle", "length", "pair", "yes or no"]
"""A pair: two mitres as they meet, as a whole frame tells."""
Sort = Literal[
    "result",
    "void",
    "happens",
    "moved",
    "begun",
    "tag",
    "days",
    "proof",
    "proof taken back",
    "cutter",
]

CUTS_OF: Mapping[str, tuple[str, ...]] = {
    "panel": ("edge angle", "edge line"),
    "frame": ("mitre", "end tilt", "length"),
    "carcase": ("end angle", "end tilt", "length"),
    "drawer": ("end angle", "end tilt", "length"),
    "tenon": ("end angle", "end tilt", "length"),
    "stave ring": ("bevel",),
    "segment ring": ("mitre", "end tilt"),
    "veneer": ("resaw", "thickness"),
}
CUT_ON = {
    "table saw": ("edge angle", "edge line", "end angle", "end tilt", "length", "mitre", "bevel"),
    "mitre saw": ("end angle", "end tilt", "length", "mitre"),
    "jointer": ("edge angle", "edge line"),
    "planer": ("thickness",),
    "bandsaw": ("resaw",),
}
BY_LENGTH = ("edge line", "length", "thickness", "resaw")
"""Where a point may be a length."""
WITH_BLADE = ("table saw", "mitre saw", "bandsaw")
WHOLE_BODY = ("machine moved", "knocked")
OF_CUTTER = ("knives changed", "knives turned")
BLADE = "blade changed"
SQUARES = ("square", "old-square")
BAD = 1.2e-3
"""rad; what a square that was dropped is off by: a good part of every tolerance."""
HAPPENS = (*WHOLE_BODY, *OF_CUTTER, BLADE, "stop re-set")


@dataclass(frozen=True)
class P:
    """A point."""

    machine: str
    id: str
    measure: Measure
    shows: tuple[str, ...]
    undone: tuple[str, ...]
    rests: tuple[str, ...]
    weeks: int

    @property
    def name(self) -> str:
        return f"{self.machine}.{self.id}"


@dataclass(frozen=True)
class M:
    """A machine, or a mode of one."""

    id: str
    kind: str
    body: bool
    points: tuple[P, ...]
    serves: str = ""
    """The other mode that its knives serve."""
    blade: bool = False
    """Whether the shop file tells of its blade; knives that serve another mode it always tells."""

    @property
    def changed(self) -> str:
        """What happens when its cutter is put on; empty: the shop file tells of none."""
        return "knives changed" if self.serves else BLADE if self.blade else ""


@dataclass(frozen=True)
class J:
    """A joint."""

    kind: str
    pieces: int
    sizes: Mapping[str, float]
    alternate: bool
    made_on: Mapping[str, tuple[str, ...]]
    wanted: Mapping[str, float]
    closed: str = ""
    """Empty: the shop file does not say."""
    two_fences: bool = False
    lengths_by_hand: bool = False


class Act(NamedTuple):
    """Something that was recorded."""

    what: Sort
    about: str = ""
    """A point, a machine, or a square."""
    which: str = ""
    """What happened; the square that was used; what was done with the cutter of a machine."""
    error: float = 0.0
    sigma: float = 0.0
    days: int = 0


@dataclass(frozen=True)
class Work:
    """A shop, a joint, and what was recorded."""

    machines: tuple[M, ...]
    joint: J
    acts: tuple[Act, ...] = field(default=())

    @property
    def points(self) -> dict[str, P]:
        return {point.name: point for machine in self.machines for point in machine.points}

    def then(self, *acts: Act) -> Work:
        return replace(self, acts=(*self.acts, *acts))


# By chance


def a_shop(chance: Random) -> tuple[M, ...]:
    """Give two to five machines; some of them may be modes of one body."""
    modes = ["table saw", "jointer", "planer"] if chance.random() < 0.4 else []
    others = [kind for kind in CUT_ON if kind not in modes]
    kinds = [*modes, *chance.sample(others, chance.randint(0 if modes else 2, 2))]
    chance.shuffle(kinds)
    machines: list[M] = []
    above: list[str] = []
    for kind in kinds:
        ident = kind.replace(" ", "-")
        points = [
            P(ident, f"base-{n}", "angle", (), _some(chance, HAPPENS), _few(chance, above), 0)
            for n in range(chance.choice((0, 0, 1)))
        ]
        for cut in CUT_ON[kind]:
            for n in range(chance.choice((0, 1, 1, 1, 2))):
                if chance.random() < 0.1:  # such as knives that are seated, or not
                    name = f"seen-{cut.replace(' ', '-')}-{n}"
                    undone = _some(chance, HAPPENS)
                    points.append(P(ident, name, "yes or no", (cut,), undone, (), 0))
                    continue
                long = cut in BY_LENGTH and chance.random() < 0.5
                measure: Measure = "length" if long else "angle"
                if cut == "mitre" and chance.random() < 0.4:
                    measure = "pair"
                allowed = [
                    other
                    for other in CUT_ON[kind]
                    if other != cut and measure != "pair"
                    if measure == "angle" or other in BY_LENGTH
                ]
                shows = (cut, *chance.sample(allowed, min(len(allowed), chance.choice((0, 0, 1)))))
                rests = _few(chance, [*above, *(one.name for one in points)])
                weeks = chance.choice((0, 0, 8))
                name = f"{cut.replace(' ', '-')}-{n}"
                points.append(P(ident, name, measure, shows, _some(chance, HAPPENS), rests, weeks))
        above += [one.name for one in points]
        serves = "planer" if kind == "jointer" and modes else ""
        blade = kind in WITH_BLADE and chance.random() < 0.5
        machines.append(M(ident, kind, kind in modes, tuple(points), serves, blade))
    return tuple(machines)


def _some(chance: Random, what: Sequence[str]) -> tuple[str, ...]:
    return tuple(one for one in what if chance.random() < 0.35)


def _few(chance: Random, names: Sequence[str]) -> tuple[str, ...]:
    return tuple(one for one in names if chance.random() < 0.06)


def a_joint(chance: Random, machines: Sequence[M]) -> J:
    """Give a joint that the shop has a machine for, if by any chance it has one."""
    shown = {cut for machine in machines for one in machine.points for cut in one.shows}
    able = [kind for kind in CUTS_OF if {*CUTS_OF[kind]} <= shown] or sorted(CUTS_OF)
    kind = chance.choice(able)
    between = chance.uniform
    sizes = {
        "panel": {"width": between(60, 200), "length": between(300, 1200)},
        "frame": {"width": between(30, 80), "length": 700.0, "other_length": 500.0},
        "carcase": {"width": 800.0, "height": 600.0, "depth": between(150, 500)},
        "drawer": {"width": 450.0, "depth": 500.0, "height": between(60, 200)},
        "tenon": {"width": between(40, 120)},
        "stave ring": {},
        "segment ring": {"width": between(25, 60)},
        "veneer": {"height": between(60, 200), "width": between(60, 200)},
    }[kind]
    if kind != "veneer":
        sizes = {**sizes, "thickness": between(12, 40)}
    turns = kind in ("panel", "frame", "carcase", "drawer", "segment ring")
    made_on = {}
    for cut in CUTS_OF[kind]:
        able_here = [
            [machine.id, *(one.name for one in machine.points if cut in one.shows)]
            for machine in machines
            if any(cut in one.shows for one in machine.points)
        ]
        if able_here and chance.random() < 0.2:
            names = chance.choice(able_here)
            made_on[cut] = tuple(chance.sample(names, chance.randint(1, len(names))))
    by_hand = "length" in CUTS_OF[kind] and "length" not in made_on and chance.random() < 0.3
    wide = chance.choice((0.5, 1.0, 2.0))
    wanted = {"gap": 0.15, "cup": 0.8, "square": 0.8, "length": 0.2, "thickness": 0.25}
    wanted["spring"] = 0.2
    return J(
        kind,
        chance.choice((0, 4, 5)) if kind == "frame" else chance.randint(3, 8),
        sizes,
        turns and chance.random() < 0.4,
        made_on,
        {fit: wide * mm for fit, mm in wanted.items() if fit in FITS_OF[kind]},
        chance.choice(("", *CLOSED[kind])) if kind in CLOSED else "",
        kind in ("frame", "segment ring") and chance.random() < 0.4,
        by_hand,
    )


CLOSED = {
    "panel": ("as planed", "sprung"),
    "frame": ("all round", "last corner"),
    "stave ring": ("all round", "last corner", "half rings"),
    "segment ring": ("all round", "last corner", "half rings"),
}
"""How a joint may be closed, the usual way first."""

FITS_OF = {
    "panel": ("gap", "cup", "spring"),
    "frame": ("gap", "square", "length"),
    "carcase": ("gap", "square", "length"),
    "drawer": ("gap", "square", "length"),
    "tenon": ("gap", "length"),
    "stave ring": ("gap",),
    "segment ring": ("gap",),
    "veneer": ("thickness",),
}


def a_result(chance: Random, point: P, times: float = 1.0) -> Act:
    """Give a result of a point: mostly true; times as large."""
    if point.measure == "yes or no":
        return Act("result", point.name, error=float(times > 1 or chance.random() < 0.03))
    unit = 0.015 if point.measure == "length" else 2e-4
    error, sigma = times * chance.gauss(0.0, unit), unit * chance.uniform(0.05, 0.6)
    tool = chance.choice(SQUARES) if point.measure == "angle" else ""
    return Act("result", point.name, tool, error=error, sigma=sigma)


def a_proof(chance: Random, tool: str, *, bad: bool) -> Act:
    """Give what was found of a square."""
    off = chance.choice((-BAD, BAD)) if bad else 0.0
    return Act("proof", tool, error=off + chance.gauss(0.0, 4e-6), sigma=1e-5)


def of_tools(chance: Random, work: Work) -> Act:
    """Give something that is recorded of a square, or of the cutter of a machine."""
    tool = chance.choice(SQUARES)
    told = [act for act in work.acts if tool in (act.which, act.about)]
    if told and told[-1].what == "proof" and chance.random() < 0.4:
        return Act("proof taken back", tool)
    cut = [machine.id for machine in work.machines if machine.changed]
    if cut and chance.random() < 0.6:
        at = chance.choice(cut)
        done = [act.which for act in work.acts if act.what == "cutter" and act.about == at]
        is_off = [one for one in ("on", *done) if one in ("on", "off")][-1] == "off"
        used = chance.choice(("off", "dull", "past its rated life", "off"))
        return Act("cutter", at, "on" if is_off else used)
    return a_proof(chance, tool, bad=chance.random() < 0.6)


def some_work(seed: int, *, calm: bool = False) -> Work:
    """Give a shop, a joint and records: most points are proven, then a few things happen.

    Calm: nothing happens, and no point is left out.
    """
    chance = Random(seed)
    machines = a_shop(chance)
    while not any(machine.points for machine in machines):
        machines = a_shop(chance)
    work = Work(machines, a_joint(chance, machines))
    points = [*work.points.values()]
    matters = [one for one in points if {*one.shows} & {*CUTS_OF[work.joint.kind]}] or points
    missed = 0.02 if chance.random() < 0.5 and not calm else 0.0
    for point in work.points.values():  # in an order in which what a point rests on comes first
        if chance.random() >= missed:
            work = work.then(a_result(chance, point))
    for _ in range(0 if calm else chance.choice((0, 0, 1, 2, 3))):
        point = chance.choice(matters)
        machine = point.machine if chance.random() < 0.7 else chance.choice(machines).id
        work = work.then(
            chance.choice(
                (
                    *(of_tools(chance, work) for _ in range(2)),
                    *(of_tools(chance, work) for _ in range(2)),
                    a_result(chance, point, chance.choice((1.0, 1.0, 4.0, 15.0))),
                    a_result(chance, point),
                    Act("happens", machine, chance.choice((*point.undone, *HAPPENS))),
                    Act("moved", point.name),
                    Act("void", point.name),
                    Act("begun", point.name),
                    Act("tag", machine),
                    Act("days", days=chance.choice((3, 30, 60))),
                )
            )
        )
    return work


# As a shop file

DRAWER = """
[[drawer.square]]
id = "old-square"
name = "Old square"
length = "6 in"
grade = "0"

[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "6 in"
within = "1 thou"

[[machine]]
id = "bench"
name = "Bench"
""" + "".join(
    f"""
[[machine.point]]
id = "{square}"
name = "{square} proven"
check = "square-flip"
proves = "{square}"
tolerance = "4 thou/ft"
[machine.point.sizes]
length = "6 in"
"""
    for square in SQUARES
)


def shop_file(work: Work) -> str:
    """Write the shop file."""
    parts = [head("The boat shed")]
    for machine in work.machines:
        parts.append(f'[[machine]]\nid = "{machine.id}"\nname = "{machine.id}"\n')
        parts.append(f'kind = "{machine.kind}"\n')
        parts.append('body = "all in one"\nchange = "5 min"\n' if machine.body else "")
        parts += [_point_text(point) for point in machine.points]
        if machine.changed:
            kind = "knives" if machine.serves else "blade"
            parts.append(f'[[machine.cutter]]\nid = "cutter"\nname = "Cutter"\nkind = "{kind}"\n')
            parts.append('where = "on the machine"\nstate = "sharp"\nlasts = "10 hours"\n')
            parts.append(f'serves = "{machine.serves}"\n' if machine.serves else "")
    parts.append(DRAWER)
    joint = work.joint
    sizes = dict(joint.sizes)
    parts.append('[[project]]\nid = "chest"\nname = "Chest"\n')
    parts.append(f'thickness = "{sizes.pop("thickness", 20.0):.3f} mm"\n')
    parts.append(f'[[project.joint]]\nid = "j"\nname = "Joint"\nkind = "{joint.kind}"\n')
    if joint.pieces and joint.kind in ("panel", "frame", "stave ring", "segment ring"):
        parts.append(f"pieces = {joint.pieces}\n")
    parts.append("alternate = true\n" if joint.alternate else "")
    parts.append("two_fences = true\n" if joint.two_fences else "")
    parts += [f'{name} = "{mm:.3f} mm"\n' for name, mm in sizes.items()]
    parts.append("[project.joint.fit]\n")
    parts += [f'{fit} = "{mm:.4f} mm"\n' for fit, mm in joint.wanted.items()]
    parts.append(f'closed = "{joint.closed}"\n' if joint.closed else "")
    parts.append("[project.joint.made_on]\n" if joint.made_on or joint.lengths_by_hand else "")
    parts.append('length = "by hand"\n' if joint.lengths_by_hand else "")
    parts += [f"{cut.replace(' ', '_')} = {_list(on)}\n" for cut, on in joint.made_on.items()]
    return "".join(parts)


def _point_text(point: P) -> str:
    by = {"angle": "square", "pair": "frame", "length": "leaf-gap"}.get(point.measure, "go-no-go")
    lines = [
        f'[[machine.point]]\nid = "{point.id}"\nname = "{point.id}"\ncheck = "{by}"',
        'datum = "table"\nface = "face"',
    ]
    if point.measure != "yes or no":
        lines.append(f'tolerance = "{"0.1 mm" if point.measure == "length" else "0.1 deg"}"')
    lines += ['lever = "4 in"'] if point.measure == "angle" else []
    lines += [f"undone_by = {_list(point.undone)}"] if point.undone else []
    lines += [f"rests_on = {_list(point.rests)}"] if point.rests else []
    lines += [f"shows_in = {_list(point.shows)}"] if point.shows else []
    lines += [f'every = "{point.weeks} weeks"'] if point.weeks else []
    lines += ['[machine.point.sizes]\nwidth = "2 in"'] if point.measure == "pair" else []
    return "\n".join(lines) + "\n\n"


def _list(words: Sequence[str]) -> str:
    return "[" + ", ".join(f'"{word}"' for word in words) + "]"
