"""The way through a change of cutter at the machine: a function of the job and the answers. Pure.

The cautions are those usual in the trade (common practice, no source); the
maker's manual, local codes and licensed practice come before them. That a
riving knife is thicker than the plate and thinner than the kerf is from memory
of EN ISO 19085-9, not looked up.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.correction_steps import MANUAL
from shopboard.checks.steps import Caution, Choice, Do, Option, Step
from shopboard.checks.walk import Walk
from shopboard.shop.machine import CutterKind

UNPLUGGED = "unplugged"
CAME_OFF = "came off"
GOES_ON = "goes on"
CLEANED = "cleaned"
KNIFE = "knife "
"""Begins the key of the step in which one knife of a set is done; its number follows."""


class ChangeJob(NamedTuple):
    """A change of cutter, and what is told about it."""

    machine_id: str
    kind: CutterKind
    """How it is changed."""
    act: str
    """One of CHANGES."""
    off: str = ""
    """Name of what comes off, or whose edge is done; empty: nothing is on the machine."""
    off_is_done: bool = False
    """It is dull or worn out already, so nobody need say so."""
    on: str = ""
    """Name of what goes on; empty: nothing."""
    on_state: str = "sharp"
    edge: int = 1
    """The edge that the knives are turned to."""
    sizes: tuple[str, str] | None = None
    """Plate and kerf of the blade that goes on, in words; None: not known."""
    called: str = ""
    """Its kind in the shop's own words; empty: how it is changed says it."""
    pieces: int = 1
    """Knives of the set that goes on or is turned; 1: they are done in one go."""
    riving_knife: bool = True
    """Whether such a machine may have one behind its blade."""


def follow(job: ChangeJob, answers: Mapping[str, str]) -> Walk:
    """Follow the answers as far as they lead.

    Raises:
        AnswerError: when a step refuses its answer.
    """
    answered: list[tuple[Step, str]] = []
    used: dict[str, str] = {}
    for step in _steps(job):
        if step.key not in answers:
            return Walk(tuple(answered), step, used)
        used[step.key] = step.accept(answers[step.key])
        answered.append((step, used[step.key]))
    return Walk(tuple(answered), None, used)


class HowFar(NamedTuple):
    """How far a change of cutter is."""

    left: float
    """Share of its steps that are still to be done."""
    knives: int = 0
    """Knives of the set that are done."""
    of: int = 0
    """Knives of the set that are done one by one; 0: they are not."""
    steps: int = 0
    """Steps that are still to be done, each knife one; 0: it is not told."""


def how_far(job: ChangeJob, answered: Collection[str]) -> HowFar:
    """Tell how far a change is by the keys of the steps that were answered."""
    keys = [step.key for step in _steps(job)]
    knives = [key for key in keys if key.startswith(KNIFE)]
    done = sum(1 for key in keys if key in answered)
    knives_done = sum(1 for key in knives if key in answered)
    return HowFar(1 - done / len(keys), knives_done, len(knives), len(keys) - done)


def unplug(kind: CutterKind, *, again: bool = False) -> Caution:
    """Ask for the plug's state before hands come near the cutter; a hand tool's edge has none."""
    if kind == "hand tool":
        return Caution(
            key="unplugged again" if again else UNPLUGGED,
            title="Lay it down: edge away from you, other edges covered.",
            lines=("An edge never rests on a knee or in a pocket.", MANUAL),
            options=(Option("laid down", "it lies on the bench, its edge away from me"),),
        )
    return Caution(
        key="unplugged again" if again else UNPLUGGED,
        title="Is the machine still unplugged?"
        if again
        else f"Unplug the machine. Wait until the {_HOLDS[kind]} stands still.",
        lines=("Nothing may turn, nothing may start while hands are at an edge.", MANUAL),
        options=(Option("plug out", "the plug is out, where I can see it"),),
    )


_HOLDS: dict[CutterKind, str] = {
    "blade": "blade",
    "band": "band",
    "knives": "head",
    "bit": "bit",
    "hand tool": "edge",
}
"""What runs down."""


