"""Plain pages, without a script: how they look, and what a browser may do with them. Pure."""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256
from html import escape as _escape

from shopboard.base.text import harmless

_STYLE = """
:root { color-scheme: light dark; font: 1.25rem/1.4 system-ui, sans-serif; }
body { margin: 0 auto; padding: 1rem; max-width: 60rem; }
h1 { font-size: 1.6rem; margin: 0 0 .5rem; }
h2 { font-size: 1.3rem; margin: 1.2rem 0 .3rem; }
ul { margin: 0; padding: 0; list-style: none; }
li { padding: .3rem 0; border-top: 1px solid; break-inside: avoid; }
p { margin: .3rem 0; }
small { font-size: 1rem; }
input, button { font: inherit; padding: .5rem; min-height: 3rem; box-sizing: border-box; }
input:not([type=checkbox]), button { width: 100%; }
input[type=checkbox] { width: 2rem; vertical-align: middle; }
label { display: block; margin: .8rem 0; }
.tag { border: .3rem double; padding: .5rem; margin: .5rem 0; font-weight: bold; }
.demo { border: 1px dashed; padding: .2rem .5rem; }
table { border-collapse: collapse; width: 100%; }
td, th { border-top: 1px solid; padding: .3rem .5rem .3rem 0; text-align: left; }
td, th { vertical-align: top; }
@media print {
  :root { font-size: 9pt; }
  body { padding: 0; max-width: none; }
  h1 { font-size: 13pt; } h2 { font-size: 11pt; } small { font-size: 8pt; }
  td, th, li { padding: .1rem .5rem .1rem 0; }
}
"""

POLICY = (
    "default-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none';"
    f" style-src 'sha256-{b64encode(sha256(_STYLE.encode()).digest()).decode()}'"
)
"""What a plain page may load: its own style, and nothing from anywhere (Content Security Policy
Level 3, W3C)."""


def escaped(text: str) -> str:
    """Give words as they stand in a page, whatever is in them."""
    return _escape(harmless(text))


def page(title: str, body: str, *, again: int = 0) -> str:
    """Give a whole page.

    Args:
        title: in words.
        body: of HTML, what is in it escaped.
        again: seconds after which the browser asks anew; 0: never.
    """
    refresh = f'<meta http-equiv="refresh" content="{again}">' if again else ""
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"{refresh}<title>{escaped(title)}</title><style>{_STYLE}</style></head>"
        f"<body>{body}</body></html>\n"
    )


def pairing_page(refused: str = "", name: str = "") -> str:
    """Give the page on which a device pairs.

    Args:
        refused: why it was not let in just now; empty: it did not try.
        name: what was typed as its name.
    """
    why = f'<p class="tag" role="alert">{escaped(refused)}</p>' if refused else ""
    return page(
        "Pair this device",
        f"""<h1>Pair this device</h1>{why}
<p>On the computer that serves this page, <b>b</b> on its board, then <b>Enter</b>, shows
a code of 8 digits. A code from another bench is none here.</p>
<form method="post" action="/pair" autocomplete="off">
<label>Code <input name="code" inputmode="numeric" required autofocus maxlength="12"></label>
<label>Name of this device, such as phone at the bandsaw; at most 40 letters
<input name="name" required maxlength="40" value="{escaped(name)}"></label>
<label><input type="checkbox" name="looks" value="1"> only shows how all stands</label>
<button>Pair</button></form>""",
    )
