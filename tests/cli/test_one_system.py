"""A shop reads its own units alone: every method's whole way, every command's plain output.

Both shops stand in one text, each size a round number of that shop: ``[4 in|100 mm]``.

What is told in every unit, and so not asked here: `reckon`, which knows no shop; JSON and CSV,
whose fields name their unit; what an error lists as allowed where anything may be typed (``in,
thou or mm``). Words that the person typed into the shop file, such as the name of a tool, stay as
typed: the names of these two shops hold no size.
"""

from __future__ import annotations

import re

import pytest

from shopboard.checks.registry import names
from shopboard.checks.steps import Caution, Choice, Finding, Number, Step
from shopboard.commands import check_plain
from shopboard.metrology.quantity import QuantityError, Unit, parse_length
from shopboard.metrology.wording import own_words
from shopboard.sittings.check_sitting import CheckSitting
from tests.checks.readings import GOOD, TOLERANCES
from tests.cli.program import Program
from tests.cli.test_whole_ways import NOT_SET, PROVES, TYPED, read
from tests.in_turn import in_turn

OF_THE_OTHER: dict[Unit, re.Pattern[str]] = {
    "mm": re.compile(
        r"\d[-\s]?(in|ft|lbf|tpi|mph)\b(?! (one|a|the|all|every|turn))"
        r"|\b(thou|inch|inches|foot|feet|psi|Mpsi|thousandths?|tpi)\b|\d[\"'′″]"
    ),
    "inch": re.compile(
        r"\d\s?(mm|cm|m|um|MPa|GPa|N)\b|\b(mm|MPa|GPa|metric|metres?|meters?|millimet\w+)\b|\d[\"'′″]"
    ),
}
_FOLDERS = re.compile(r"(?<!\S)/\S+/")
METRIC_LIMITS = {
    "carry": "0 to 0.08 mm",
    "centres": "0.8 mm",
    "flatness": "0.25 mm",
    "straightness": "0.25 mm",
    "runout": "0.05 mm",
    "snipe": "0.08 mm",
    "three-straightedges": "0.08 mm",
    "blade-tension": "70 to 140 MPa",
    "timed": "0 to 10 s",
    "leaf-gap": "0 to 0.13 mm",
    "drift-angle": "10 mm/m",
    "drilled-angle": "10 mm/m",
}
INCH_LIMITS = TOLERANCES | {
    "leaf-gap": "0 to 5 thou",
    "drift-angle": "120 thou/ft",
    "drilled-angle": "120 thou/ft",
}

