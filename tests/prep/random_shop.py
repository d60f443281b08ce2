"""Shops by chance, with all that makes the order of a prep day: written as shop files, and begun.

The same seed makes the same shop. Whole minutes throughout, which a constraint solver asks for.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from random import Random

from tests.shop_head import head, metric_head


@dataclass(frozen=True)
class Step:
    """A step of a task."""

    wait: int = 0
    most: int = 0
    """How long it may be left alone at the longest; 0: nothing is said of that."""
    cutter: str = "stays"
    leaves: str = ""
    """Empty: what its task does."""
    tray: bool = False
    """Done off the machine."""
    alone: bool = False
    """Its wait may end when nobody is there."""


@dataclass(frozen=True)
class Upkeep:
    """A task."""

    id: str
    each: int
    """Minutes of each step; of one without steps, of the whole."""
    steps: tuple[Step, ...] = ()
    leaves: str = "nothing"
    before: tuple[str, ...] = ()
    after: str = ""
    """What makes it due; empty: it is due."""
    done: int = 0
    """Steps that are on record, the last of them just now."""


@dataclass(frozen=True)
class Edge:
    """The cutter that is on a machine, and what lies ready for it."""

    kind: str
    state: str = "dull"
    spare: str = ""
    """How another one that does its work lies there; empty: there is none."""
    edges: int = 1
    pieces: int = 1
    serves: str = ""
    leaves: str = ""
    """Empty: what its kind does."""
    before: tuple[str, ...] = ()


@dataclass(frozen=True)
class Spot:
    """A point."""

    machine: str
    id: str
    minutes: int
    rests: tuple[str, ...] = ()
    undone: tuple[str, ...] = ()
    bare: bool = False
    """It is checked with the cutter off."""
    true: bool = False
    """On record as true; else it was never checked."""
    proves: bool = False
    """It proves the square that all others are checked with."""

    @property
    def name(self) -> str:
        return f"{self.machine}.{self.id}"


@dataclass(frozen=True)
class Place:
    """A machine, or a mode of a combination machine."""

    id: str
    body: str = ""
    change: int = 0
    upkeep: tuple[Upkeep, ...] = ()
    edge: Edge | None = None
    spots: tuple[Spot, ...] = ()


@dataclass(frozen=True)
class Made:
    """A shop."""

    places: tuple[Place, ...]
    hours: tuple[tuple[int, int], ...] = ()
    """Of every day, minutes from midnight; empty: not told."""
    metric: bool = False

    @property
    def spots(self) -> dict[str, Spot]:
        return {spot.name: spot for place in self.places for spot in place.spots}


# By chance


def some_shop(chance: Random, machines: int, *, hours: bool = False) -> Made:
    """Give a shop of so many machines; some may be modes of one body."""
    modes = min(machines, chance.choice((0, 0, 2, 3))) if machines > 1 else 0
    places: list[Place] = []
    if chance.random() < 0.3:
        places.append(Place("bench", spots=(Spot("bench", "proof", 4, proves=True),)))
    edge: Edge | None = None
    for number in range(machines):
        ident = f"m{number}"
        body, change = ("combi", chance.randint(2, 12)) if number < modes else ("", 0)
        edge = None if edge is not None and edge.serves else _some_edge(chance)
        if edge is not None and body and number + 1 < modes and chance.random() < 0.4:
            edge = replace(edge, serves=f"m{number + 1}")
        upkeep = _before_others(chance, _some_upkeep(chance, edge), places)
        if edge is not None and upkeep and not edge.leaves and chance.random() < 0.2:
            edge = replace(edge, before=(chance.choice(upkeep).id,))
        above = [spot.name for place in places for spot in place.spots if not spot.proves]
        spots = _some_spots(chance, ident, above)
        places.append(Place(ident, body, change, upkeep, edge, spots))
    made = Made(tuple(places), metric=chance.random() < 0.5)
    if chance.random() < 0.4:
        made = _begun(made, chance)
    spans = ((8 * 60, 8 * 60 + chance.randint(2, 8) * 30), (13 * 60, 17 * 60))
    return replace(made, hours=spans[: chance.choice((1, 2))]) if hours else made


def _some_edge(chance: Random) -> Edge | None:
    kind = chance.choice(("", "blade", "blade", "knives", "bit"))
    if not kind:
        return None
    state = chance.choice(("sharp", "dull", "dull", "dirty"))
    spare = chance.choice(("", "sharp", "sharp", "dirty"))
    edges = 2 if kind == "knives" and chance.random() < 0.5 else 1
    pieces = 4 if kind == "knives" and chance.random() < 0.5 else 1
    leaves = chance.choice(("", "", "dirt", "nothing"))
    return Edge(kind, state, spare, edges, pieces, leaves=leaves)


def _some_upkeep(chance: Random, edge: Edge | None) -> tuple[Upkeep, ...]:
    sorts = chance.sample(("plain", "wax", "bath", "glue", "wet"), chance.choice((0, 1, 1, 2, 3)))
    made: list[Upkeep] = []
    for number, sort in enumerate(sorts):
        one = _task(chance, sort, f"t{number}")
        if edge is not None and chance.random() < 0.15 and sort in ("plain", "wax"):
            what = "knives" if edge.kind == "knives" else "blade"
            one = replace(one, after=f"{what} changed")
        others = [other.id for other in made if other.leaves == one.leaves == "nothing"]
        if others and chance.random() < 0.3 and not one.after:
            one = replace(one, before=(chance.choice(others),))
        made.append(one)
    chance.shuffle(made)
    return tuple(made)


def _before_others(
    chance: Random, upkeep: tuple[Upkeep, ...], places: list[Place]
) -> tuple[Upkeep, ...]:
    """Let one of a machine's tasks come before a task or a change of one that is there already."""
    others = [f"{place.id}.{one.id}" for place in places for one in place.upkeep if not one.after]
    others += [f"{place.id}.on" for place in places if place.edge is not None]
    if not others or not upkeep or upkeep[0].after or chance.random() < 0.75:
        return upkeep
    first = replace(upkeep[0], before=(*upkeep[0].before, chance.choice(others)))
    return (first, *upkeep[1:])


