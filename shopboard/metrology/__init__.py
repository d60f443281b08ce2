"""Pure numbers: quantities, feeler brackets, uncertainty, conformity, adjusters.

Lengths are millimetres and angles radians everywhere in here; the person's own
unit appears only in `quantity` (reading) and `wording` (writing).
Nothing in this room touches files, the clock, the screen or the shop file.
"""
