"""What a good shop file becomes: lengths in mm, angles in rad, intervals in days."""

from __future__ import annotations

import math

import pytest

from shopboard.checks.registry import facts
from shopboard.metrology.adjuster import Screw, Shim, Slot
from shopboard.metrology.instruments import Square
from shopboard.shop.machine import Cutter, Point, Task
from shopboard.shop.problems import ShopFileError
from shopboard.shop.reader import read_shop_text
from shopboard.shop.table import READERS, keys_of
from tests.shop.texts import SHOP, load, spoilt

LEVER, TOLERANCE, GRADE = "lever = 3\n", 'tolerance = "0.1 deg"', 'grade = "0"'


def the_point(text: str) -> Point:
    """Give the only point of a shop."""
    (point,) = load(text).shop.points.values()
    return point


class TestShop:
    @pytest.mark.parametrize(
        ("written", "unit"),
        [("inch", "inch"), ("in", "inch"), ("inches", "inch"), ("mm", "mm"), ("MM", "mm")],
    )
    def test_unit(self, written: str, unit: str) -> None:
        """The unit may be written as people write it."""
        text = spoilt('unit = "inch"', f'unit = "{written}"').replace("0.002,", "0.05,")
        assert load(text.replace("lever = 3", "lever = 30")).shop.unit == unit

    @pytest.mark.parametrize(
        ("written", "level"), [('"95 %"', 0.95), ("0.9", 0.9), ('"99.9%"', 0.999), ("0.5", 0.5)]
    )
    def test_proof(self, written: str, level: float) -> None:
        """The level of proof, in per cent or as a share."""
        text = spoilt('unit = "inch"', f'unit = "inch"\nproof = {written}')
        assert load(text).shop.proof_level == pytest.approx(level)

    def test_proof_unless_told(self) -> None:
        """Without it the level is 95 %."""
        assert load(SHOP).shop.proof_level == 0.95

    @pytest.mark.parametrize(
        ("written", "risk"), [('"5 %"', 0.05), ("0.1", 0.1), ('"0.1%"', 0.001), ("0.5", 0.5)]
    )
    def test_risk(self, written: str, risk: float) -> None:
        """How likely it may be out before a check is due; never less than the proof leaves."""
        text = spoilt('unit = "inch"', f'unit = "inch"\nproof = "99.9 %"\nrisk = {written}')
        shop = load(text).shop
        assert shop.risk == pytest.approx(risk)
        assert shop.accepted_risk == pytest.approx(risk)
        loose = load(text.replace("99.9 %", "50 %")).shop
        assert loose.risk == pytest.approx(risk)
        assert loose.accepted_risk == 0.5

    def test_risk_unless_told(self) -> None:
        """Without it the risk is 5 %."""
        assert load(SHOP).shop.risk == pytest.approx(0.05)

    def test_bare_numbers_take_the_unit(self) -> None:
        """In an inch shop 3 is three inches, in a metric shop three millimetres."""
        assert the_point(SHOP).geometry.lever == pytest.approx(76.2)
        metric = SHOP.replace('"inch"', '"mm"').replace("0.002,", "0.05,")
        assert the_point(metric.replace("lever = 3", "lever = 75")).geometry.lever == 75

    @pytest.mark.parametrize("written", ["0.02", '"0.02"', '"±0.02"', '"0 to 0.02"'])
    def test_a_bare_tolerance_is_a_length_in_the_unit_of_the_shop(self, written: str) -> None:
        """And is told with that unit, wherever it is told."""
        text = SHOP.replace('check = "square"', 'check = "runout"')
        text = text.replace('tolerance = "0.1 deg"', f"tolerance = {written}")
        for unit, sign, high in (("inch", "in", 0.508), ("mm", "mm", 0.02)):
            shop = text.replace('unit = "inch"', f'unit = "{unit}"').replace("0.002,", "0.05,")
            shop = shop.replace("lever = 3", 'lever = "3 in"')
            found = read_shop_text(shop, known_checks=("runout",), facts=facts()).shop
            tolerance = found.points["saw.blade"].tolerance
            assert tolerance.kind == "length"
            assert tolerance.high == pytest.approx(high)
            assert tolerance.typed == f"{written.strip(chr(34))} {sign}"

    @pytest.mark.parametrize(
        ("check", "said"),
        [("timed", 'has no unit of time.*mean "10 s"'), ("runout", 'is 10 in.*mean "10 thou"')],
    )
    def test_a_bare_tolerance_that_cannot_be_is_told_its_unit(self, check: str, said: str) -> None:
        text = SHOP.replace('check = "square"', f'check = "{check}"')
        text = text.replace('tolerance = "0.1 deg"', "tolerance = 10")
        with pytest.raises(ShopFileError, match=said):
            read_shop_text(text, "", (check,), facts())

    @pytest.mark.parametrize("said", ["1", "0.5", '"-5 to 0"', '"-2 to 0.1"'])
    def test_no_bare_tolerance_is_so_wide_that_all_is_true(self, said: str) -> None:
        """In inches it was meant in thou (common practice, no source)."""
        text = SHOP.replace('check = "square"', 'check = "runout"')
        text = text.replace('tolerance = "0.1 deg"', f"tolerance = {said}")
        with pytest.raises(ShopFileError, match=f"mean .{said.strip(chr(34))} thou"):
            read_shop_text(text, "", ("runout",), facts())

    def test_other_checks(self) -> None:
        """Which methods there are is told from outside."""
        text = SHOP.replace('check = "square"', 'check = ["level", "square"]')
        loaded = read_shop_text(text, known_checks=("square", "level"))
        assert loaded.shop.points["saw.blade"].checks == ("level", "square")
        with pytest.raises(ShopFileError):
            read_shop_text(text)