def _task(chance: Random, sort: str, ident: str) -> Upkeep:
    each, soak = chance.randint(2, 6), chance.choice((10, 15, 20, 30, 45))
    most = soak + chance.choice((0, 2, 5, 10)) if chance.random() < 0.4 else 0
    if sort == "plain":
        return Upkeep(ident, chance.randint(3, 15), leaves=chance.choice(("nothing", "dirt")))
    if sort == "wax":
        scour = (Step(leaves=chance.choice(("dirt", "nothing"))),) * chance.randint(0, 1)
        on = Step(soak // 2 * 2, most if chance.random() < 0.5 else 0)
        return Upkeep(ident, each, (*scour, on, Step()), "wax")
    if sort == "bath":
        tray = chance.random() < 0.3
        steps = (Step(cutter="off"), Step(soak, most, tray=tray), Step(tray=tray))
        return Upkeep(ident, each, (*steps, Step(cutter="on")))
    if sort == "glue":
        last = Step(chance.choice((60, 90, 240)), alone=chance.random() < 0.6)
        return Upkeep(ident, each, (Step(), last))
    return Upkeep(ident, each, (Step(soak, most or soak + 5), Step()), "dirt")


def _some_spots(chance: Random, machine: str, above: list[str]) -> tuple[Spot, ...]:
    made: list[Spot] = []
    for number in range(chance.randint(0, 3)):
        mine = [spot.name for spot in made]
        rests = [name for name in mine if chance.random() < 0.4]
        rests += [name for name in above if chance.random() < 0.5 / (len(above) + 1)]
        happens = ("blade changed", "knives changed", "knives turned", "knocked")
        undone = tuple(one for one in happens if chance.random() < 0.3)
        bare, true = chance.random() < 0.1, chance.random() < 0.3
        made.append(
            Spot(machine, f"p{number}", chance.randint(3, 20), tuple(rests), undone, bare, true)
        )
    return tuple(made)


def _begun(made: Made, chance: Random) -> Made:
    """Let some of the steps of one task be done, its wait, if any, just begun."""
    able = [
        (place, one)
        for place in made.places
        for one in place.upkeep
        if len(one.steps) > 1 and not one.after
    ]
    if not able:
        return made
    place, one = chance.choice(able)
    begun = replace(one, done=chance.randint(1, len(one.steps) - 1))
    upkeep = tuple(begun if other is one else other for other in place.upkeep)
    changed = replace(place, upkeep=upkeep)
    return replace(made, places=tuple(changed if p is place else p for p in made.places))


# As a shop file


def shop_file(made: Made) -> str:
    """Write the shop file."""
    text = (metric_head if made.metric else head)("The rope walk")
    if made.hours:
        spans = " and ".join(f"{_clock(one)} to {_clock(two)}" for one, two in made.hours)
        text = text.replace("[shop]\n", f'[shop]\nhours = "{spans}"\n')
    return text + _CALLIPER + "".join(_machine(place) for place in made.places)


_CALLIPER = """
[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "150 mm"
within = "0.03 mm"
"""


def _clock(minutes: int) -> str:
    return f"{minutes // 60}:{minutes % 60:02}"


def _machine(place: Place) -> str:
    lines = ["", "[[machine]]", f'id = "{place.id}"', f'name = "Machine {place.id}"']
    if place.body:
        lines += [f'body = "{place.body}"', f'change = "{place.change} min"']
    for spot in place.spots:
        lines += _point(spot)
    for one in place.upkeep:
        lines += _upkeep(one)
    if place.edge is not None:
        lines += _edge(place.edge)
    return "\n".join(lines) + "\n"


def _point(spot: Spot) -> list[str]:
    lines = ["", "[[machine.point]]", f'id = "{spot.id}"', f'name = "Point {spot.id}"']
    if spot.proves:
        lines += ['check = "square-flip"', 'proves = "square"', 'tolerance = "4 thou/ft"']
    else:
        lines += ['check = "square"', 'datum = "table"', 'face = "face"', 'tolerance = "0.1 deg"']
        lines += ['lever = "80 mm"']
    lines += [f'minutes = "{spot.minutes} min"']
    lines += [f"rests_on = {_list(spot.rests)}"] if spot.rests else []
    lines += [f"undone_by = {_list(spot.undone)}"] if spot.undone else []
    lines += ["cutter_off = true", "cutter_near = true"] if spot.bare else []
    lines += ["[machine.point.sizes]", 'length = "100 mm"'] if spot.proves else []
    return lines


def _upkeep(one: Upkeep) -> list[str]:
    minutes = one.each * max(len(one.steps), 1)
    lines = ["", "[[machine.task]]", f'id = "{one.id}"', f'name = "Task {one.id}"']
    lines += [f'minutes = "{minutes} min"', f'leaves = "{one.leaves}"']
    lines += [f'after = "{one.after}"' if one.after else 'every = "4 weeks"']
    lines += [f"before = {_list(one.before)}"] if one.before else []
    if any(step.cutter == "off" for step in one.steps):
        lines += ["cutter_near = true"]
    if one.steps:
        steps = ", ".join(f"{{ {_step(step, at)} }}" for at, step in enumerate(one.steps, 1))
        lines += [f"steps = [{steps}]"]
    return lines


def _step(step: Step, number: int) -> str:
    told = [f'do = "Part {number}"', f'cutter = "{step.cutter}"']
    told += [f'wait = "{step.wait} min"'] if step.wait else []
    told += [f'at_most = "{step.most} min"'] if step.most else []
    told += [f'leaves = "{step.leaves}"'] if step.leaves else []
    told += ["off_machine = true"] if step.tray else []
    told += ["may_end_alone = true"] if step.alone else []
    return ", ".join(told)


def _edge(edge: Edge) -> list[str]:
    states = {"on": (edge.state, "on the machine"), "spare": (edge.spare, "on the shelf")}
    lines: list[str] = []
    for ident, (state, where) in states.items():
        if not state:
            continue
        lines += ["", "[[machine.cutter]]", f'id = "{ident}"', f'name = "Cutter {ident}"']
        lines += [f'kind = "{edge.kind}"', f'where = "{where}"', f'state = "{state}"']
        lines += ['spare_for = "on"'] if ident == "spare" else []
        lines += [f"edges = {edge.edges}"] if edge.edges > 1 else []
        lines += [f"pieces = {edge.pieces}"] if edge.pieces > 1 else []
        lines += [f'serves = "{edge.serves}"'] if edge.serves else []
        lines += [f'leaves = "{edge.leaves}"'] if edge.leaves else []
        lines += [f"before = {_list(edge.before)}"] if edge.before else []
    return lines


def _list(words: tuple[str, ...]) -> str:
    return "[" + ", ".join(f'"{word}"' for word in words) + "]"
