"""What the fields of the prep day's JSON mean."""

from __future__ import annotations

from collections.abc import Mapping

OF_PREP: Mapping[str, str] = {
    "project": "its id; null: all that is due",
    "begun": "when the day was begun, or null",
    "allow_two_open": "whether two machines may be apart at once",
    "first_said": "when it was first said to be done",
    "done_by": "when it is done",
    "later_minutes": (
        "than first said, time away and closed hours not counted; below 0 sooner; null also where "
        "other jobs fit by now, or another time was said"
    ),
    "holds[]": "which joints of the project stay on HOLD after all that is planned, in words",
    "away_minutes": "that you were away on this day, as you said",
    "work_minutes": "of work",
    "more_than_a_day": "whether it is more than one day's work",
    "shortest_minutes": (
        "no order of the work takes less; null: not proven, or not all of it fits, or it is spread "
        "over days"
    ),
    "opens": "when somebody is there again; null: somebody is there now",
    "not_in_time[].sort": "of a piece that does not fit into the time one has",
    "not_in_time[].machine": "where",
    "not_in_time[].target": "task, cutter or point",
    "not_in_time[].words": "what would be done",
    "not_in_time[].minutes": "of work",
    "not_in_time[].risk": "what leaving it out puts at risk, in words",
    "waits[].machine": "where something soaks or dries now",
    "waits[].task": "its id",
    "waits[].words": "what it is",
    "waits[].seconds": "left",
    "plan[].begins": "when one goes at it, be it to change the machine over or to wait before that",
    "plan[].start": "of the piece of work itself, behind that",
    "plan[].end": "of it",
    "plan[].sort": "task, cutter (a change of it) or check",
    "plan[].machine": "where",
    "plan[].target": "task, cutter or point",
    "plan[].name": "of that",
    "plan[].words": "what to do",
    "plan[].why": "it is to be done",
    "plan[].steps[]": "first and last step of a task with steps; null else",
    "plan[].minutes": "of work",
    "plan[].wait_minutes": "of waiting after that",
    "plan[].change_minutes": "to change over a combination machine before",
    "plan[].idle_minutes": "with nothing to do before",
    "plan[].past_minutes": "by which it ends after closing, or after the time one said to have",
    "plan[].left_minutes": "by which the wait before it is left longer than it says; 0: few",
    "stays_open[].sort": "of what no work of the day settles: point, machine, cutter or joint",
    "stays_open[].machine": "its id; null: of a joint",
    "stays_open[].target": "point or joint with its place, cutter or machine by its id",
    "stays_open[].what": "its name",
    "stays_open[].why": "how it stands, in words",
    "stays_open[].remedy": "what would settle it, in words, or null",
    "left_out[]": "what is not in the plan and why, in words",
}
"""By the field."""
