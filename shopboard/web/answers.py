"""The plain answers of the guard, and the page on which a device pairs."""

from __future__ import annotations

import asyncio
from urllib.parse import parse_qs

from aiohttp import web

from shopboard.web.devices import Devices, NotPairedError
from shopboard.web.door import Refusal
from shopboard.web.plain import POLICY, pairing_page

COOKIE = "shopboard"
_A_YEAR = 365 * 24 * 3600
_FORM = 4_096
"""Bytes of what the page for pairing sends, at the most."""
FORM_WITHIN = 10.0
"""Seconds in which they must have come."""

HEADERS = {
    "Server": "shopboard",
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",  # by no-referrer a form comes from the origin "null" (Fetch)
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cache-Control": "no-store",
}
"""Of every answer that says nothing else."""


PAIRED_NO_MORE = (
    "This device is paired no more: it was withdrawn. "
    "What it had begun waits on every board, under 0."
)
"""Said to one that comes with a secret that is worth nothing."""


async def pair(request: web.Request, devices: Devices, *, secure: bool) -> web.Response:
    """Show the page for pairing, or pair.

    Args:
        request: what is asked.
        devices: the list, with the code.
        secure: whether the browser comes by TLS.

    Raises:
        DevicesError: when the list cannot be read or written.
    """
    if request.method != "POST":
        return web_page(pairing_page(PAIRED_NO_MORE if COOKIE in request.cookies else ""))
    form = await _form(request)
    name, looks_only = form.get("name", ""), form.get("looks") == "1"
    try:
        secret = devices.pair(form.get("code", ""), name, looks_only=looks_only)
    except NotPairedError as error:
        return web_page(pairing_page(str(error), name[:40]), 403)
    response = led("/glance" if looks_only else "/")
    response.set_cookie(
        COOKIE, secret, max_age=_A_YEAR, httponly=True, samesite="Strict", secure=secure
    )
    return response


async def _form(request: web.Request) -> dict[str, str]:
    """Read what a form sends: not much, and soon."""
    read = bytearray()
    try:
        async with asyncio.timeout(FORM_WITHIN):
            async for piece in request.content.iter_any():
                read += piece
                if len(read) > _FORM:
                    raise web.HTTPRequestEntityTooLarge(_FORM, len(read))
    except TimeoutError:
        raise web.HTTPRequestTimeout from None
    try:
        fields = parse_qs(read.decode(), max_num_fields=8)
    except ValueError:
        raise web.HTTPBadRequest from None
    return {name: values[0] for name, values in fields.items()}


def wants_page(request: web.Request) -> bool:
    """Tell whether a person is led on by it: a page that is looked at, not one of its parts."""
    return request.method == "GET" and "text/html" in request.headers.get("Accept", "")


def led(place: str) -> web.Response:
    """Lead on to another page."""
    return web.Response(status=303, headers={"Location": place})


def web_page(text: str, status: int = 200) -> web.Response:
    """Give a page of HTML."""
    return web.Response(text=text, content_type="text/html", charset="utf-8", status=status)


def plain(request: web.Request, refusal: Refusal, *, closes: bool = False) -> web.Response:
    """Refuse in a line of words."""
    response = web.Response(text=f"{refusal.words}\n", status=refusal.status)
    if refusal.status == 429:
        response.headers["Retry-After"] = "5"
    if closes or request.method not in ("GET", "HEAD"):
        response.force_close()  # what else it sends is not read
    return response
