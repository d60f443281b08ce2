"""A password in a server's URL, left out of whatever is said: however the URL is misspelt.

What is typed as a URL may be no place at all, and is named in an error all the same; a part of it
may be cut off, a slash or a colon missing. So this goes by what it looks like, and rather hides
too much.
"""

from __future__ import annotations

import re

_SCHEME = r"(?<![a-z0-9])(?:[a-z][a-z0-9+.:-]*(?::/+|//)|//|postgres\w*[:/\\]+)"
_PORT = r"\d{1,5}(?:[/?,'\"`).;:]|$|\s(?!.*@))"
"""A colon and this behind it is no password."""
_EXAMPLE = r"(?!/*\w+@(?-i:HOST)/)"
"""What the help and some advice write for any server, without a password."""

_HIDDEN = (
    # user and password: up to the last @, past blanks once a password has begun
    (rf"({_SCHEME}){_EXAMPLE}(?:[^\s:/@]*:(?!{_PORT}).*(?:@|%40)|\S*(?:@|%40))", r"\1…@"),
    # the same without what follows them: cut off, or forgotten
    (rf"((?:[a-z][a-z0-9+.-]*://|postgres\w*[:/\\]+)[^\s:/@\[]+:)(?!{_PORT})\S+", r"\1…"),
    # options of a URL, but for the name of a service
    (r"(postgres\w*[:/\\]+[^\s?]*\?)(?!service=[\w%.-]*(?![\w%.&=-]))\S*=\S*", r"\1…"),
    (r"(passw(?:or)?d\s*=\s*)(?:'(?:[^'\\]|\\.)*'|[^\s&]+)", r"\1…"),
)


def unsaid(line: str) -> str:
    """Give a line without what may be a password in it."""
    small = line.lower()
    if not any(sign in small for sign in ("//", ":/", "postgres", "passw")):
        return line
    for pattern, kept in _HIDDEN:
        line = re.sub(pattern, kept, line, flags=re.IGNORECASE)
    return line
