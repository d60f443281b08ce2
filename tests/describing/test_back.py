"""Gone back and on again: what was chosen after it is offered as it was chosen."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.checks.steps import AnswerError
from shopboard.describing.chosen import Described
from shopboard.describing.description import Description
from shopboard.describing.reading import file_text
from tests.describing.person import DAY, beginning


@pytest.fixture
def one(tmp_path: Path) -> Iterator[Description]:
    with closing(begun(tmp_path)) as found:
        yield found


def begun(folder: Path) -> Description:
    return Description(folder / "shop.toml", beginning(), lambda: DAY)


def go_to(one: Description, key: str, answers: dict[str, list[str]] | None = None) -> None:
    """Answer up to a question: Enter, but where an answer is known."""
    while one.question is not None and one.question.key != key:
        known = (answers or {}).get(one.question.key)
        one.answer(known.pop(0) if known else "")
    assert one.question is not None, f"{key} is never asked"


def back_to(one: Description, key: str) -> None:
    """Go back until a question stands again for the first time."""
    while True:
        one.back()
        assert one.question is not None
        if one.question.key == key and key not in [each.key for each, _ in one.stand.answered]:
            return


def text_of(one: Description) -> str:
    while one.question is not None:
        one.answer("")
    assert isinstance(one.stand.result, Described)
    return file_text(one.stand.result)


CHOSEN = {
    "name": ["Chair works"],
    "machines": ["bandsaw,planer"],
    "drawer": ["more.square"],
    "square-2.size": ["another"],
    "square-2.length": ["7 1/2 in"],
    "square-2.promise": ["another"],
    "bandsaw.fine": ["fine"],
    "bandsaw.points": ["wheels,guides"],
    "bandsaw.looks": ["its-name", "guides"],
    "bandsaw.name": ["Green bandsaw"],
    "bandsaw.guides.fine": ["rough"],
    "bandsaw.cutters": ["narrow", "own"],
    "bandsaw.narrow.where": ["on the shelf"],
    "bandsaw.own-cutter.name": ["1/4 in skip tooth"],
    "bandsaw.tasks": ["tyres"],
    "bandsaw.tasks.tyres.last": ["another"],
    "bandsaw.tasks.tyres.ago": ["12"],
}
"""One of each sort of question answered otherwise than by Enter."""


def chosen() -> dict[str, list[str]]:
    return {key: [*some] for key, some in CHOSEN.items()}


def test_gone_back_to_the_first_question_nothing_after_it_is_lost(
    one: Description, tmp_path: Path
) -> None:
    known = chosen()
    go_to(one, "write", known)
    assert not any(known.values())
    back_to(one, "name")
    assert text_of(one) == _straight(tmp_path)


def test_left_while_it_was_gone_back_it_is_offered_at_the_next_start(tmp_path: Path) -> None:
    with closing(begun(tmp_path)) as one:
        go_to(one, "write", chosen())
        back_to(one, "unit")
    with closing(begun(tmp_path)) as again:
        assert text_of(again) == _straight(tmp_path)


def _straight(folder: Path) -> str:
    """Give the file of the same answers of which none was ever taken back."""
    with closing(begun(folder / "straight")) as other:
        go_to(other, "write", chosen())
        return text_of(other)


def test_what_enter_gave_follows_from_what_is_changed_before_it(one: Description) -> None:
    """Dollars were not chosen: with millimetres it is what is usual where that is the unit."""
    go_to(one, "machines", {"name": ["Chair works"]})
    back_to(one, "unit")
    one.answer("mm")
    go_to(one, "machines")
    one.answer("lathe")
    text = text_of(one)
    assert 'name = "Chair works"' in text
    assert "150 mm" in text


def test_an_answer_that_fits_no_longer_is_not_offered(one: Description) -> None:
    go_to(one, "square.promise", {"machines": ["lathe"], "drawer": ["square"], "unit": ["mm"]})
    one.answer("another")
    one.answer("0.02 mm over 150 mm")
    go_to(one, "write")
    back_to(one, "tools")
    one.answer("feeler")
    assert "[[drawer.square]]" not in text_of(one)


def test_a_change_that_was_broken_off_is_not_made_again(one: Description) -> None:
    """One more square by mistake: gone back from its first question, it is not there."""
    go_to(one, "square-2.size", {"machines": ["lathe"], "drawer": ["more.square"]})
    one.back()
    one.back()
    assert one.question is not None
    assert one.question.key == "tools"
    assert "square-2" not in text_of(one)


def test_a_list_that_was_gone_back_to_is_as_it_shows(one: Description) -> None:
    """Enter at the list before the change leaves the change out, for good."""
    answers = {"machines": ["lathe"], "drawer": ["more.square"]}
    go_to(one, "lathe.fine", answers)
    back_to(one, "drawer")
    one.answer("")
    back_to(one, "tools")
    assert "square-2" not in text_of(one)


def test_before_the_first_question_there_is_none(one: Description) -> None:
    with pytest.raises(AnswerError):
        one.back()
