"""The certificates of a workshop as they are kept from one start to the next, and renewed.

Each lies with its key in one file that only its owner reads.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import mkstemp
from typing import TYPE_CHECKING, Final

from starlette.datastructures import URL

from sockwright.errors import SockwrightError
from sockwright.web.access.certificates import (
    CertificateWithKey,
    alternatives,
    fingerprint,
    make_authority,
    make_server,
    may_vouch,
)
from sockwright.web.access.network import is_loopback

if TYPE_CHECKING:
    from cryptography import x509


RENEWED_BEFORE: Final = timedelta(days=30)
"""So long before its end a certificate is made anew."""


class CannotCertify(SockwrightError):
    """The certificates cannot be kept where they should be."""


@dataclass(frozen=True)
class Secured:
    """What a server needs: `file` holds its key and its chain (PEM). `authority` is the certificate
    to be trusted (PEM), `fingerprint` its SHA-256, `ends` when it ends, `new` whether it was made
    just now."""

    file: Path
    authority: bytes
    fingerprint: str
    ends: datetime
    new: bool


def secure(
    folder: Path, hosts: Sequence[str], now: datetime, passing: Sequence[str] = ()
) -> Secured:
    """The certificates for names and addresses `hosts`, kept in `folder`, made anew where needed.

    `passing` are addresses that a computer has today and may not have tomorrow: a certificate is
    good for them where its authority may vouch for them, but no new authority is made for them,
    which every device would have to be told of. `now` has a time zone. CannotCertify if the folder
    cannot be written.
    """
    authority_file, server_file = folder / "authority.pem", folder / "server.pem"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        authority, server = _read(authority_file), _read(server_file)
        new = authority is None or not _vouches(authority, hosts, now)
        if authority is None or new:
            authority = make_authority((*hosts, *passing), now)
            _write(authority_file, authority)
        every = (*hosts, *(one for one in passing if may_vouch(authority.certificate, [one])))
        if server is None or not _serves(server, authority, every, now):
            server = make_server(authority, every, now)
            _write(server_file, server, authority.certificate)
    except OSError as error:
        raise CannotCertify(
            f"the certificate cannot be kept in {folder} ({error.strerror}); make that folder "
            "yours, or serve without --tls"
        ) from error
    from cryptography.hazmat.primitives.serialization import Encoding

    pem = authority.certificate.public_bytes(Encoding.PEM)
    ends = authority.certificate.not_valid_after_utc
    return Secured(server_file, pem, fingerprint(authority.certificate), ends, new)


def _holds(certificate: x509.Certificate, now: datetime) -> bool:
    return (
        certificate.not_valid_before_utc <= now < (certificate.not_valid_after_utc - RENEWED_BEFORE)
    )


def _vouches(authority: CertificateWithKey, hosts: Iterable[str], now: datetime) -> bool:
    """Whether an authority may still vouch for all of these.

    One made by an earlier version, which any address could be vouched for by, may not.
    """
    return _holds(authority.certificate, now) and may_vouch(authority.certificate, hosts)


def _serves(
    server: CertificateWithKey, authority: CertificateWithKey, hosts: Iterable[str], now: datetime
) -> bool:
    """Whether a server's certificate is the authority's own, and good for exactly these."""
    from cryptography import x509
    from cryptography.exceptions import InvalidSignature

    try:
        server.certificate.verify_directly_issued_by(authority.certificate)
    except (ValueError, TypeError, InvalidSignature):
        return False
    try:
        names = server.certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName)
    except (x509.ExtensionNotFound, ValueError):
        return False
    return _holds(server.certificate, now) and set(names.value) == set(alternatives(hosts))


def _read(file: Path) -> CertificateWithKey | None:
    """What was kept; None where nothing is, or nothing that can be used."""
    from cryptography import x509
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        data = file.read_bytes()
        key = load_pem_private_key(data, None)
        certificate = x509.load_pem_x509_certificates(data)[0]
        certified = certificate.public_key()
    except (FileNotFoundError, ValueError, TypeError, UnsupportedAlgorithm):
        return None
    # Another program's may be of another kind, and a key may lie with a certificate it is not of.
    if not isinstance(key, EllipticCurvePrivateKey) or certified != key.public_key():
        return None
    return CertificateWithKey(certificate, key)


def _write(file: Path, pair: CertificateWithKey, *chain: x509.Certificate) -> None:
    """Keep key and certificates in one file, whole or not at all, that only its owner reads."""
    from cryptography.hazmat.primitives.serialization import (
        Encoding,
        NoEncryption,
        PrivateFormat,
    )

    key = pair.key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    parts = [key, *(one.public_bytes(Encoding.PEM) for one in (pair.certificate, *chain))]
    made, name = mkstemp(dir=file.parent, prefix=f".{file.name}-")  # its mode is 0600
    try:
        with os.fdopen(made, "wb") as target:
            target.write(b"".join(parts))
            target.flush()
            os.fsync(target.fileno())
        os.replace(name, file)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


OWN_NAME = "localhost"


@dataclass(frozen=True)
class Reach:
    """`base` is the address others reach the workshop by ("https://10.0.0.7:8765"), "" where they
    do not; `secured` its certificates, None where it makes none itself."""

    base: str = ""
    secured: Secured | None = None


NO_REACH = Reach()
"""That of a workshop on its own computer alone."""


def base_for_others(asked: URL, reach: Reach) -> str:
    """The address to give to another device: the one a page was `asked` for by, if that leads here
    from elsewhere, else the likeliest; "" where there is none."""
    host = asked.hostname or ""
    own = host == OWN_NAME or host.endswith(f".{OWN_NAME}") or is_loopback(host)
    return reach.base if own or not host else f"{asked.scheme}://{asked.netloc}"
