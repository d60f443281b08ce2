"""What each entry of a sitting says was done: the part that is the same in all of their kinds."""

from __future__ import annotations

from typing import Literal, get_args

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds.row import Body, text_in

DidWhat = Literal["begin", "answer", "back", "end"]


class Did(NamedTuple):
    """What was done in a sitting."""

    what: DidWhat
    """It was begun, a step answered, an answer withdrawn, or it was ended."""
    key: str = ""
    """Of the step."""
    text: str = ""
    """The answer; of an end, why."""
    prepares: bool = False
    """It only made ready; a check that has no others counts as nothing."""
    after_pause: bool = False
    """The first after the sitting was left for a while."""


def did_body(did: Did) -> Body:
    """Write what was done."""
    told: dict[str, object] = {"key": did.key, "text": did.text}
    told |= {"prepares": did.prepares, "after_pause": did.after_pause}
    return {"v": 1, "did": did.what, **{name: one for name, one in told.items() if one}}


def did_in(body: Body, before: DidWhat) -> Did:
    """Read what was done.

    Args:
        body: of the entry.
        before: what its kind said by itself before entries told it; an end told why.
    """
    told = body.get("did")
    return Did(
        next((one for one in get_args(DidWhat) if one == told), before),
        text_in(body.get("key")),
        text_in(body.get("text", body.get("why"))),
        body.get("prepares") is True,
        body.get("after_pause") is True,
    )


def answered_in(body: Body) -> Did:
    """Read an entry that was an answer before entries told what was done."""
    return did_in(body, "answer")


def back_in(body: Body) -> Did:
    """Read an entry that took an answer back before entries told what was done."""
    return did_in(body, "back")


def ended_in(body: Body) -> Did:
    """Read an entry that was an end before entries told what was done."""
    return did_in(body, "end")


def counted(body: Body, number: int) -> int:
    """Give how many entries a sitting has at one that holds its number.

    Args:
        body: of the entry.
        number: as it says; before entries told what was done, the first was not counted.
    """
    return number if "did" in body else number + 1


def answers_in(value: object) -> dict[str, str]:
    """Give answers by the key of their step from a body."""
    told = value if isinstance(value, dict) else {}
    return {str(key): text_in(text) for key, text in told.items()}
