"""What the help tells, topic by topic: one text file each, read by the board and the command line.

A text holds paragraphs, items (``- ``, ``1. ``), lines to be shown as they are (indented), and in
braces, on a line of its own, a table that is made from what the program itself declares.
"""
