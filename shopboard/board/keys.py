"""Keys, declared once: the footer, the help, the list on `*` and the dispatch are made from these.

The number pad alone does everything but letters. What each of its keys means stands in `PAD`, and
is the same on every screen: a key of a screen says which of these it is, never which key of the
pad. With NumLock off the pad sends arrows, which move the cursor, and Insert and Delete.
"""

from typing import Literal

from shopboard.base.light_tuple import NamedTuple

Role = Literal["", "on", "back", "more", "strike", "also", "tag", "resume"]
"""What a key of the pad is for; empty: a letter, which the list on `*` has, too."""


class PadKey(NamedTuple):
    """One key of the number pad, and what it means wherever it is pressed."""

    label: str
    names: tuple[str, ...]
    """What terminals call it: on the pad, on the keyboard, with NumLock off."""
    means: str


PAD: dict[Role, PadKey] = {
    "on": PadKey(
        "Enter",
        ("enter", "ctrl+j"),
        "Goes on: takes what is typed, opens what the cursor is on.",
    ),
    "back": PadKey(
        "-",
        ("minus", "subtract"),
        "Back one step, or one screen. Where a number stands: one step less.",
    ),
    "more": PadKey(
        "+",
        ("plus", "add"),
        "More: the next lines, the next page. Where a number stands: one step more.",
    ),
    "strike": PadKey(
        "/",
        ("slash", "divide"),
        "Strikes out: withdraws or gives up, asked twice. In a field the stroke of a fraction;"
        " // strikes out what is typed.",
    ),
    "also": PadKey(
        "*",
        ("asterisk", "multiply"),
        "Lists what else can be done here: every letter key, help, leaving.",
    ),
    "tag": PadKey(
        ".",
        ("full_stop", "decimal", "delete"),
        "DO NOT USE: tags the machine that is shown or under the cursor. In a field the decimal"
        " point.",
    ),
    "resume": PadKey("0", ("0", "insert"), "Goes on with what is in progress."),
}
"""The rule of the number pad."""

DIGITS = ("1 - 9", "Answer, or choose the line with that number.")
ARROWS = "With NumLock off they move to a line or an answer, and Enter takes it."

ENTER, MINUS = PAD["on"].names, PAD["back"].names

_SHOWN = {"question_mark": "?", "escape": "Esc", "up": "↑", "down": "↓", "left": "←", "right": "→"}
"""How keys are shown that are no letters."""


class Key(NamedTuple):
    """One thing that keys do on a screen."""

    action: str
    """The screen's method is ``do_`` and this."""
    names: tuple[str, ...]
    """Names of the keys that do it; the pad's own names are among them."""
    label: str
    """What the footer and the help call the key."""
    word: str
    """One or two words for the footer."""
    help: str
    """One sentence for the help screen."""
    footer: bool = True
    role: Role = ""
    """Which key of the pad it is."""


def _key(
    action: str,
    role: Role,
    names: tuple[str, ...],
    word: str,
    told: str,
    *,
    footer: bool = True,
    label: str = "",
) -> Key:
    """Make a key of its letters, and of the key of the pad that its role has."""
    pad = (PAD[role].label,) if role else ()
    letters = () if role in ("back", "on") else tuple(_SHOWN.get(one, one) for one in names[:1])
    every = (*names, *(PAD[role].names if role else ()))
    return Key(action, every, label or " ".join((*letters, *pad)), word, told, footer, role)


