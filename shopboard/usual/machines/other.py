"""What is usual of any other machine: common practice, no source."""

from __future__ import annotations

from shopboard.usual.parts import UsualMachine, point, task

MACHINE = UsualMachine(
    "",
    "other",
    "Other machine",
    points=(
        point(
            "in-order",
            "In good order",
            "go-no-go",
            common=False,
            face="guards, cord, belts and bolts",
            every="6 months",
            undone_by=["machine moved", "knocked"],
            guards=True,
        ),
    ),
    tasks=(
        task("clean", "Clean it and look it over", "15 min", every="4 weeks", leaves="dirt"),
        task(
            "empty",
            "Empty the drum or bag, dust mask on",
            "10 min",
            common=False,
            every="2 weeks",
            leaves="dirt",
        ),
        task("oil", "Oil and grease it", "10 min", common=False, every="6 months", leaves="wax"),
    ),
)
