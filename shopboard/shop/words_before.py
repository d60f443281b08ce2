"""Words of the usual points, tasks and safety questions that were worded otherwise once.

What was left half-way before a change of words goes on after it: the words are the program's, and
nobody changed the shop file. Nothing recorded is older than a day or two where it is looked at, so
a line may go when its change is long past.
"""

_WERE = {
    "Blade off, teeth clear of the bench": "Blade off, teeth up from the bench",
    "Set the iron, take a test shaving": "Set, and try a shaving",
    "Thin coat of oil": "Oil on, thin",
    "Thin coat of wax": "Wax on, thin",
    "Wipe off the excess": "Wipe off what is too much",
    "arbor flange face, blade off, near its rim": (
        "face of the arbor flange, blade off, near its rim"
    ),
    "at the lathe, clear and sound": "at the lathe, clear and whole",
    "band to guide, at the one that is farthest off": (
        "band to guide, at the guide that is farthest off"
    ),
    "belt, turned by hand, then run: it stays centred": (
        "belt, turned by hand, then run: it stays in the middle"
    ),
    "both fence head bolts": "both bolts of the fence head",
    "each knife's gib screws, from the middle out": (
        "the gib screws of each knife, from the middle out"
    ),
    "each opens by hand, nothing in front of it": "each opens by hand, nothing stands before it",
    "fence face, a hand's width above the tables": "fence face, a hand above the tables",
    "in its place, the way to it clear, the gauge reads full": (
        "in its place, the way to it free, the gauge says full"
    ),
    "it cannot be isolated: plug, cord or switch is damaged": (
        "it cannot be cut off: plug, cord or switch is damaged"
    ),
    "it is not in its place": "its place is empty",
    "it is there and it holds": "it is there, and holds",
    "metal was sanded, and there is dust in it": "metal was, and dust is in it",
    "mitre gauge fence, right of the blade": "fence of the mitre gauge, right of the blade",
    "no metal sanded, or all dust cleaned out first": (
        "no metal was, or all dust was cleaned out first"
    ),
    "nowhere to be seen": "not to be found",
    "offcuts, dust or tools are on it": "offcuts, dust or tools lie there",
    "saw table, left of the blade": "table of the saw, left of the blade",
    "shooting board fence": "fence of the shooting board",
    "sled fence": "fence of the sled",
    "sled fence, right of the blade": "fence of the sled, right of the blade",
    "something is in front of one": "something stands before one",
    "something is in the way": "something stands in the way",
    "sound, clean and tight": "whole, clean and tight",
    "sound, tight, and it tracks in the middle": "whole, tight, and it runs in its middle",
    "stop block face": "face of the stop block",
    "stop face": "face of the stop",
    "the bearing thumbscrew": "the thumbscrew of the bearing",
    "the column lock nuts": "the lock nuts of the columns",
    "the crosscut fence clamps": "the clamps of the crosscut fence",
    "the fence bolts": "the bolts of the fence",
    "the fence half bolts": "the bolts of the fence halves",
    "the fence head bolts": "the bolts of the fence head",
    "the fence head bolts, then the lever": "the bolts of the fence head, then the lever",
    "the fence tilt handle": "the tilt handle of the fence",
    "the gauge reads low": "the gauge says low",
    "the guide screw": "the screw of the guide",
    "the mitre gauge knob": "the knob of the mitre gauge",
    "the plate levelling screws": "the levelling screws of the plate",
    "the sled fence bolts, the pivot last": "the bolts of the sled fence, the pivot last",
    "the stop plate screws": "the screws of the stop plate",
    "the table bracket clamp": "the clamp of the table bracket",
    "the table lock nuts": "the lock nuts of the table",
    "the table tilt lock": "the tilt lock of the table",
    "the tailstock clamp": "the clamp of the tailstock",
    "the trunnion bolts": "the bolts of the trunnions",
    "the trunnion bolts, crosswise": "the bolts of the trunnions, crosswise",
    "there are none": "none lies about",
    "this planer was built without them": "this planer was made without",
    "this sander was built without one": "this sander was made without",
    "undamaged, and none where I walk": "whole, and none where I walk",
    "within reach of where I stand, and sound": "within reach of where I stand, and whole",
    "within reach, and they hold": "at hand, and they hold",
    "within reach, clean and sound": "at hand, clean and whole",
}
"""What is said now: what the version of November 2026 said."""


def words_before(words: str) -> str:
    """Give what was said before; the same where nothing else was."""
    return _WERE.get(words, words)
