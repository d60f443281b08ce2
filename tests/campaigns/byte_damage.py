"""Flipped bits of a small journal: each command is right, or names the damage, in time.

The seed shuffles all bits that can matter (not those in the middle of unused bytes);
a count as large as their number flips each once. What shows a state as right that is
not, says nothing of damage though its answer changed, takes longer than the bound or
ends in anything but an answer or a plain error, is a failure.
"""

from __future__ import annotations

import contextlib
import io
import json
import random
import tempfile
import time
from array import array
from collections.abc import Callable, Iterator
from math import gcd
from pathlib import Path
from typing import Any, NamedTuple
from unittest.mock import patch

from shopboard.cli import main as command
from shopboard.journal.remembered import memory_file
from shopboard.open_shop import OpenShop
from shopboard.sittings.check import start
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.tags import record_tag
from tests.builders import Person
from tests.campaigns.frame import Campaign, Try
from tests.journal.helpers import Clock
from tests.shop_head import metric_head

BOUND = 10.0
"""Seconds of the processor that a command may take; it takes some hundredths."""

COMMANDS = (
    ("status", "--json"),
    ("export", "all", "--csv"),
    ("history", "saw.mitre", "--json"),
    ("glueup", "frames", "sawn"),
    ("glueup", "frames", "sanded"),
)

_SHOP = """
[[machine]]
id = "saw"
name = "Saw"

[[machine.point]]
id = "blade"
name = "Blade"
check = "square"
datum = "table"
face = "plate"
lever = "150 mm"
tolerance = "0.1 deg"
undone_by = ["blade changed"]

[[machine.point]]
id = "mitre"
name = "Mitre fence"
check = "square"
datum = "table"
face = "fence"
lever = "100 mm"
tolerance = "0.1 deg"
shows_in = ["mitre", "end tilt"]

[[machine]]
id = "disc"
name = "Disc sander"

[[machine.point]]
id = "fence"
name = "Fence"
check = "square"
datum = "table"
face = "fence"
lever = "100 mm"
tolerance = "0.1 deg"
shows_in = ["mitre", "end tilt"]

[[project]]
id = "frames"
name = "Frames"

[[project.joint]]
id = "sawn"
name = "Frame from the saw"
kind = "frame"
width = "40 mm"
length = "300 mm"
thickness = "12 mm"
made_on = { mitre = "saw.mitre", end_tilt = "saw.mitre", length = "by hand" }

[[project.joint]]
id = "sanded"
name = "Frame, its mitres sanded"
kind = "frame"
width = "40 mm"
length = "300 mm"
thickness = "12 mm"
made_on = { mitre = "disc", end_tilt = "disc", length = "by hand" }
"""


class Answer(NamedTuple):
    """What a command gave."""

    code: int
    out: str
    err: str
    seconds: float


def fill(folder: Path, weeks: int = 1) -> tuple[Path, Path]:
    """Make a metric shop of two machines and a journal of so many weeks; give both paths.

    It is the same to the byte whenever and wherever it is made.
    """
    shop, journal = folder / "shop.toml", folder / "journal.sqlite3"
    shop.write_text(metric_head("The brick kiln") + _SHOP, encoding="utf-8")
    clock, drawn = Clock(), random.Random(weeks).randbytes
    with (
        patch("os.urandom", drawn),  # the names of the entries
        patch("shopboard.open_shop.this_computer", lambda: "bench"),
        contextlib.closing(OpenShop(shop, journal, clock)) as open_shop,
    ):
        for name, error in (
            ("saw.blade", 0.0), ("saw.mitre", 0.01), ("disc.fence", 0.0),
            ("saw.mitre", 0.0), ("disc.fence", 0.01),
        ) * weeks:  # fmt: skip
            clock.pass_by(hours=20)
            sitting, person = (
                start(open_shop.journal, open_shop.shop, open_shop.shop.points[name]),
                Person(error),
            )
            while sitting.step is not None:
                sitting.answer(person.answer(sitting.step, sitting.job))
        newest = open_shop.journal.recent("check", "disc", "fence", 1)[0]
        open_shop.journal.void(newest.uid, "the square was dropped")
        record_happening(open_shop.journal, "saw", "blade changed", shop=open_shop.shop)
        record_tag("disc", "the disc is loose", open_shop.journal)
    return shop, journal


