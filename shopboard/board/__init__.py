"""The full-screen board: draws standings and asks the questions of a check, nothing else.

Every picture is made by a pure function (the `*_view` modules) from plain data
as lines of styled text; one widget, `canvas`, puts lines on the screen.
"""