OPEN = _key("open", "on", (), "open", "Open what the cursor is on.")
CHECK_NOW = _key("open", "on", (), "check", "Check it now, or go on with the check that waits.")
GO_ON = _key("go_on", "on", (), "go on", "Go on; done.")
UP = _key("up", "", ("up",), "up", "Move the cursor up.", footer=False)
DOWN = _key("down", "", ("down",), "down", "Move the cursor down.", footer=False)
LEFT = _key("left", "", ("left",), "left", "Move the cursor left.", footer=False)
RIGHT = _key("right", "", ("right",), "right", "Move the cursor right.", footer=False)
BACK = _key("back", "back", ("escape",), "back", "Go back one screen; nothing is lost.")
NO_BACK = BACK._replace(
    names=MINUS, footer=False, help="Nothing is behind the board: press it to read how to leave."
)
BACK_STEP = _key("back", "back", (), "back", "Go back one step; at the first, leave.")
LEAVE = _key(
    "leave", "", ("escape",), "leave", "Leave; the check waits here, even if the power goes."
)
BACK_ANSWER = _key("back", "back", (), "back", "Change the answer before; at the first, leave.")
LEAVE_DESCRIBING = _key(
    "leave", "", ("escape",), "leave", "Leave; the answers wait here, even if the power goes."
)
WHY = _key("why", "", ("w",), "why", "Show how the result was worked out.")
RESUME = _key("resume", "resume", (), "go on", "Go on with what is in progress.", footer=False)
ALSO = _key("also", "also", (), "else", "List what else can be done here.")
HELP = _key("help", "", ("question_mark", "f1"), "keys", "Show every key of this screen.")
QUIT = _key("quit", "", ("q",), "quit", "Leave the board.")
HAPPENED = _key("happened", "", ("h",), "happened", "Say what happened to this machine.")
CUTTERS = _key("cutters", "", ("c",), "cutters", "Show blades, knives and bits.")
CHANGE_ON = _key(
    "resume",
    "resume",
    (),
    "go on",
    "Go on with the change of cutter in progress.",
    footer=False,
)
LEAVE_CHANGE = _key(
    "leave", "", ("escape",), "leave", "Leave; the change waits here, even if the power goes."
)
GIVE_UP = _key(
    "give_up", "strike", ("x",), "give up", "Give the change up, as if not begun; twice."
)
RECORD = _key("record", "on", (), "record", "Record what is typed, or the act chosen.")
UNDO_ACT = _key(
    "take_back", "strike", ("v",), "withdraw", "Withdraw the newest record of this cutter; twice."
)
VOID = _key(
    "void", "strike", ("v",), "withdraw", "Withdraw the result under the cursor, with a reason."
)
NOTE_RESULT = _key(
    "note", "", ("n",), "note", "Note something about the result under the cursor.", footer=False
)
PROBLEMS = _key(
    "problems", "", ("p",), "problems", "Show what is wrong in the shop file.", footer=False
)
CLOSE = _key(
    "back",
    "back",
    ("escape", *ENTER),
    "back",
    "Go back; nothing is lost.",
    label="Enter -",
)
TAKE_BACK = _key("take_back", "strike", ("v",), "withdraw", "Withdraw the newest record; twice.")
TAKE_ONE_BACK = TAKE_BACK._replace(
    help="Withdraw the newest record, or with ↓ or + an older one; twice."
)
SAID_LATER = _key(
    "said_later",
    "",
    ("y",),
    "other day",
    "Record the line under the cursor for another day: asks which.",
)
ROUND = _key("round", "", ("s",), "walk", "Do the daily safety walk.")
LEAVE_ROUND = _key(
    "leave", "", ("escape",), "leave", "Leave; the walk waits here, even if the power goes."
)
TAG = _key(
    "tag", "tag", ("d",), "tag", "Tag the machine DO NOT USE, or clear its tag.", footer=False
)
CHOOSE = _key("choose", "on", (), "choose", "Choose the line; the second time, record it.")
MORE = _key("more", "more", (), "more", "Number the next nine lines.")
TASKS = _key("tasks", "", ("t",), "tasks", "Show tasks and what is due.")
LEAVE_TASK = _key(
    "leave", "", ("escape",), "leave", "Leave; the task waits here, its timer keeps running."
)
UNDONE = _key("undone", "strike", ("x",), "give up", "Abandon the task; twice.")
GIVE_UP_CHECK = _key(
    "give_up", "strike", ("x",), "give up", "Give the check up; its results stay; twice."
)
LOOK_BACK = _key(
    "look_back",
    "",
    ("y",),
    "look back",
    "Show a past day, and what changed since.",
    footer=False,
)
PREP = _key("prep", "", ("n",), "prep", "Show the prep day: what to do now, and what is next.")
DO_NOW = _key("do_now", "on", (), "do it", "Open what is to be done now; begin the day.")
ANOTHER_PROJECT = _key(
    "another_project",
    "",
    ("p",),
    "project",
    "Plan for another project, before the day is begun.",
    footer=False,
)
TWO_OPEN = _key(
    "two_open",
    "",
    ("o",),
    "open",
    "Allow two machines apart at once, or not.",
    footer=False,
)
TIME_HAD = _key(
    "time_had", "", ("t",), "time", "Say what time you have: what is worth most is planned into it."
)
COST = _key(
    "cost", "", ("c",), "cost", "Show what the day and the year cost and brought.", footer=False
)
END_DAY = _key("end_day", "strike", ("x",), "end", "End the prep day, with what is left; twice.")
DAY_SAID = _key(
    "day_said",
    "",
    ("v",),
    "withdraw",
    "Withdraw what was said of a prep day by mistake.",
    footer=False,
)
LOOK = _key("look", "on", (), "look", "Look at that day; once more: type another day.")
RETIRED = _key(
    "retired", "", ("g",), "gone", "Show what is no longer in the shop file, with its records."
)._replace(footer=False)
GLUE_UP = _key(
    "glue_up",
    "",
    ("u",),
    "glue-up",
    "Before a glue-up: go, or hold and why; what a project needs.",
)
NEEDS = _key(
    "needs",
    "",
    ("n",),
    "needs",
    "Show what the project needs of each joint and point.",
)
PAGE = _key(
    "page",
    "more",
    ENTER,
    "further",
    "Show what is further down; from the end, the top again.",
    label="Enter +",
)
PAGE_ON = PAGE._replace(names=ENTER, label="Enter", role="on")
PAGE_MORE = _key("page", "more", (), "further", PAGE.help)
FIRST_REASON = _key("open", "on", (), "open", "Open the check that the first reason asks for.")
ANYWAY = _key(
    "anyway",
    "",
    ("g",),
    "all the same",
    "Glue up on HOLD all the same, with a reason; it is recorded.",
)
DEVICES = _key(
    "devices",
    "",
    ("b",),
    "browser",
    "Show which phones and tablets may open the board; pair one.",
    footer=False,
)
NEW_CODE = _key("new_code", "on", ("n",), "pair", "Show a code by which a new one pairs.")
WHO = _key(
    "who",
    "",
    ("w",),
    "who",
    "Give this bench a name: all that is recorded here says it.",
    footer=False,
)
RELOAD = _key("reload", "", ("r",), "read again", "Read the shop file again.", footer=False)