def _steps(job: ChangeJob) -> list[Step]:
    steps: list[Step] = [unplug(job.kind), _hands(job)]
    if job.act == "put on" and job.on_state != "sharp":
        steps.insert(0, _goes_on(job))
    one_by_one = job.pieces > 1 and job.act != "take off"
    if job.off:
        if not (one_by_one and job.act == "turn"):
            steps.append(_take_off(job))
        if job.act == "clean":
            steps.append(_clean(job))
        elif not job.off_is_done:
            steps.append(_how_was_it(job))
    if job.act != "take off":
        if job.kind == "blade" and job.riving_knife and job.act != "clean":
            steps.append(_riving_knife(job.sizes))
        steps += _each_knife(job) if one_by_one else [_put_on(job)]
        if job.kind == "knives":
            steps.append(_tight())
    return [*steps, _clear(job)]


def _goes_on(job: ChangeJob) -> Step:
    """Ask, before the machine is opened, whether one goes on that is not clean and sharp."""
    state = job.on_state
    lines = ("Better give the change up: have it sharpened, or take another one.",)
    options: tuple[Option, ...] = (Option(state, f"put it on {state} anyway"),)
    if state == "dirty":
        lines = ("Pitch overheats and dulls it. Clean it now, before you open the machine.",)
        options = (Option(CLEANED, "it is clean now"), *options)
    title = f"{job.on} is recorded as {state}."
    return Choice(key=GOES_ON, title=title, lines=lines, options=options)


def _hands(job: ChangeJob) -> Step:
    lines: dict[CutterKind, str] = {
        "blade": "Gloves that fit, or a rag round the teeth: only while nothing can turn.",
        "band": "Gloves and glasses: a band springs open when it comes free.",
        "knives": "Gloves that fit, and every free edge covered: knives cut when a wrench slips.",
        "bit": "A rag round the edges; a bit that has just cut is hot.",
        "hand tool": "A guard or a rag over the edge; both hands behind it.",
    }
    gloves = "Gloves come off again before the plug goes in."
    return Do(
        key="hands",
        title="Cover hands and edges. Tools within reach.",
        lines=(lines[job.kind], *(() if job.kind == "hand tool" else (gloves,))),
    )


def _take_off(job: ChangeJob) -> Step:
    if job.act == "turn":
        return Do(
            key="off",
            title=f"Slacken and turn: {job.off}.",
            lines=(
                "Block the head as the maker's manual says. Pull the wrench away from edges.",
                f"Every knife in the set to edge {job.edge}, one after the other.",
                "Clean each seat before the knife goes back on it.",
            ),
        )
    lines = {
        "blade": (
            "Block the arbor as the maker's manual says; it also says which way the nut turns.",
            "Keep the wrench hand clear of the teeth if it slips.",
        ),
        "band": (
            "Let the tension off and open the guides first.",
            "Hold the band with both hands; coil it away from your face.",
        ),
        "knives": (
            "Block the head as the maker's manual says. Pull the wrench away from edges.",
            "Lay the knives on wood, edges covered, in the order of their seats.",
        ),
        "bit": ("Lock the spindle as the maker's manual says.",),
        "hand tool": ("Wipe it dry; a guard on its edge before it is laid away.",),
    }
    return Do(key="off", title=f"Take off: {job.off}.", lines=lines[job.kind])


def _clean(job: ChangeJob) -> Step:
    return Do(
        key="clean",
        title=f"Clean it: {job.off}.",
        lines=(
            "Glasses and gloves against the cleaner; heed what is printed on it.",
            "A soft brush, no scraper at the edges. Rinse, and dry it at once.",
            "If it is dull or damaged: g abandons this; put another one on.",
        ),
    )


def _how_was_it(job: ChangeJob) -> Step:
    if job.act == "turn":
        options = (
            Option("dull", "dull: it burned, tore or pushed hard"),
            Option("sharp", "not dull: nicked, or turned for another reason"),
        )
        return Choice(key=CAME_OFF, title="How was the old edge?", options=options)
    return Choice(
        key=CAME_OFF,
        title=f"{job.off}: how is it?",
        options=(
            Option("dirty", "dirty: clean it before it is used again"),
            Option("dull", "dull: sharpen it, or throw it away"),
            Option("sharp", "clean and sharp"),
            Option("worn out", "worn out or damaged: never use it again"),
        ),
    )


