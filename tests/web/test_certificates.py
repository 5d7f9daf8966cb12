"""Certificates of a workshop's own: what trusts them, what does not, when they are made anew."""

from __future__ import annotations

import socket
import ssl
import stat
import threading
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

import httpx2 as httpx
import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

from served import PATIENCE_S, Starter
from sockwright.web.access.certificates import AUTHORITY_LASTS, make_authority, make_server
from sockwright.web.access.kept_certificates import CannotCertify, Secured, secure

HOSTS = ("localhost", "127.0.0.1", "::1", "hut", "hut.local", "10.1.2.3")
DAY = timedelta(days=1)


def now() -> datetime:
    return datetime.now(UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "certificates"


def trusting(secured: Secured) -> ssl.SSLContext:
    """A device that trusts this authority and no other."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.verify_flags |= ssl.VERIFY_X509_STRICT
    context.load_verify_locations(cadata=secured.authority.decode())
    return context


@contextmanager
def answering(file: Path) -> Iterator[int]:
    """Something that answers over TLS with a certificate, and shakes hands with whoever comes."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(file)

    def shake() -> None:
        while True:
            try:
                one, _ = listening.accept()
            except OSError:
                return
            try:
                with context.wrap_socket(one, server_side=True) as wrapped:
                    wrapped.recv(1)
            except OSError:
                pass

    with closing(socket.create_server(("127.0.0.1", 0))) as listening:
        thread = threading.Thread(target=shake, daemon=True)
        thread.start()
        yield listening.getsockname()[1]
        listening.shutdown(socket.SHUT_RDWR)
        thread.join(PATIENCE_S)


def shake_hands(device: ssl.SSLContext, port: int, name: str) -> None:
    """Connect as to the host `name`; an SSLError if the certificate is not good for it."""
    with (
        socket.create_connection(("127.0.0.1", port)) as plain,
        device.wrap_socket(plain, server_hostname=name) as wrapped,
    ):
        wrapped.send(b".")


@pytest.mark.parametrize("name", HOSTS)
def test_a_device_that_trusts_the_authority_connects(folder: Path, name: str) -> None:
    secured = secure(folder, HOSTS, now())
    with answering(secured.file) as port:
        shake_hands(trusting(secured), port, name)


@pytest.mark.parametrize("name", ["valley.local", "10.1.2.4", "example.org"])
def test_it_is_good_for_no_other_name(folder: Path, name: str) -> None:
    secured = secure(folder, HOSTS, now())
    with (
        answering(secured.file) as port,
        pytest.raises(ssl.SSLCertVerificationError, match=r"mismatch|not valid for"),
    ):
        shake_hands(trusting(secured), port, name)


def test_who_trusts_another_authority_is_warned(folder: Path, tmp_path: Path) -> None:
    secured = secure(folder, HOSTS, now())
    other = secure(tmp_path / "other", HOSTS, now())
    with answering(secured.file) as port, pytest.raises(ssl.SSLCertVerificationError):
        shake_hands(trusting(other), port, "hut.local")


def test_the_authority_cannot_vouch_for_public_names(folder: Path) -> None:
    """Even with its key in hand, a certificate for another site is refused."""
    authority = make_authority(HOSTS, now())
    stolen = make_server(authority, ["bank.example"], now())
    assert _verdict(folder, authority.certificate, stolen, "bank.example") == "permitted subtree"
    honest = make_server(authority, ["hut.local"], now())
    assert _verdict(folder, authority.certificate, honest, "hut.local") == ""


@pytest.mark.parametrize("address", ["1.1.1.1", "203.0.113.7", "2606:4700::1111"])
def test_nor_for_public_addresses(folder: Path, address: str) -> None:
    authority = make_authority(HOSTS, now())
    stolen = make_server(authority, [address], now())
    assert _verdict(folder, authority.certificate, stolen, address) == "permitted subtree"


@pytest.mark.parametrize(
    "address",
    ["127.0.0.1", "192.168.4.20", "172.31.0.9", "169.254.8.8", "::1", "fd00::7", "fe80::7"],
)
def test_it_vouches_for_any_address_of_the_local_network(folder: Path, address: str) -> None:
    authority = make_authority(HOSTS, now())
    honest = make_server(authority, [address], now())
    assert _verdict(folder, authority.certificate, honest, address) == ""


def test_it_vouches_for_a_public_address_it_was_made_for(folder: Path) -> None:
    own = "203.0.113.7"
    authority = make_authority([*HOSTS, own], now())
    assert _verdict(folder, authority.certificate, make_server(authority, [own], now()), own) == ""
    beside = "203.0.113.8"
    stolen = make_server(authority, [beside], now())
    assert _verdict(folder, authority.certificate, stolen, beside) == "permitted subtree"


def test_an_address_from_elsewhere_makes_a_new_authority(folder: Path) -> None:
    first = secure(folder, HOSTS, now())
    assert not secure(folder, [*HOSTS, "10.9.9.9"], now()).new
    moved = secure(folder, [*HOSTS, "203.0.113.7"], now())
    assert moved.new
    assert moved.authority != first.authority


def test_an_address_that_comes_and_goes_makes_none(folder: Path) -> None:
    """A provider's IPv6 addresses change by the day; devices are told of an authority once."""
    first = secure(folder, HOSTS, now(), ["10.1.2.9", "2001:db8:1::7"])
    with answering(first.file) as port:
        shake_hands(trusting(first), port, "10.1.2.9")
        shake_hands(trusting(first), port, "2001:db8:1::7")
    later = secure(folder, HOSTS, now(), ["10.1.2.10", "2001:db8:2::8"])
    assert not later.new
    with answering(later.file) as port:
        shake_hands(trusting(first), port, "10.1.2.10")
        with pytest.raises(ssl.SSLCertVerificationError):
            shake_hands(trusting(first), port, "2001:db8:2::8")


def test_it_vouches_for_servers_alone(folder: Path) -> None:
    certificate = make_authority(HOSTS, now()).certificate
    usage = certificate.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(usage) == [x509.OID_SERVER_AUTH]


def _foreign(kind: str) -> bytes:
    """An authority of another program: its key is an RSA one, or it may vouch for everything."""
    if kind == "no certificate":
        return b"-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n"
    key: Any = (
        rsa.generate_private_key(65537, 2048)
        if kind == "rsa"
        else ec.generate_private_key(ec.SECP256R1())
    )
    name = x509.Name([x509.NameAttribute(x509.OID_COMMON_NAME, "another authority")])
    builder = (
        x509.CertificateBuilder(name, name, key.public_key(), x509.random_serial_number())
        .not_valid_before(now() - DAY)
        .not_valid_after(now() + 300 * DAY)
        .add_extension(x509.BasicConstraints(True, None), True)
    )
    if kind == "names alone":
        # As this program made them first.
        names = [x509.DNSName(one) for one in ("localhost", "local", "hut")]
        builder = builder.add_extension(x509.NameConstraints(names, None), True)
    certificate = builder.sign(key, SHA256())
    if kind == "another key":
        key = ec.generate_private_key(ec.SECP256R1())
    return key.private_bytes(
        Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()
    ) + certificate.public_bytes(Encoding.PEM)


@pytest.mark.parametrize("file", ["authority.pem", "server.pem"])
@pytest.mark.parametrize(
    "kind", ["rsa", "no constraints", "names alone", "another key", "no certificate"]
)
def test_what_cannot_be_used_is_made_anew(folder: Path, kind: str, file: str) -> None:
    folder.mkdir()
    foreign = _foreign(kind)
    (folder / file).write_bytes(foreign)
    secured = secure(folder, HOSTS, now())
    assert secured.new, "the terminal says that devices are told again"
    assert (folder / file).read_bytes() != foreign
    assert foreign not in secured.authority
    with answering(secured.file) as port:
        shake_hands(trusting(secured), port, "hut")


def _verdict(folder: Path, authority, server, name: str) -> str:  # type: ignore[no-untyped-def]
    """What OpenSSL says of a server's certificate, in its own words; nothing if it is good."""
    from cryptography.hazmat.primitives.serialization import Encoding

    from sockwright.web.access import kept_certificates

    folder.mkdir(exist_ok=True)
    kept_certificates._write(folder / "one.pem", server)
    device = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    device.load_verify_locations(cadata=authority.public_bytes(Encoding.PEM).decode())
    with answering(folder / "one.pem") as port:
        try:
            shake_hands(device, port, name)
        except ssl.SSLCertVerificationError as error:
            return "permitted subtree" if "permitted subtree" in str(error) else str(error)
    return ""


def test_only_its_owner_reads_the_keys(folder: Path) -> None:
    secure(folder, HOSTS, now())
    files = sorted(folder.iterdir())
    assert [one.name for one in files] == ["authority.pem", "server.pem"]
    for one in files:
        assert stat.S_IMODE(one.stat().st_mode) == 0o600
        assert "PRIVATE KEY" in one.read_text("ascii")
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_the_key_of_the_authority_is_not_given_away(folder: Path) -> None:
    secured = secure(folder, HOSTS, now())
    assert secured.authority.count(b"BEGIN") == 1
    assert b"BEGIN CERTIFICATE" in secured.authority
    assert (folder / "server.pem").read_bytes().count(b"PRIVATE KEY") == 2  # its own: begin and end


def test_the_fingerprint_is_that_of_the_certificate(folder: Path) -> None:
    secured = secure(folder, HOSTS, now())
    der = ssl.PEM_cert_to_DER_cert(secured.authority.decode())
    assert secured.fingerprint.replace(":", "").lower() == sha256(der).hexdigest()


def times(folder: Path, days: float, hosts: Sequence[str] = HOSTS) -> tuple[bytes, bytes, bool]:
    """The kept files as they are at a start so many days from now, and whether it is new."""
    secured = secure(folder, hosts, now() + timedelta(days=days))
    return secured.authority, secured.file.read_bytes(), secured.new


def test_both_are_kept_from_one_start_to_the_next(folder: Path) -> None:
    authority, server, new = times(folder, 0)
    assert new
    assert times(folder, 1) == (authority, server, False)
    assert times(folder, 300) == (authority, server, False)
    assert times(folder, 1, HOSTS[::-1]) == (authority, server, False)


def test_the_server_s_is_renewed_before_its_end_and_the_authority_stays(folder: Path) -> None:
    authority, server, _ = times(folder, 0)
    later = times(folder, 370)
    assert later[0] == authority
    assert later[1] != server
    assert later[2] is False


def test_other_names_make_another_certificate_from_the_same_authority(folder: Path) -> None:
    authority, server, _ = times(folder, 0)
    moved = times(folder, 0, (*HOSTS[:-1], "10.9.9.9", "valley.local"))
    assert moved[0] == authority
    assert moved[1] != server


def test_a_name_that_the_authority_may_not_vouch_for_makes_a_new_one(folder: Path) -> None:
    authority, _, _ = times(folder, 0)
    other = times(folder, 0, (*HOSTS, "socks.example.org"))
    assert other[0] != authority
    assert other[2] is True


def test_the_authority_is_renewed_before_its_end(folder: Path) -> None:
    authority, _, _ = times(folder, 0)
    years = AUTHORITY_LASTS / DAY
    assert times(folder, years - 40)[0] == authority
    renewed = times(folder, years - 20)
    assert renewed[0] != authority
    assert renewed[2] is True


def test_what_was_damaged_is_made_anew(folder: Path) -> None:
    authority, server, _ = times(folder, 0)
    (folder / "server.pem").write_bytes(server[: len(server) // 2])
    again = times(folder, 0)
    assert again[0] == authority
    (folder / "authority.pem").write_bytes(b"")
    anew = times(folder, 0)
    assert anew[0] != authority
    secured = secure(folder, HOSTS, now())
    with answering(secured.file) as port:
        shake_hands(trusting(secured), port, "hut")


def test_a_folder_that_cannot_be_had_is_told(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(CannotCertify, match="cannot be kept in"):
        secure(tmp_path / "taken", HOSTS, now())


def test_the_command_serves_over_it(starter: Starter, tmp_path: Path) -> None:
    """The whole way: the command, the certificate it makes, a device that trusts only that."""
    try:
        lines = starter.begin(
            "serve", "--port", 0, "--no-open", "--tls", XDG_DATA_HOME=str(tmp_path)
        )
        address = next(line.strip() for line in lines if "https://127.0.0.1" in line)
        folder = next(tmp_path.rglob("certificates"))
        untrusting = httpx.Client(base_url=address, verify=False, trust_env=False)
        certificate = untrusting.get("/trust/authority.crt")
        assert certificate.headers["content-type"] == "application/x-x509-ca-cert"
        device = ssl.create_default_context(cadata=certificate.text)
        with httpx.Client(base_url=address, verify=device, trust_env=False) as client:
            page = client.get("/trust")
            # A device that was told "https only" could never come back by plain http.
            assert "strict-transport-security" not in page.headers
            told = "".join(page.text.split())
            fingerprint = client.get("/data/trust").json()["fingerprint"]
            screen = "".join("".join(lines).split())
            assert fingerprint in screen
            for part in fingerprint.split(":"):
                assert part in told
            kept = client.post("/settings", data={"units": "in"}, headers={"origin": address})
            cookies = kept.headers.get_list("set-cookie")
            assert cookies != []
            assert all("Secure" in one for one in cookies)
        untrusting.close()
        assert b"PRIVATE KEY" in (folder / "server.pem").read_bytes()
        with pytest.raises(httpx.HTTPError):
            httpx.get(address, trust_env=False)
    finally:
        assert starter.end()[0] == 0
