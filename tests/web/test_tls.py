"""A certificate and its key, as made by openssl (RFC 7468: PEM)."""

from __future__ import annotations

import shutil
import ssl
import subprocess
from pathlib import Path

import pytest
from aiohttp import ClientSession, TCPConnector

from shopboard.web.door import Door
from shopboard.web.tls import CertificateError, tls_by
from tests.web.served import ANSWERED, serving

pytestmark = pytest.mark.skipif(shutil.which("openssl") is None, reason="needs openssl")


def made(folder: Path, name: str) -> tuple[Path, Path]:
    """Make a certificate of one's own."""
    certificate, key = folder / f"{name}.pem", folder / f"{name}.key"
    words = "openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -days 2"
    words += " -subj /CN=bench -addext subjectAltName=IP:127.0.0.1"
    files = ["-out", str(certificate), "-keyout", str(key)]
    subprocess.run([*words.split(), *files], check=True, capture_output=True)
    return certificate, key


async def test_a_browser_comes_by_tls(tmp_path: Path) -> None:
    certificate, key = made(tmp_path, "one")
    trusting = ssl.create_default_context(cafile=certificate)
    async with (
        serving(tmp_path, Door(tls=True), tls_by(certificate, key)) as served,
        ClientSession(connector=TCPConnector(ssl=trusting)) as session,
    ):
        url = f"https://{served.host}/"
        async with session.get(url) as answer:
            assert await answer.text() == ANSWERED
        async with session.ws_connect(f"{url}socket", origin=url[:-1]) as socket:
            await socket.send_str("light")
            assert (await socket.receive()).data == "light"
        assert await served.raw(b"GET / HTTP/1.1\r\n\r\n") == b"", "who speaks no TLS is hung up on"


def test_one_file_may_hold_both(tmp_path: Path) -> None:
    certificate, key = made(tmp_path, "one")
    both = tmp_path / "both.pem"
    both.write_bytes(certificate.read_bytes() + key.read_bytes())
    tls_by(both, None)


def test_what_cannot_be_used_is_one_sentence(tmp_path: Path) -> None:
    certificate, key = made(tmp_path, "one")
    other, _ = made(tmp_path, "other")
    text, locked = tmp_path / "text.pem", tmp_path / "locked.key"
    text.write_text("no certificate")
    words = f"openssl pkey -in {key} -out {locked} -aes256 -passout pass:four"
    subprocess.run(words.split(), check=True, capture_output=True)
    for files, why in (
        ((tmp_path / "gone.pem", key), "gone.pem cannot be read: No such file"),
        ((certificate, tmp_path / "gone.key"), "gone.key cannot be read: No such file"),
        ((tmp_path, key), "cannot be read: Is a directory"),
        ((text, key), "no certificate with its key"),
        ((certificate, None), "no certificate with its key"),
        ((other, key), "is not that of the certificate"),
        ((certificate, locked), "needs a password"),
        ((Path("a\x00b"), None), "that is no path"),
    ):
        with pytest.raises(CertificateError, match=why) as told:
            tls_by(*files)
        assert "\n" not in str(told.value)