def _riving_knife(sizes: tuple[str, str] | None) -> Step:
    if sizes is None:
        title = "Riving knife: thicker than the plate, thinner than the kerf?"
        measure = "Measure plate, kerf and knife of the blade that goes on."
    else:
        plate, kerf = sizes
        title = f"Riving knife: thicker than the plate, {plate}, thinner than the kerf, {kerf}?"
        measure = "Plate and kerf as the shop file gives for this blade. Measure the knife."
    return Choice(
        key="riving knife",
        title=title,
        lines=(
            measure,
            "If it does not fit, go no further: another blade, or another riving knife.",
        ),
        options=(
            Option("fits", "yes, it fits the blade"),
            Option("none", "this machine was built without one"),
        ),
    )


def _put_on(job: ChangeJob) -> Step:
    lines: dict[CutterKind, tuple[str, ...]] = {
        "blade": (
            "First look: no tooth missing or cracked, plate flat, bore and top speed right.",
            "Flanges and arbor clean. Teeth point the way it turns: follow the arrows.",
            "Tighten as the maker's manual says.",
        ),
        "band": (
            "First look: no crack, no kink, the weld smooth.",
            "Teeth point down at the table, and toward you. Tension it for its width.",
            "Track it by hand, plug out; then set the guides.",
        ),
        "knives": (
            "First look: no chip, no crack; one set, all of one width.",
            "Seats clean. Bevels facing as the old ones did. Seat them as the maker's manual says.",
        ),
        "bit": (
            "First look: no chip, the shank clean and unbruised.",
            "Shank in as far as the maker's manual says. The key comes out of the chuck.",
        ),
        "hand tool": (
            "First look: no nick, no crack; handle and wedge or ferrule tight.",
            "Try it on scrap of the work, with the grain, hands behind the edge.",
        ),
    }
    if job.act == "turn":
        return Do(
            key="on",
            title=f"Seat every knife on edge {job.edge}.",
            lines=("Each flat on its clean seat, on its pins, before its screws are tightened.",),
        )
    return Do(key="on", title=f"Put on: {job.on}.", lines=lines[job.kind])


def _each_knife(job: ChangeJob) -> list[Step]:
    """Turn or seat one knife of a set after the other: which are done is on record."""
    does, how = (
        f"turn it to edge {job.edge}, seat it, tighten it",
        (
            "Slacken it and no other; clean its seat.",
            "Flat on its seat, on its pins, before its screws are tightened.",
        ),
    )
    mark = ("Chalk a mark where you begin.",) if job.act == "turn" else ()
    if job.act != "turn":
        does, how = (
            "seat it, tighten it",
            (
                "First look: no chip, no crack, as wide as the others; its seat clean.",
                "Its bevel faces as the old one's did. Seat it as the maker's manual says.",
            ),
        )
    hold = "Block the head as the maker's manual says. Pull the wrench away from edges."
    return [
        Do(
            key=f"{KNIFE}{number}",
            title=f"Knife {number} of {job.pieces}: {does}.",
            lines=(hold, *how, *(mark if number == 1 else ())),
        )
        for number in range(1, job.pieces + 1)
    ]


def _tight() -> Step:
    return Caution(
        key="tight",
        title="Every screw of every knife tight?",
        lines=(
            "In the order and as tight as the maker's manual says; then once round again.",
            "A knife that comes loose is thrown out of the head.",
        ),
        options=(Option("tight", "I went round twice: every screw is tight"),),
    )


def _clear(job: ChangeJob) -> Step:
    if job.kind == "hand tool":
        return Do(
            key="clear",
            title="Rags and edge guards where they belong.",
            lines=("Enter records the change.",),
        )
    last = (
        ("Leave the plug out: nothing is on the machine.", "Enter records the change.")
        if job.act == "take off"
        else (
            "Turn it once by hand: nothing rubs. Gloves off before the plug goes in.",
            "Enter records it; the checks that it affects fall due.",
        )
    )
    lines = ("Guards back on; spindle lock or block out.", *last)
    return Do(key="clear", title="Wrench and rags off the machine.", lines=lines)