class TestDrawer:
    @staticmethod
    def square(lines: str) -> Square:
        """Give the square of a shop, known by these lines."""
        return load(spoilt(GRADE, lines)).shop.drawer.squares[0]

    def test_grade(self) -> None:
        """DIN 875-1: grade 0 allows 5 + L/50 micrometres at the end of L mm of blade."""
        square = self.square(GRADE)
        assert square.limit == pytest.approx(math.atan((5 + 152.4 / 50) / 1000 / 152.4))
        assert square.source == "grade 0, DIN 875-1"

    @pytest.mark.parametrize("sign", ["", "± ", "+/- ", "+-"])
    def test_within(self, sign: str) -> None:
        """A promise of so much over the blade, with or without its sign."""
        square = self.square(f'within = "{sign}1 thou over 6 in"')
        assert square.limit == pytest.approx(math.atan(0.001 / 6))
        assert square.u == pytest.approx(math.atan(0.001 / 6) / math.sqrt(3))

    def test_certified(self) -> None:
        """A certificate gives the error, and twice its standard uncertainty (k = 2)."""
        square = self.square('certified = "-0.4 thou/ft"\ncertified_to = "0.2 thou/ft"')
        assert square.known_error == pytest.approx(-0.4 / 12000)
        assert square.known_u == pytest.approx(0.1 / 12000)
        assert square.limit == 0

    def test_certified_as_true(self) -> None:
        """A square may be certified as off by nothing."""
        assert self.square('certified = "0 deg"\ncertified_to = "0.2 thou/ft"').known_error == 0

    def test_leaves_are_put_in_order(self) -> None:
        """Leaves come out thinnest first and once each."""
        text = spoilt('[".0015 in", 0.002, "3 thou"]', '["3 thou", 0.003, ".0015 in"]')
        (feelers,) = load(text).shop.drawer.feelers
        assert feelers.leaves == pytest.approx((0.0381, 0.0762))
        assert feelers.most_leaves == 2

    def test_other_tools(self) -> None:
        """Straightedge, indicator and calliper are kept with reach and accuracy."""
        tools = "".join(
            f'[[drawer.{kind}]]\nid = "{kind}"\nname = "N"\nreach = 6\nwithin = "1 thou"\n'
            for kind in ("straightedge", "indicator", "calliper")
        )
        others = load(SHOP + tools).shop.drawer.others
        assert [tool.kind for tool in others] == ["straightedge", "indicator", "calliper"]
        assert others[0].limit == pytest.approx(0.0254)


