"""Bad answers to every method: as plain lines or from a file, refused in words, never recorded.

A try is a check of a point of the sample shop or of a metric one. Asked line by line, each step
first gets answers that can hardly be right: one that is refused leaves the journal as it was and
the same step standing. A file of the answers that the check took is then spoilt in one place: it
is refused with what it is about, and nothing is recorded, or it is a whole check.
"""

from __future__ import annotations

import contextlib
import io
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

from shopboard.base.exit_codes import USAGE
from shopboard.base.text import first_unfit
from shopboard.checks.job import NotPossibleError
from shopboard.checks.steps import AnswerError
from shopboard.cli import main
from shopboard.open_shop import OpenShop
from shopboard.shop.machine import Point
from shopboard.sittings.check import start
from tests import metric_shop
from tests.bounded import bounded
from tests.campaigns.frame import Campaign, Try, chance
from tests.guesses import MOST_STEPS, guess
from tests.journal.helpers import Clock
from tests.whole_shop import WHOLE_SHOP

SECONDS = 30.0
"""Of the processor for one check; it takes tenths."""

BAD = (
    *("", "-", "nan", "inf", "1e999", "9" * 5000, "0x12", "1/0", "-1", "1 2", "12 furlongs", "٣"),
    *(
        "\x1b[2J",
        "\u202etop",
        "top\x00",
        "[red]x[/]",
        "%s",
        "a\nb",
        "0",
        "1",
        "10",
        "½ in",
        "−5 mm",
    ),
    *("no", "yes", "back", "1e-9 mm", "0.001 mm", "3 m", "5 s", "5 deg", "ö丸", "'; DROP TABLE"),
)


@contextmanager
def _begin(seed: int) -> Iterator[Try]:
    with tempfile.TemporaryDirectory() as name:
        folder, desks = Path(name), list[OpenShop]()
        for number, text in enumerate((WHOLE_SHOP.read_text("utf-8"), metric_shop.SHOP)):
            shop = folder / f"{number}.toml"
            shop.write_text(text, encoding="utf-8")
            desks.append(OpenShop(shop, folder / f"{number}.sqlite3", Clock()))

        def attempt(index: int) -> str | None:
            draw = chance(seed, index)
            open_shop = draw.choice(desks)
            point = draw.choice(list(open_shop.shop.points.values()))
            with bounded(SECONDS):
                return _line_by_line(draw, open_shop, point, draw.choice(point.checks), folder)

        try:
            yield attempt
        finally:
            for open_shop in desks:
                open_shop.close()


def _line_by_line(
    draw: Random, open_shop: OpenShop, point: Point, method: str, folder: Path
) -> str | None:
    """Answer badly, then as somebody might; then from a file. Say what is wrong with that."""
    journal = open_shop.journal
    try:
        sitting = start(journal, open_shop.shop, point, method)
    except NotPossibleError:
        return None
    for _ in range(MOST_STEPS):
        step = sitting.step
        if step is None:
            break
        for said in (draw.choice(BAD), guess(draw, step)):
            before = journal.count()
            try:
                sitting.answer(said)
            except AnswerError as error:
                if journal.count() != before or sitting.step is not step:
                    return f"{point.full_name} {method} {step.key}: {said!r} was not left alone"
                if not str(error) or first_unfit(str(error)) is not None:
                    return f"{point.full_name} {method} {step.key}: {said!r}: {str(error)!r}"
            else:
                break
    answers = {step.key: text for step, text in sitting.walk.answered}
    sitting.discard("tried")
    return _from_file(draw, open_shop, point, method, answers, folder)


def _from_file(
    draw: Random,
    open_shop: OpenShop,
    point: Point,
    method: str,
    answers: dict[str, str],
    folder: Path,
) -> str | None:
    """Spoil one answer of a file; say what is wrong with what comes of it."""
    if answers:
        key = draw.choice(list(answers))
        said = draw.choice((*BAD, None))
        if said is None:
            del answers[key]
        else:
            answers[draw.choice((key, key, f"{key}x"))] = said
    file = folder / "answers.toml"
    rows = (f"{key} = {_quoted(text)}\n" for key, text in answers.items())
    file.write_text("".join(rows), encoding="utf-8")
    before, told = open_shop.journal.count(), io.StringIO()
    path, shop = str(file), str(open_shop.shop_file)
    words = ("check", point.full_name, "--method", method, "--answers", path, "--shop", shop)
    with contextlib.redirect_stdout(told), contextlib.redirect_stderr(told):
        code = main((*words, "--journal", str(open_shop.shop_file.with_suffix(".sqlite3"))))
    text, recorded = told.getvalue(), open_shop.journal.count() - before
    about = f"{point.full_name} {method} from {file.read_text('utf-8')!r}: {code}, {text!r}"
    if code not in (0, USAGE) or "Traceback" in text or (code == USAGE) == bool(recorded):
        return f"{about}, {recorded} recorded"
    if any(first_unfit(line) is not None for line in text.split("\n")):
        return f"{about}: a character that a terminal obeys"
    if code == USAGE and path not in text:
        return f"{about}: no place is told"
    return None


def _quoted(text: str) -> str:
    """Write a text as TOML takes it, whatever is in it."""
    return '"' + "".join(f"\\U{ord(char):08X}" for char in text) + '"'


CAMPAIGN = Campaign(_begin, count=10_000, in_ci=5)
