"""Board, `status`, `cutters` and the prep day say the same of a cutter."""

from __future__ import annotations

from datetime import UTC, datetime

from hypothesis import given
from hypothesis import strategies as st

from shopboard.board.machine_view import machine_lines
from shopboard.board.pane_view import PaneLook, pane
from shopboard.commands.cutters import cutter_json
from shopboard.commands.status_lines import upkeep_lines
from shopboard.journal import Entry, kinds
from shopboard.journal.kinds import CutterUse
from shopboard.prep.job_list import KnownNow
from shopboard.prep.work import to_do
from shopboard.shop.machine import Sharpness
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import Past
from shopboard.upkeep.cutter_journal import said_of
from shopboard.upkeep.cutter_supply import supply
from shopboard.upkeep.cutter_words import state_words
from shopboard.upkeep.cutters import cutter_standings
from tests.upkeep.cutter_shop import KNIVES, RIP, RIP_2, shop_of

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
STATES: st.SearchStrategy[Sharpness] = st.sampled_from(["sharp", "dirty", "dull", "worn out"])


def words_of(lines: list[tuple[tuple[str, str], ...]]) -> str:
    """The text of drawn lines, one blank between words."""
    return " ".join(" ".join("".join(text for text, _ in line) for line in lines).split())


@given(STATES, st.integers(0, 30), STATES, st.sampled_from([RIP, KNIVES]), st.integers(1, 2))
def test_a_question_is_one_everywhere_and_what_is_known_is_known_everywhere(
    state: Sharpness, hours: int, spare: Sharpness, kind: object, edge: int
) -> None:
    """Past its life and sharp by the record is a question; dull or worn out is none."""
    cutter = (KNIVES if kind is KNIVES else RIP)._replace(name="The one that is on")
    edge = min(edge, cutter.edges)
    other = RIP_2._replace(kind=cutter.kind, spare_for=cutter.id, state=spare)
    shop = shop_of(cutter, other)
    (one, _) = cutter_standings(shop.machines[0], {}, {}, feet=True)
    one = one._replace(state=state, edge=edge, use=CutterUse(minutes=hours * 60))
    body = dict(kinds.CUTTER.write(said_of(one, "used")))
    entry = Entry(1, "u", NOW, "cutter", "saw", cutter.id, "", body, None, True)
    standing = shop_standing(shop, Past(cutters={("saw", cutter.id): entry}), NOW)
    machine = standing.machines[0]
    asked = state in ("sharp", "dirty") and hours >= 20
    still = "still sharp?" if state == "sharp" else f"{state}, still sharp?"
    said = f"{still} past its rated life" if asked else state
    assert said in state_words(machine.cutters[0])
    assert cutter_json(machine.cutters[0])["past_life"] == (hours >= 20)
    blunt = asked or state in ("dull", "worn out")
    due_off = blunt or state == "dirty"
    assert [each.id for each in machine.blunt] == [cutter.id] * blunt
    assert [each.id for each in machine.due_off] == [cutter.id] * due_off
    in_full = f"The one that is on: {said}"
    assert (in_full in "".join(upkeep_lines(machine, NOW))) == due_off
    shown = words_of(pane(machine, ("1", "SAW"), False, NOW, PaneLook(60, 24)))
    assert (f"The one that is on: {said}" in shown) == due_off
    mark, asks = "▬" if blunt else "▒", still if asked else state
    short = f"{mark} cutter {asks}"
    large = words_of(machine_lines(machine, 0, NOW, "inch", (120, 30)))
    assert (short in large) == due_off
    todo = to_do(KnownNow(shop, standing, NOW, lambda _: 6.0))
    planned = [piece for piece in todo.pieces.values() if piece.sort == "cutter"]
    told = [
        *(f"{piece.words} {piece.why}" for piece in planned),
        *(f"{one.name}: {one.why}" for one in todo.stays_open),
    ]
    assert any(f"The one that is on: {said}" in words for words in told) == due_off
    changes = [piece for piece in planned if piece.act != "cleaned"]
    assert all(("if it is dull" in piece.words.lower()) == asked for piece in changes)
    see_to = [each.words for each in supply(machine.cutters, None, NOW)]
    if asked:
        assert any(f"{said}; if it is dull, " in words for words in see_to)
    assert all(asked or "?" not in words for words in see_to if "The one that is on" in words)