class TestPoint:
    @pytest.mark.parametrize(
        ("written", "low", "high"),
        [
            ("0.1 deg", -math.radians(0.1), math.radians(0.1)),
            ("± 0.1 deg", -math.radians(0.1), math.radians(0.1)),
            ("5 thou/ft", -5 / 12000, 5 / 12000),
            ("0.3 mm/m", -0.0003, 0.0003),
            ("3 thou over 9 in", -0.003 / 9, 0.003 / 9),
            ("0 to 3 thou/ft", 0, 3 / 12000),
            ("-1 to 3 thou/ft", -1 / 12000, 3 / 12000),
            ("-0.1 deg to 1 thou/ft", -math.radians(0.1), 1 / 12000),
        ],
    )
    def test_tolerance(self, written: str, low: float, high: float) -> None:
        """One number is either way; a range may leave one side out."""
        tolerance = the_point(spoilt(TOLERANCE, f'tolerance = "{written}"')).tolerance
        assert (tolerance.low, tolerance.high) == pytest.approx((low, high), rel=1e-6)
        assert tolerance.typed == written

    @pytest.mark.parametrize(
        ("written", "days"),
        [
            ("1 day", 1),
            ("30 days", 30),
            ("6 weeks", 42),
            ("3 months", 91),
            ("1 year", 365),
            ("10 years", 3652),
        ],
    )
    def test_every(self, written: str, days: int) -> None:
        """Intervals in days; a month is a twelfth of a year."""
        assert the_point(SHOP + f'every = "{written}"\n').every_days == days

    def test_only_what_is_needed(self) -> None:
        """What may be left out has a plain meaning."""
        point = the_point(SHOP)
        assert (point.every_days, point.undone_by, point.rests_on) == (None, (), ())
        assert (point.cutter_near, point.lock, point.adjuster) == (False, "", None)
        assert (point.geometry.lies, point.geometry.turn) == ("upright", "no")

    def test_flat(self) -> None:
        """A square that lies flat has a tip and a heel."""
        geometry = the_point(
            SHOP + 'lies = "flat"\nlight_at_tip = "T"\nlight_at_heel = "H"\n'
        ).geometry
        assert (geometry.lies, geometry.light_at_top, geometry.light_at_bottom) == (
            "flat",
            "T",
            "H",
        )

    def test_screw(self) -> None:
        """A screw by its thread or by its pitch."""
        screw = '[machine.point.adjuster]\nkind = "screw"\narm = 4\nclockwise = "away"\n'
        by_thread = the_point(SHOP + screw + 'thread = "1/4-20"\nbacklash = "1/2 turn"\n').adjuster
        assert by_thread == Screw(25.4 / 20, 4 * 25.4, "away", 0.5)
        by_pitch = the_point(SHOP + screw + 'pitch = "1.25 mm"\nname = "stop"\n').adjuster
        assert by_pitch == Screw(1.25, 4 * 25.4, "away", 0.25, "stop")

    def test_a_screw_that_sets_a_length_needs_no_arm(self) -> None:
        """It bears on the length itself; at an angle the arm is missing."""
        screw = '[machine.point.adjuster]\nkind = "screw"\nclockwise = "less"\npitch = "1 mm"\n'
        gap = SHOP.replace('check = "square"', 'check = "leaf-gap"')
        gap = gap.replace(TOLERANCE, 'tolerance = "2 to 5 thou"')
        for more, arm in (("", 0.0), ('arm = "1 in"\n', 25.4)):
            shop = read_shop_text(gap + screw + more, known_checks=("leaf-gap",)).shop
            assert shop.points["saw.blade"].adjuster == Screw(1.0, arm, "toward")
        with pytest.raises(ShopFileError, match="arm is missing"):
            load(SHOP + screw)

    def test_slot(self) -> None:
        """A part that is tapped, written in braces."""
        assert the_point(SHOP + 'adjuster = { kind = "slot", arm = "200 mm" }\n').adjuster == Slot(
            200
        )

    def test_shim(self) -> None:
        """A part that is packed under one of two seats."""
        shim = '[machine.point.adjuster]\nkind = "shim"\nspan = "80 mm"\n'
        seats = 'toward_seat = "left"\naway_seat = "right"\n'
        assert the_point(SHOP + shim + seats).adjuster == Shim(80, "left", "right")


def test_tasks_and_cutters() -> None:
    """Tasks and cutters stay with their machine."""
    text = SHOP + '[[machine.task]]\nid = "wax"\nname = "Wax"\nevery = "4 weeks"\n'
    text += '[[machine.cutter]]\nid = "b"\nname = "B"\nwhere = "on the shelf"\nstate = "dull"\n'
    (machine,) = load(text).shop.machines
    assert machine.tasks == (Task("wax", "Wax", 28, every="4 weeks", leaves="wax"),)
    assert machine.cutters == (Cutter("b", "B", "on the shelf", "dull"),)


def test_every_table_tells_its_keys() -> None:
    """Each reader can be asked which keys it knows, so that messages never list old ones."""
    for header in READERS:
        assert keys_of(header)


def test_a_thousand_machines() -> None:
    """A thousand machines with two points each are read."""
    machine = SHOP[SHOP.index("[[machine]]") :]
    point = machine[machine.index("[[machine.point]]") :].replace('"blade"', '"fence"')
    text = SHOP[: SHOP.index("[[machine]]")] + "".join(
        machine.replace('"saw"', f'"saw-{i}"') + point for i in range(1000)
    )
    shop = load(text).shop
    assert (len(shop.machines), len(shop.points)) == (1000, 2000)
