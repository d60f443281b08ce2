"""Keys, declared once: the footer, the help screen and the dispatch are made from these.

Everything on the common path lies on the number pad: digits choose, Enter goes
on, minus goes back. With NumLock off the pad sends arrows, which move the cursor.
"""

from shopboard.base.light_tuple import NamedTuple


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


ENTER = ("enter", "ctrl+j")
MINUS = ("minus", "subtract")

OPEN = Key("open", ENTER, "Enter", "open", "Open what the cursor is on.")
GO_ON = Key("go_on", ENTER, "Enter", "go on", "Go on; done.")
UP = Key("up", ("up",), "↑", "up", "Move the cursor up.", footer=False)
DOWN = Key("down", ("down",), "↓", "down", "Move the cursor down.", footer=False)
LEFT = Key("left", ("left",), "←", "left", "Move the cursor left.", footer=False)
RIGHT = Key("right", ("right",), "→", "right", "Move the cursor right.", footer=False)
BACK = Key("back", (*MINUS, "escape"), "-", "back", "Go back one screen; nothing is lost.")
BACK_STEP = Key("back", MINUS, "-", "back", "Go back one step; twice where a number is typed.")
LEAVE = Key(
    "leave", ("escape",), "Esc", "leave", "Leave; the check waits here, even if the power goes."
)
BACK_ANSWER = Key("back", MINUS, "-", "back", "Go back to the answer before, to change it.")
LEAVE_DESCRIBING = Key(
    "leave", ("escape",), "Esc", "leave", "Leave; the answers wait here, even if the power goes."
)
WHY = Key("why", ("w", "asterisk", "multiply"), "w *", "why", "Show the formula and the budget.")
RESUME = Key("resume", ("0",), "0", "go on", "Go on with what is under way.", footer=False)
HELP = Key("help", ("question_mark", "f1"), "?", "keys", "Show every key of this screen.")
QUIT = Key("quit", ("q",), "q", "quit", "Leave the board.")
HAPPENED = Key(
    "happened", ("h", "plus", "add"), "h +", "happened", "Say what happened to this machine."
)
CUTTERS = Key(
    "cutters", ("c", "slash", "divide"), "c /", "cutters", "Show blades, knives and bits."
)
CHANGE_ON = Key(
    "resume", ("0",), "0", "go on", "Go on with the change of cutter under way.", footer=False
)
LEAVE_CHANGE = Key(
    "leave", ("escape",), "Esc", "leave", "Leave; the change waits here, even if the power goes."
)
GIVE_UP = Key(
    "give_up",
    ("g", "full_stop", "decimal"),
    "g .",
    "give up",
    "Give the change up, as if not begun.",
)
RECORD = Key("record", ENTER, "Enter", "record", "Record what is typed, or the act chosen.")
UNDO_ACT = Key("take_back", ("v",), "v", "take back", "Take back the newest record of this cutter.")
VOID = Key("void", ("v",), "v", "void", "Take back the result under the cursor, with a reason.")
NOTE_RESULT = Key(
    "note",
    ("n", "full_stop", "decimal"),
    "n .",
    "note",
    "Note something about the result under the cursor.",
    footer=False,
)
PROBLEMS = Key(
    "problems", ("p",), "p", "problems", "Show what is wrong in the shop file.", footer=False
)
CLOSE = Key("back", (*MINUS, "escape", *ENTER), "Enter -", "back", "Go back; nothing is lost.")
TAKE_BACK = Key(
    "take_back", ("v",), "v", "take back", "Take back the newest that is on record; twice."
)
TAKE_ONE_BACK = TAKE_BACK._replace(
    help="Take back the newest that is on record, or with ↓ or 0 an older one; twice."
)
SAID_LATER = Key(
    "said_later",
    ("y", "asterisk", "multiply"),
    "y *",
    "other day",
    "Say that it was on another day: asks for the day, then records the line under the cursor.",
)
ROUND = Key("round", ("s", "asterisk", "multiply"), "s *", "round", "Walk the safety round.")
LEAVE_ROUND = Key(
    "leave", ("escape",), "Esc", "leave", "Leave; the round waits here, even if the power goes."
)
TAG = Key(
    "tag", ("d", "full_stop", "decimal"), "d .", "tag", "Tag it DO NOT USE, or clear its tag."
)
CHOOSE = Key("choose", ENTER, "Enter", "choose", "Choose the line; the second time, record it.")
MORE = Key("more", ("0",), "0", "more", "Give the digits to the next nine lines.")
TASKS = Key("tasks", ("t", "slash", "divide"), "t /", "tasks", "Show tasks and what is due.")
LEAVE_TASK = Key(
    "leave", ("escape",), "Esc", "leave", "Leave; the task waits here, and its clock runs on."
)
UNDONE = Key("undone", ("x",), "x", "give up", "Leave the task undone for good; twice.")
LOOK_BACK = Key(
    "look_back",
    ("y",),
    "y",
    "look back",
    "See how all stood on a past day, and what changed.",
    footer=False,
)
PREP = Key(
    "prep", ("n", *MINUS), "n -", "prep", "Show the prep day: what to do now, and what is next."
)
DO_NOW = Key("do_now", ENTER, "Enter", "do it", "Open what is to be done now; begin the day.")
ANOTHER_PROJECT = Key(
    "another_project",
    ("plus", "add"),
    "+",
    "project",
    "Plan for another project, before the day is begun.",
    footer=False,
)
TWO_OPEN = Key(
    "two_open",
    ("asterisk", "multiply"),
    "*",
    "open",
    "Let two machines stand open at once with their cutters out, or not.",
    footer=False,
)
END_DAY = Key("end_day", ("x",), "x", "end", "End the prep day, with what is left; twice.")
LOOK = Key("look", ENTER, "Enter", "look", "Look at that day; once more: type another day.")
RETIRED = Key(
    "retired",
    ("g",),
    "g",
    "gone",
    "Show what is gone from the shop file, with its records.",
    footer=False,
)
GLUE_UP = Key(
    "glue_up",
    ("u", "full_stop", "decimal"),
    "u .",
    "glue-up",
    "Ask before a glue-up: go, or hold and why; and what a project needs.",
)
NEEDS = Key(
    "needs",
    ("n", "asterisk", "multiply"),
    "n *",
    "needs",
    "Show what the project needs of each joint and point, and what costs it most.",
)
PAGE = Key(
    "page", ENTER, "Enter", "further", "Show what is further down; from the end, the top again."
)
FIRST_REASON = Key("open", ENTER, "Enter", "open", "Open the check that the first reason asks for.")
ANYWAY = Key(
    "anyway",
    ("g", "plus", "add"),
    "g +",
    "all the same",
    "Glue up on hold all the same, with a reason: it stays on record as your decision.",
)
RELOAD = Key("reload", ("r",), "r", "read again", "Read the shop file again.", footer=False)

