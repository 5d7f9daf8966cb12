"""Certificates made on this computer: a small authority of this workshop, and one for its server.

The authority is what a device is told to trust, once. It may vouch for names and addresses of the
local network and those that were given, and for no others, so that a lost key does little harm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import IPv4Network, IPv6Network, ip_address, ip_network
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey


AUTHORITY_LASTS: Final = timedelta(days=5 * 365)
SERVER_LASTS: Final = timedelta(days=397)
"""Some browsers distrust certificates of servers that last longer than 398 days."""

CLOCKS_APART: Final = timedelta(days=1)
"""A tablet's clock may be behind by as much."""

LOCAL_NAMES: Final = ("localhost", "local", "home.arpa", "lan", "internal")
"""Names that no public site has, with all below them: RFC 6761, RFC 6762 and RFC 8375, and what
routers and huts use (common practice)."""

LOCAL_NETWORKS: Final = (
    *("127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16"),
    *("::1/128", "fc00::/7", "fe80::/10"),
)
"""Addresses that lead to no public site: of the computer itself, of private networks and of a
single link (RFC 1122, RFC 1918, RFC 3927, RFC 4291, RFC 4193)."""

MOST_NAME: Final = 64
"""Characters of a subject's name (RFC 5280)."""


@dataclass(frozen=True)
class CertificateWithKey:
    """A certificate with the key that goes with it."""

    certificate: x509.Certificate
    key: EllipticCurvePrivateKey


def fingerprint(certificate: x509.Certificate) -> str:
    """The SHA-256 of a certificate, as browsers and telephones show it: "AB:CD:..."."""
    from cryptography.hazmat.primitives.hashes import SHA256

    return certificate.fingerprint(SHA256()).hex(":").upper()


def make_authority(hosts: Iterable[str], now: datetime) -> CertificateWithKey:
    """A new authority of servers, that may vouch for `hosts` and local names and addresses."""
    from cryptography import x509

    key, begin = _new_key(), now - CLOCKS_APART
    name = _named("Sockwright workshop authority", hosts)
    names = dict.fromkeys((*LOCAL_NAMES, *host_names(hosts)))
    permitted = [*map(x509.DNSName, names), *map(x509.IPAddress, _networks(hosts))]
    builder = (
        _begun(name, name, key, begin, begin + AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([x509.OID_SERVER_AUTH]), critical=False)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
    )
    return _signed(builder, key, key)


def make_server(
    authority: CertificateWithKey, hosts: Sequence[str], now: datetime
) -> CertificateWithKey:
    """A certificate for a server by the names and addresses `hosts`."""
    from cryptography import x509

    key, begin = _new_key(), now - CLOCKS_APART
    name = _named("Sockwright workshop", hosts)
    end = min(begin + SERVER_LASTS, authority.certificate.not_valid_after_utc)
    builder = (
        _begun(name, authority.certificate.subject, key, begin, end)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([x509.OID_SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(alternatives(hosts)), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()),
            critical=False,
        )
    )
    return _signed(builder, key, authority.key)


def _begun(
    subject: x509.Name,
    issuer: x509.Name,
    key: EllipticCurvePrivateKey,
    begin: datetime,
    end: datetime,
) -> x509.CertificateBuilder:
    from cryptography import x509

    public = key.public_key()
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(begin)
        .not_valid_after(end)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
    )


def _signed(
    builder: x509.CertificateBuilder,
    key: EllipticCurvePrivateKey,
    signer: EllipticCurvePrivateKey,
) -> CertificateWithKey:
    from cryptography.hazmat.primitives.hashes import SHA256

    return CertificateWithKey(builder.sign(signer, SHA256()), key)


def _new_key() -> EllipticCurvePrivateKey:
    from cryptography.hazmat.primitives.asymmetric import ec

    return ec.generate_private_key(ec.SECP256R1())


def _usage(signs_certificates: bool) -> x509.KeyUsage:
    from cryptography import x509

    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _named(what: str, hosts: Iterable[str]) -> x509.Name:
    """A name that tells one workshop's certificate from another's."""
    from cryptography import x509

    own = next((one for one in host_names(hosts) if one != "localhost"), "")
    text = f"{what}, {own}" if own else what
    return x509.Name([x509.NameAttribute(x509.OID_COMMON_NAME, text[:MOST_NAME])])


def _networks(hosts: Iterable[str]) -> list[IPv4Network | IPv6Network]:
    """Local networks, and each of `hosts` that is an address elsewhere as a network of its own."""
    local = [ip_network(one) for one in LOCAL_NETWORKS]
    addresses = [ip_address(one) for one in dict.fromkeys(hosts) if _is_address(one)]
    return [*local, *(ip_network(one) for one in addresses if not any(one in net for net in local))]


def may_vouch(certificate: x509.Certificate, hosts: Iterable[str]) -> bool:
    """Whether a certificate is an authority as we make them, of all of `hosts`."""
    from cryptography import x509

    try:
        extensions = certificate.extensions
        constraints = extensions.get_extension_for_class(x509.NameConstraints).value
        usage = extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
        basic = extensions.get_extension_for_class(x509.BasicConstraints).value
    except (x509.ExtensionNotFound, ValueError):
        return False
    permitted = [one.value for one in constraints.permitted_subtrees or ()]
    every = list(hosts)
    return (
        basic.ca
        and x509.OID_SERVER_AUTH in usage
        and all(_permits(permitted, name) for name in host_names(every))
        and all(_permits_address(permitted, one) for one in every if _is_address(one))
    )


def _permits(permitted: Iterable[object], name: str) -> bool:
    names = [one for one in permitted if isinstance(one, str)]
    return any(name == one or name.endswith(f".{one}") for one in names)


def _permits_address(permitted: Iterable[object], address: str) -> bool:
    networks = [one for one in permitted if isinstance(one, IPv4Network | IPv6Network)]
    return any(ip_address(address) in one for one in networks)


def alternatives(hosts: Iterable[str]) -> list[x509.GeneralName]:
    """Names and addresses as a certificate has them."""
    from cryptography import x509

    every = dict.fromkeys(hosts)
    addresses = [x509.IPAddress(ip_address(one)) for one in every if _is_address(one)]
    return [*map(x509.DNSName, host_names(every)), *addresses]


def host_names(hosts: Iterable[str]) -> list[str]:
    """Those of `hosts` that are no addresses, each once."""
    return [one for one in dict.fromkeys(hosts) if not _is_address(one)]


def _is_address(host: str) -> bool:
    try:
        ip_address(host)
    except ValueError:
        return False
    return True
