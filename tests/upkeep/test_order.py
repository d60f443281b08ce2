"""In which order points are checked again, held against `graphlib` of the standard library."""

from __future__ import annotations

from graphlib import TopologicalSorter

from hypothesis import given
from hypothesis import strategies as st

from shopboard.upkeep.order import chain_order


@st.composite
def chains(draw: st.DrawFn) -> tuple[dict[str, list[str]], dict[str, int]]:
    """Points that rest on others, in any order of naming, some on what is not among them."""
    names = [f"p{n}" for n in range(draw(st.integers(0, 12)))]
    bases = {
        name: [*draw(st.lists(st.sampled_from(names[:at]), max_size=4)), *(["gone"] * (at % 2))]
        if at
        else []
        for at, name in enumerate(names)
    }
    order = draw(st.permutations(names))
    ranks = {name: draw(st.integers(0, 4)) for name in names}
    return {name: bases[name] for name in order}, ranks


@given(chains())
def test_nothing_comes_before_what_it_rests_on(
    made: tuple[dict[str, list[str]], dict[str, int]],
) -> None:
    """Every point once; `graphlib` takes each as ready when its turn comes."""
    bases, ranks = made
    order = chain_order(bases, ranks)
    assert sorted(order) == sorted(bases)
    sorter = TopologicalSorter(
        {name: [base for base in below if base in bases] for name, below in bases.items()}
    )
    sorter.prepare()
    ready: set[str] = set()
    for name in order:
        ready |= set(sorter.get_ready())
        assert name in ready
        sorter.done(name)


@given(chains())
def test_the_first_is_one_on_which_the_longest_chain_rests(
    made: tuple[dict[str, list[str]], dict[str, int]],
) -> None:
    """Of the points that rest on none, as far as any chain of the others reaches."""
    bases, ranks = made
    order = chain_order(bases, ranks)

    def height(name: str) -> int:
        return max((height(one) + 1 for one, below in bases.items() if name in below), default=0)

    roots = [name for name, below in bases.items() if not set(below) & set(bases)]
    if roots:
        assert height(order[0]) == max(map(height, roots))


def test_without_chains_the_most_pressing_comes_first_then_the_one_named_first() -> None:
    """Like the board itself."""
    bases: dict[str, list[str]] = {"a": [], "b": [], "c": [], "d": []}
    assert chain_order(bases, {"a": 3, "b": 0, "c": 3, "d": 0}) == ("b", "d", "a", "c")


def test_a_circle_stops_nothing() -> None:
    """A shop file with one is refused; here it is left out."""
    bases = {"a": ["b"], "b": ["a"], "c": []}
    assert chain_order(bases, dict.fromkeys(bases, 0)) == ("c",)


def test_a_chain_of_thousands_is_ordered_at_once() -> None:
    """A chain may be longer than Python's stack is deep."""
    bases = {f"p{n}": [f"p{n - 1}"] if n else [] for n in reversed(range(20_000))}
    order = chain_order(bases, dict.fromkeys(bases, 0))
    assert order == tuple(f"p{n}" for n in range(20_000))