EDIT = Key(
    "edit",
    ("e",),
    "e",
    "edit",
    "Change what the shop file says of it, without an editor.",
    footer=False,
)
EDIT_BY_PAD = EDIT._replace(names=("e", "slash", "divide"), label="e /")
SPARES = EDIT._replace(
    action="spares", word="spare", help="Say which sharp cutter does the work of a dull one."
)
OWNER = Key(
    "owner", ("full_stop", "decimal"), ".", "up", "Go up to what it belongs to: machine, shop."
)
LEAVE_OUT = Key(
    "leave_out", ("slash", "divide"), "/", "leave out", "Leave the setting under the cursor out."
)
SAVE = Key("save", ENTER, "Enter", "save", "Save the change.")

GRAPH = Key("graph", ("g",), "g", "graph", "Show this point through the years.")
NUMBERS = Key(
    "numbers", ("n", *ENTER), "n Enter", "numbers", "Change between the picture and its numbers."
)
NEXT_SPAN = Key(
    "next_span", ("right", "plus", "add"), "+ →", "time", "Show all of the time, a year, a quarter."
)
LAST_SPAN = Key("last_span", ("left",), "←", "time", "The same the other way round.", footer=False)


def footer_words(keys: tuple[Key, ...]) -> list[tuple[str, str]]:
    """Give (key, word) of the keys that the footer shows, eight at the most."""
    return [(key.label, key.word) for key in keys if key.footer][:8]
