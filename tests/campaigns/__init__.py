"""Long runs against what can break the program: by hand, each with a seed and a count.

    python -m tests.campaigns                                   # the names
    python -m tests.campaigns kills --seed 1 --count 500

One module here is one campaign, found by its file name: it holds a `CAMPAIGN`
(`frame.py`) and its docstring's first line says what it does. CI runs the first
few tries of each (`test_slices.py`).
"""
