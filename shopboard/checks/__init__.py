"""Guided checks, one file each: the questions as data, the evaluation as a pure function.

The full screen, the plain lines and a file of answers run the same check:
`steps` holds what can be asked, `walk` leads through it, `registry` finds the
method by its trade name. Nothing here touches the screen, the journal or the clock.
"""