HEAD = """\
[shop]
name = "The ferry landing"
unit = "[inch|mm]"

[[drawer.square]]
id = "square-6"
name = "Square"
length = "[6 in|150 mm]"
grade = "0"

[[drawer.square]]
id = "small"
name = "Small square"
length = "[4 in|100 mm]"
grade = "1"

[[drawer.square]]
id = "sliding"
name = "Square that slides"
length = "[10 in|250 mm]"
grade = "1"

[[drawer.feeler]]
id = "leaves"
name = "Leaves"
leaves = [[0.0015, 0.002, 0.003, 0.004, 0.006, 0.008, 0.01, 0.012, 0.015, 0.02
    |0.04, 0.05, 0.08, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5]]

[[drawer.straightedge]]
id = "edge"
name = "Straightedge"
reach = "[50 in|1250 mm]"
within = "[0.8 thou|0.02 mm]"

[[drawer.straightedge]]
id = "level"
name = "Level"
reach = "[48 in|1200 mm]"
within = "[2 thou|0.05 mm]"

[[drawer.straightedge]]
id = "rail"
name = "Rail"
reach = "[50 in|1250 mm]"
within = "[4 thou|0.1 mm]"

[[drawer.indicator]]
id = "dial"
name = "Dial"
reach = "[1/8 in|3 mm]"
within = "[0.4 thou|0.01 mm]"

[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "[6 in|150 mm]"
within = "[0.8 thou|0.02 mm]"

[[machine]]
id = "bench"
name = "All in one"
kind = "table saw"

[[machine.cutter]]
id = "rip"
name = "Rip blade"
where = "on the machine"
state = "sharp"
lasts = "[2000 ft|600 m]"
plate = "[0.087 in|2.2 mm]"
kerf = "[0.126 in|3.2 mm]"

[[machine.cutter]]
id = "cross"
name = "Crosscut blade"
where = "on the shelf"
state = "sharp"
lasts = "[2000 ft|600 m]"
plate = "[0.079 in|2 mm]"
kerf = "[0.118 in|3 mm]"

[[machine.task]]
id = "wax"
name = "Wax the table"
every = "4 weeks"
minutes = "20 min"
steps = ["Wipe clean", "Wax on, wait 10 min", "Buff"]
"""
UPRIGHT = """\
datum = "table"
face = "face"
lever = "[4 in|100 mm]"
turn = "other side"
cutter_near = true
undone_by = ["blade changed", "knocked"]
shows_in = ["end angle", "end tilt", "mitre", "bevel", "edge angle"]
"""
SET = """
[machine.point.adjuster]
kind = "slot"
name = "the bracket"
arm = "[10 in|250 mm]"
toward = "left"
away = "right"
"""
SCREW = """
[machine.point.adjuster]
kind = "screw"
name = "the stop screw"
thread = "[1/4-20|M6x1]"
arm = "[10 in|250 mm]"
clockwise = "toward"
backlash = "1/4 turn"
"""
PROJECT = """
[[project]]
id = "chest"
name = "Chest"
thickness = "[3/4 in|20 mm]"
"""
SIZES = {
    "panel": 'pieces = 4\nwidth = "[4 in|100 mm]"\nlength = "[30 in|750 mm]"',
    "frame": 'width = "[2 in|50 mm]"\nlength = "[20 in|500 mm]"',
    "carcase": 'width = "[20 in|500 mm]"\nheight = "[30 in|750 mm]"\ndepth = "[10 in|250 mm]"',
    "tenon": 'width = "[3 in|75 mm]"',
    "stave ring": "pieces = 12",
    "segment ring": 'pieces = 12\nwidth = "[2 in|50 mm]"',
    "veneer": 'height = "[6 in|150 mm]"',
    "leg": 'depth = "[1 1/2 in|40 mm]"\nlength = "[17 in|430 mm]"',
    "stretcher": 'height = "[9 in|230 mm]"\ndepth = "[1 in|25 mm]"\nlength = "[14 in|350 mm]"',
}


def shop(unit: Unit) -> str:
    """A shop of that unit with a point for every method, cutters, a task and a project."""
    limits = METRIC_LIMITS if unit == "mm" else INCH_LIMITS
    usual = "2 mm/m" if unit == "mm" else "24 thou/ft"
    told = [HEAD]
    for name in names():
        said = name in ("go-no-go", "seating", "note")
        told.append(f'[[machine.point]]\nid = "{name}"\nname = "By {name}"\ncheck = "{name}"')
        told += [] if said else [f'tolerance = "{limits.get(name, usual)}"\nevery = "3 months"']
        told += [f'proves = "{PROVES[name]}"'] if name in PROVES else []
        told += [UPRIGHT, SCREW] if name == "square" else []
        told += [] if said or name in NOT_SET or name == "square" else [SET]
    told.append(PROJECT)
    for kind, sizes in SIZES.items():
        told.append(f'[[project.joint]]\nid = "{kind.replace(" ", "-")}"\nname = "A {kind}"')
        told.append(f'kind = "{kind}"\n{sizes}\n')
    return own_words("\n".join(told), unit)


UNITS: tuple[Unit, ...] = ("mm", "inch")


@pytest.fixture(params=UNITS)
def unit(program: Program, request: pytest.FixtureRequest) -> Unit:
    """The unit of the shop that stands there."""
    found: Unit = request.param
    program.write("shop.toml", shop(found))
    return found


def in_the_shops(text: str, unit: Unit) -> str:
    """A reading as a person of that shop types it: 25 mm where it is an inch in the other."""
    try:
        mm = parse_length(text).mm
    except QuantityError:
        return text
    return f"{mm / 25.4 * 25:.6g} mm" if unit == "mm" else f"{mm / 25.4:.6g} in"