EDIT = _key(
    "edit",
    "",
    ("e",),
    "edit",
    "Change what the shop file says of it, without an editor.",
    footer=False,
)
SPARES = EDIT._replace(
    action="spares", word="spare", help="Say which sharp cutter does the work of a dull one."
)
OWNER = _key("owner", "", ("u",), "up", "Go up to what it belongs to: machine, shop.")
LEAVE_OUT = _key(
    "leave_out", "strike", ("x",), "leave out", "Leave the setting under the cursor out."
)
SAVE = _key("save", "on", (), "save", "Save the change.")

GRAPH = _key("graph", "", ("g",), "graph", "Show this point through the years.")
NUMBERS = _key(
    "numbers",
    "on",
    ("n",),
    "numbers",
    "Change between the picture and its numbers.",
    label="n Enter",
)
NEXT_SPAN = _key(
    "next_span", "more", ("right",), "time", "Show all the years, one year, three months."
)
LAST_SPAN = _key(
    "last_span", "", ("left",), "time", "The same, the other way around.", footer=False
)
STRIKE_OUT = _key("strike_out", "", (), "strike out", "Strike out what is typed.", label="//")

CURSOR = ("up", "down", "left", "right", "last_span")
"""Actions that only move: the list on `*` has none of them."""


def footer_words(keys: tuple[Key, ...]) -> list[tuple[str, str]]:
    """Give (key, word) of the keys that the footer shows, nine at the most."""
    return [(key.label, key.word) for key in keys if key.footer][:9]
