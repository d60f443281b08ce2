"""The certificate by which a browser knows the server, and its key."""

from __future__ import annotations

import ssl
from pathlib import Path
from typing import NoReturn


class CertificateError(ValueError):
    """A certificate or its key that cannot be used; says why in one sentence."""


def tls_by(certificate: Path, key: Path | None) -> ssl.SSLContext:
    """Read a certificate and its key, both PEM, in two files or in one.

    Raises:
        CertificateError: when they cannot be used.
    """
    for file in (certificate, key or certificate):
        try:
            with file.open("rb") as opened:
                opened.read(1)
        except (OSError, ValueError) as error:
            why = getattr(error, "strerror", None) or "that is no path"
            raise CertificateError(f"{file} cannot be read: {why}") from None
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    try:
        context.load_cert_chain(certificate, key, password=_refuse)
    except CertificateError:
        raise CertificateError(
            f"the key in {key or certificate} needs a password: give one without"
        ) from None
    except (ssl.SSLError, OSError, ValueError) as error:
        if getattr(error, "reason", None) == "KEY_VALUES_MISMATCH":
            why = f"the key in {key or certificate} is not that of the certificate in {certificate}"
        else:
            where = f"{certificate} and {key}" if key else f"{certificate}"
            why = f"no certificate with its key is in {where}: both are written as PEM"
        raise CertificateError(why) from None
    return context


def _refuse() -> NoReturn:
    """Never ask at the terminal."""
    raise CertificateError