class AtTheMachine:
    """Answers each step as it is shown: out, set, true; types leaves, asks for each working."""

    def __init__(self, method: str, unit: Unit) -> None:
        self.method, self.unit = method, unit
        self.step: Step | None = None
        self.told: set[str] = set()
        self.asked = 0

    def line(self, _: str) -> str:
        step, self.asked = self.step, self.asked + 1
        assert step is not None
        assert self.asked < 200, f"no end: {step.key}, {step.title}"
        if isinstance(step, Finding) and step.key not in self.told:
            self.told.add(step.key)
            return "why\n"
        return f"{self.answer(step)}\n"

    def answer(self, step: Step) -> str:
        """Give what is answered: as found it is out, as left it is true."""
        found = self.read(out=True)
        second = step.key.startswith("left") and step.key not in found  # a reading may be `left`
        key = re.sub(r"^left\d*\.", "", step.key) if second else step.key
        if key == "next":
            return "done" if step.key != "next" or self.method in NOT_SET else "adjust"
        if re.search(r"leaf\d+$", key):
            return "typed"
        said = self.read(out=False) if second else found
        if key in said:
            return in_the_shops(said[key], self.unit)
        if isinstance(step, Choice) and not isinstance(step, Caution):
            return step.default or step.options[0].value
        if isinstance(step, Number):
            return step.default or ("0" if step.may_equal else in_the_shops("0.002 in", self.unit))
        return "1" if isinstance(step, Caution) else ""

    def read(self, *, out: bool) -> dict[str, str]:
        """Give what is read; a tool of the drawer is proven, a note is kept."""
        if self.method in NOT_SET:
            return {**GOOD, **TYPED}[self.method]
        return read(self.method, out=out)


def foreign(text: str, unit: Unit) -> list[str]:
    """The lines that hold a word of the other system; the name of a folder may be ``...97in``."""
    lines = text.splitlines()
    return [line for line in lines if OF_THE_OTHER[unit].search(_FOLDERS.sub("", line))]


