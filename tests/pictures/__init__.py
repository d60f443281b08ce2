"""Pictures of every screen, to be looked at: ``python -m tests.pictures FOLDER``.

`ways` leads to each screen, `shops` makes the shops that they are taken in, `camera` takes them,
`drawn` makes an SVG of what a terminal is sent.
"""