def ask(words: tuple[str, ...], shop: Path, journal: Path) -> Answer:
    """Run a command in this process."""
    out, err = io.StringIO(), io.StringIO()
    began = time.process_time()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = command((*words, "--shop", str(shop), "--journal", str(journal)))
    return Answer(code, out.getvalue(), err.getvalue(), time.process_time() - began)


def wrong(words: tuple[str, ...], good: Answer, found: Answer) -> str:
    """Say what is wrong with an answer from a damaged file; empty when nothing is."""
    if found.seconds > BOUND:
        return f"took {found.seconds:.1f} s"
    if found.code == 70 or "Traceback" in found.err:  # an error of its own
        return f"ended by an error of its own: {found.err[:300]}"
    named = "journal" in found.err
    if found.code not in (0, 1) or found.out == good.out:
        return "" if named or found.code in (0, 1) else f"exit {found.code} without a reason"
    if words[0] == "glueup" and found.code == 0:
        return "a hold became a go"
    if words[0] != "status":
        return "" if named else "another answer, and no word of damage"
    return _worse(json.loads(good.out), json.loads(found.out), named)


def _worse(good: Any, found: Any, named: bool) -> str:
    """Hold two standings against each other: no point may look better than it is."""
    for one, other in zip(good["machines"], found["machines"], strict=True):
        if not named and one["tag"] != other["tag"]:
            return f"the tag of {one['id']} changed, and no word of damage"
        if one["tag"] and not other["tag"]:
            return f"{one['id']} lost its tag"
        for point, now in zip(one["points"], other["points"], strict=True):
            same = (point["state"], point["reason"]) == (now["state"], now["reason"])
            if not same and not named:
                return f"{point['id']} is {now['state']}, was {point['state']}; no word of damage"
            if point["state"] != now["state"] and now["state"] not in ("unproven", "waits", "due"):
                return f"{point['id']} is shown {now['state']}, and was {point['state']}"
    return ""


class Bits:
    """The bits of a file that can matter, each once, in an order drawn by lot."""

    def __init__(self, raw: bytes, draw: random.Random) -> None:
        """Look for them; a large file has too many to list."""
        blank = bytes(9)
        near = (at for at in range(len(raw)) if raw[max(at - 4, 0) : at + 5] != blank)
        self._used = array("Q", near)
        self._first, self._step = draw.randrange(len(self)), draw.randrange(len(self))
        while gcd(self._step, len(self)) != 1:
            self._step += 1

    def __len__(self) -> int:
        """Give how many."""
        return 8 * len(self._used)

    def __getitem__(self, index: int) -> int:
        """Give one: the byte's place times 8, and the bit's."""
        at, bit = divmod((self._first + index * self._step) % len(self), 8)
        return self._used[at] * 8 + bit


Judge = Callable[..., str]
"""Says what is wrong with the commands' answers from damaged bytes, and files beside them."""


@contextlib.contextmanager
def judged(weeks: int = 1) -> Iterator[tuple[bytes, Judge]]:
    """Give the bytes of a journal of so many weeks, 55 entries each, and who judges damaged ones.

    Nothing is remembered from one try to the next.
    """
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shop, journal = fill(folder, weeks)
        broken = folder / "broken.sqlite3"
        good = {words: ask(words, shop, journal) for words in COMMANDS}

        def judge(damaged: bytes, *, to_be_told: bool = False, **beside: bytes) -> str:
            for rest in (*folder.glob("broken*"), memory_file()):
                rest.unlink(missing_ok=True)
            broken.write_bytes(damaged)
            for ending, held in beside.items():
                broken.with_name(f"{broken.name}-{ending}").write_bytes(held)
            found = {words: ask(words, shop, broken) for words in COMMANDS}
            if to_be_told and not all("journal" in one.err for one in found.values()):
                return "no word of damage"
            judged = ((words, wrong(words, good[words], one)) for words, one in found.items())
            return "\n".join(f"{' '.join(words)}: {what}" for words, what in judged if what)

        yield journal.read_bytes(), judge


@contextlib.contextmanager
def flips(seed: int, weeks: int = 1) -> Iterator[Try]:
    """Flip a bit a try, in a journal of so many weeks."""
    with judged(weeks) as (raw, judge):
        order = Bits(raw, random.Random(seed))

        def attempt(index: int) -> str:
            bit = order[index % len(order)]
            flipped = bytearray(raw)
            flipped[bit // 8] ^= 1 << bit % 8
            what = judge(bytes(flipped))
            return f"bit {bit}: {what}" if what else ""

        yield attempt


CAMPAIGN = Campaign(flips, count=15_600, in_ci=25)