@pytest.mark.parametrize(("name", "unit"), in_turn(names(), UNITS), indirect=["unit"])
def test_the_whole_way_of_a_method(
    program: Program, unit: Unit, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As plain lines: each step, the working, the correction, the second run; and its history."""
    person = AtTheMachine(name, unit)
    show = check_plain._show

    def shown(step: Step, sitting: CheckSitting) -> None:
        person.step = step
        show(step, sitting)

    monkeypatch.setattr(check_plain, "_show", shown)
    monkeypatch.setattr(check_plain, "prompt", person.line)
    ran = program("check", f"bench.{name}")
    assert ran.code == 0
    assert "The check is closed." in ran.out, ran.out[-600:] + ran.err
    assert foreign(ran.out, unit) == []
    assert len(person.told) == (1 if name in NOT_SET else 2)
    for more in (("history", f"bench.{name}"), ("history", f"bench.{name}", "--plot"), ("status",)):
        assert foreign(program(*more).out, unit) == [], more
    blank = program("check", f"bench.{name}", "--blank").out
    assert foreign(blank.replace('"', ""), unit) == []


def test_every_commands_plain_output(program: Program, unit: Unit) -> None:
    """On a shop where something of all sorts happened, with what stands on hold and why."""
    typed = {"mm": ("0.2 mm", "0.25 mm", "12 m"), "inch": ("0.008 in", "0.01 in", "40 ft")}[unit]
    goes, refused, length = typed
    out = f'unplugged = "plug out"\nlight = "top"\ngoes = "{goes}"\nrefused = "{refused}"\n'
    ran = [
        program.check("bench.square", out, "--no-record"),
        program.check("bench.square", out),
        program("happened", "bench", "length cut", length),
        program("cutter", "bench.rip", "dull"),
        program("done", "bench.wax"),
        program("happened", "bench", "blade changed"),
    ]
    assert [one.code for one in ran] == [0] * len(ran), [one.err for one in ran]
    sheet, day = program.folder / "sheet.html", program.folder / "day.html"
    for words in (
        "status", "points", "points --best", "points --retired", "tasks", "cutters", "project",
        "prep", "hand", "round --list", "proofread", "history bench.square", "verify", "clock",
        "history bench.square --plot", f"sheet bench --to {sheet}", f"prep chest --sheet {day}",
        "status --on 2020-01-01", "changes 2020-01-01", "check bench.square --blank",
        "project chest", "prep chest", "tag bench loose",
        *(f"glueup chest {kind.replace(' ', '-')}" for kind in SIZES),
    ):  # fmt: skip
        told = program(*words.split())
        assert told.code in (0, 1), told.err
        ran.append(told)
    said = "\n".join(one.out + one.err for one in ran)
    said += "".join(path.read_text(encoding="utf-8") for path in (sheet, day))
    assert foreign(re.sub(r'"[^"\n]*"|<style.*?</style>', "", said, flags=re.S), unit) == []
    assert re.search(r"\d mm/m" if unit == "mm" else r"\d thou/ft", said)
    assert re.search(r"allowed [\d.]+ mm" if unit == "mm" else r"allowed [\d.]+ thou", said)


def test_what_is_refused_speaks_of_the_shop_too(program: Program, unit: Unit) -> None:
    """A stretch that no band stands, a carry beyond the circle, a run-out that is none."""
    slips = {
        "blade-tension": {"stretch": "0.1 in"},
        "carry": {"knife2_back": "2 in"},
        "runout": {"high": "0.25 in"},
        "three-straightedges": {"bc.goes": "0.3 in", "bc.refused": "0.31 in"},
    }
    for name, slip in slips.items():
        answers = {"care": "understood", **GOOD[name], **slip}
        text = "".join(f'{key} = "{in_the_shops(said, unit)}"\n' for key, said in answers.items())
        ran = program.check(f"bench.{name}", text)
        assert ran.code == 2, name
        assert foreign(ran.err.replace('"', ""), unit) == []


@pytest.mark.parametrize(
    ("good", "bad"),
    [
        ('lever = "[4 in|100 mm]"', 'lever = "0 mm"'),
        ('tolerance = "[24 thou/ft|2 mm/m]"', "tolerance = true"),
        ('within = "[0.4 thou|0.01 mm]"', "within = false"),
        ('width = "[3 in|75 mm]"', 'width = "0"'),
        ('plate = "[0.079 in|2 mm]"', "plate = true"),
    ],
)
def test_what_a_shop_file_should_say_is_told_in_its_unit(
    program: Program, unit: Unit, good: str, bad: str
) -> None:
    """The example of a good value is one of that shop; what was typed is told as it was typed."""
    text = shop(unit)
    assert own_words(good, unit) in text
    program.write("shop.toml", text.replace(own_words(good, unit), bad, 1))
    ran = program("proofread")
    assert ran.code != 0
    (wrong,) = [line for line in (ran.out + ran.err).splitlines() if "such as" in line]
    other = "in|thou|ft|psi" if unit == "mm" else "mm|MPa|mm/m"
    assert not re.search(rf"such as .*[0-9] ({other})\b", wrong), wrong


@pytest.mark.parametrize(
    ("values", "row"),
    [
        (
            "square  goes=0.3mm  refused=0.4mm  lever=150mm  light=top  tolerance=0.25mm/m",
            "-0.0143 to +0.0143 deg   -3 to +3 thou/ft   -0.25 to +0.25 mm/m",
        ),
        (
            "carry  carry=3mm  circle=80mm  tolerance=0 to 0.025 mm",
            "0 to 0.00098 in   0 to 0.98 thou   0 to 0.025 mm",
        ),
        (
            "blade-tension  stretch=2thou  over=5in  tolerance=15000 to 20000 psi",
            "15000 to 20000 psi   104 to 137 MPa",
        ),
    ],
)
def test_where_there_is_no_shop_a_tolerance_is_told_in_every_unit(
    program: Program, values: str, row: str
) -> None:
    """As the error above it is; worked by hand: 3 thou/ft is 0.25 mm/m, 0.025 mm 0.98425 thou."""
    words = values.split("  ")
    assert f"tolerance    {row}\n" in program.bare("reckon", *words).out
