"""What each kind of joint is made of: its sizes, its cuts, and what can be wanted of it."""

from collections.abc import Mapping
from functools import cache

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.quantity import Unit, parse_length
from shopboard.metrology.units import by_unit
from shopboard.metrology.wording import own_words
from shopboard.shop.project import Closed, FitName, JointKind, MisfitLimit, ShowsIn

SIZES = ("width", "length", "other_length", "height", "depth", "thickness")
"""Every size that some joint has."""


class Form(NamedTuple):
    """What a kind of joint needs to be told."""

    sizes: tuple[str, ...]
    """That it must have."""
    cuts: tuple[ShowsIn, ...]
    """Where in it the points of the machines show."""
    fits: tuple[FitName, ...]
    """What can be wanted of it."""
    fewest: int = 0
    """Pieces at the least; 0: it has none to count."""
    pieces: int = 0
    """Pieces when it is not told how many; 0: it must be told."""
    may: tuple[str, ...] = ()
    """Sizes that it may have."""
    turns: bool = False
    """Whether faces can be alternated between its cuts, so that errors cancel."""
    if_shown: tuple[ShowsIn, ...] = ()
    """Cuts that count only where a point of the shop shows in them: else a hand fits what they do
    to what is there (common practice, no source)."""
    with_lengths: tuple[ShowsIn, ...] = ()
    """Cuts that tell nothing more where its lengths are measured by hand."""
    closings: tuple[Closed, ...] = ()
    """How it can be closed, the usual way first (common practice, no source)."""


_BOX = Form(
    sizes=("width", "height", "depth", "thickness"),
    cuts=("end angle", "end tilt", "length"),
    fits=("gap", "square", "length"),
    turns=True,
)

_FITTED: tuple[ShowsIn, ...] = ("hole size", "tenon taper")
"""How tightly a round tenon sits: as a rule it is fitted to a test hole of the same bit."""

_RING: tuple[Closed, ...] = ("all round", "last corner", "half rings")

FORMS: dict[JointKind, Form] = {
    "panel": Form(
        sizes=("width", "length", "thickness"),
        cuts=("edge angle", "edge line"),
        fits=("gap", "cup", "spring"),
        fewest=2,
        turns=True,
        closings=("as planed", "sprung"),
    ),
    "frame": Form(
        sizes=("width", "length", "thickness"),
        cuts=("mitre", "end tilt", "length"),
        fits=("gap", "square", "length"),
        fewest=3,
        pieces=4,
        may=("other_length",),
        turns=True,
        closings=("all round", "last corner"),
    ),
    "carcase": _BOX,
    "drawer": _BOX,
    "tenon": Form(
        sizes=("width", "thickness"),
        cuts=("end angle", "end tilt", "length"),
        fits=("gap", "length"),
    ),
    "stave ring": Form(("thickness",), ("bevel",), ("gap",), fewest=3, closings=_RING),
    "segment ring": Form(
        sizes=("width",),
        cuts=("mitre", "end tilt"),
        fits=("gap",),
        fewest=3,
        may=("thickness",),  # it must be told; files from before it was asked for are read
        turns=True,
        closings=_RING,
    ),
    "veneer": Form(("height",), ("resaw", "thickness"), ("thickness",), may=("width",)),
    "round tenon": Form(
        ("depth", "length"), ("hole angle", *_FITTED), ("aim", "gap"), if_shown=_FITTED
    ),
    "leg": Form(("depth", "length"), ("leg angle", *_FITTED), ("aim", "gap"), if_shown=_FITTED),
    "stretcher": Form(
        ("height", "depth", "length"),
        ("hole angle", "leg angle", "length", *_FITTED),
        ("aim", "length", "gap"),
        if_shown=("length", *_FITTED),
        with_lengths=("leg angle",),
    ),
}

_GLUE = (
    "published: most wood adhesives want the faces [0.002 to 0.006 in|0.05 to 0.15 mm] apart"
    ' (FDMC, "Thick glue lines")'
)
_USUAL = "common practice"

_DEFAULT_FITS: dict[FitName, tuple[str, str, str]] = {
    "gap": ("0.006 in", "0.15 mm", _GLUE),
    "cup": ("1/32 in", "0.8 mm", _USUAL),
    "square": ("1/32 in", "0.8 mm", _USUAL),
    "length": ("1/64 in", "0.4 mm", _USUAL),
    "thickness": ("0.010 in", "0.25 mm", _USUAL),
    "spring": ("1/64 in", "0.4 mm", _USUAL),
    "aim": ("1/4 in", "6.4 mm", _USUAL),
}
"""In an inch shop, in a metric one, and the source: a round number of the workshop in each."""


@cache
def default_fits(unit: Unit) -> Mapping[FitName, MisfitLimit]:
    """Give what is wanted in a shop of that unit where the shop file says nothing."""
    found: dict[FitName, MisfitLimit] = {}
    for name, (inch, metric, source) in _DEFAULT_FITS.items():
        typed = by_unit(unit, inch, metric)
        found[name] = MisfitLimit(parse_length(typed).mm, typed, own_words(source, unit))
    return found


def cuts_of(kind: JointKind, sizes: tuple[str, ...]) -> tuple[ShowsIn, ...]:
    """Give the cuts of a joint; veneer goes through the planer only where it has a width."""
    cuts = FORMS[kind].cuts
    if kind == "veneer" and "width" not in sizes:
        return tuple(cut for cut in cuts if cut != "thickness")
    return cuts
