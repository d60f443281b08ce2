"""Shop files that were spoilt: read, or refused with places that are there; never a traceback.

The sample shop, a metric one and a combination machine, each spoilt in one to three places: its
bytes, its lines, its values, its tables. Where one value was replaced by one that cannot be right
(a list in a list of a thousand), the line it stands on must be named.
"""

from __future__ import annotations

import contextlib
import io
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

from shopboard.base.exit_codes import SHOP_FILE
from shopboard.base.text import first_unfit
from shopboard.checks.registry import facts, names
from shopboard.cli import main
from shopboard.journal import open_journal
from shopboard.open_shop import utc_now
from shopboard.shop.problems import Problem, ShopFileError
from shopboard.shop.reader import read_shop
from tests import combination, metric_shop
from tests.bounded import bounded
from tests.campaigns.frame import Campaign, Try, chance
from tests.whole_shop import WHOLE_SHOP

SECONDS = 20.0
"""Of the processor for one file; it takes hundredths."""

_SHOPS = (WHOLE_SHOP.read_text(encoding="utf-8"), metric_shop.SHOP, combination.SHOP)
_VALUES = (
    *("nan", "-inf", "1e999", "-1", "0", '""', "[]", "{}", "true", "1979-05-27", '"x"', "007"),
    *("9" * 400, '"' + "x" * 5000 + '"', '"\\u001b[2J"', '"\x1b[2J"', '"[red]x[/]"', '"½ 丸 ö"'),
    *('"saw\u202ewas"', '"a\\nb"', "[" * 40 + "]" * 40, "{a=" * 40 + "1" + "}" * 40, '"0.1 deg"'),
    *('["a", 1, [2]]', '"1/0 in"', '"1e400 mm"', '"-5 mm"', '"nan mm"', "", '"', "'''"),
)
_NEVER = "[[[]]]"
"""No setting can be this."""
_NOISE = "[]{}=\"'\\\n#,.a1- \t\x00\x1b\u202e\ufeffé丸½"


def _spoil(draw: Random, text: str) -> str:
    """Spoil one place of a text."""
    lines = text.split("\n")
    at, other = draw.randrange(len(lines)), draw.randrange(len(lines))
    name, equals, _ = lines[at].partition(" = ")
    sort = draw.randrange(9)
    if sort == 0:
        del lines[at : at + draw.choice((1, 1, 3, 30))]
    elif sort == 1:
        lines.insert(other, lines[at])
    elif sort == 2:
        lines[at], lines[other] = lines[other], lines[at]
    elif sort == 3 and equals:
        lines[at] = f"{name} = {draw.choice(_VALUES)}"
    elif sort == 4 and equals:
        lines[at] = f"{name}{draw.choice(('x', ' y', '.z', ''))} = {lines[other]}"
    elif sort == 5:
        lines[at] = lines[at].replace("[[", draw.choice(("[", "[[machine.", "[[x.")))
    elif sort == 6:
        lines = lines[:at]
    else:
        where = draw.randrange(len(lines[at]) + 1)
        some = "".join(draw.choices(_NOISE, k=draw.randint(1, 6)))
        lines[at] = lines[at][:where] + some + lines[at][where + draw.randrange(3) :]
    return "\n".join(lines)


def _file(draw: Random, text: str) -> bytes:
    """Write it as one editor or another does, or cut or spoil its bytes."""
    sort = draw.randrange(10)
    if sort == 0:
        return text.replace("\n", "\r\n").encode()
    if sort == 1:
        return text.encode(draw.choice(("utf-8-sig", "latin-1", "utf-16", "cp437")), "replace")
    data = bytearray(text.encode())
    if sort == 2:
        for _ in range(draw.randint(1, 5)):
            data[draw.randrange(len(data))] = draw.randrange(256) if data else 0
    return bytes(data)


@contextmanager
def _begin(seed: int) -> Iterator[Try]:
    with tempfile.TemporaryDirectory() as name:
        shop, journal = Path(name) / "shop.toml", Path(name) / "journal.sqlite3"
        open_journal(journal, utc_now).close()

        def attempt(index: int) -> str | None:
            draw = chance(seed, index)
            text, line = draw.choice(_SHOPS), 0
            if draw.random() < 0.2:
                text, line = _with_never(draw, text)
                shop.write_bytes(text.encode())
            else:
                for _ in range(draw.choice((1, 1, 2, 3))):
                    text = _spoil(draw, text)
                shop.write_bytes(_file(draw, text) if text else b"")
            with bounded(SECONDS):
                wrong = _wrong(shop, journal, line)
            return f"{wrong}\nthe file: {shop.read_bytes()!r}" if wrong else None

        yield attempt


def _with_never(draw: Random, text: str) -> tuple[str, int]:
    """Give one setting a value that it cannot have; give the text and the line."""
    lines = text.split("\n")
    named = [at for at, one in enumerate(lines) if " = " in one and one[0].isalpha()]
    whole = [at for at in named if lines[at].count("[") == lines[at].count("]")]
    at = draw.choice([one for one in whole if '"""' not in lines[one]])
    lines[at] = f"{lines[at].partition(' = ')[0]} = {_NEVER}"
    return "\n".join(lines), at + 1


def _wrong(shop: Path, journal: Path, line: int) -> str:
    """Say what is wrong with what is made of a file; `line`: one that must be named."""
    problems: tuple[Problem, ...] = ()
    try:
        read_shop(shop, names(), facts())
    except ShopFileError as error:
        problems = error.problems
        if not any(one.severity == "error" for one in problems):
            return "refused, and nothing is wrong"
    if line and not any(one.line == line for one in problems):
        return f"line {line} is not named: {[one.line for one in problems]}"
    rows = shop.read_bytes().decode("utf-8", "replace").split("\n")
    for one in problems:
        if not 1 <= one.line <= len(rows) or not 1 <= one.column <= len(rows[one.line - 1]) + 2:
            return f"no such place: {one.line}:{one.column} {one.sentence}"
    places = ("--shop", str(shop), "--journal", str(journal))
    for words in (("proofread", str(shop)), ("status", *places), ("points", *places)):
        code, said = _run(*words)
        if code != (SHOP_FILE if problems else 0):
            return f"{words[0]} ends with {code}: {said}"
        unfit = next((row for row in said.split("\n") if first_unfit(row) is not None), None)
        if unfit is not None or "Traceback" in said:
            return f"{words[0]} says {unfit or said!r}"
    return ""


def _run(*words: str) -> tuple[int, str]:
    told = io.StringIO()
    with contextlib.redirect_stdout(told), contextlib.redirect_stderr(told):
        code = main(words)
    return code, told.getvalue()


CAMPAIGN = Campaign(_begin, count=10_000, in_ci=20)
