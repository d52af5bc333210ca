"""The certificate, judged by OpenSSL: trusted for its address, worthless for anything on the internet."""

import datetime
import ipaddress
import ssl
import stat
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization

from wardwright.errors import InputError
from wardwright.web import certificate as made
from wardwright.web.certificate import certificate_for, private_address


def shakes_hands(authority: bytes, chain: Path, key: Path, name: str) -> None:
    """A handshake in memory between two OpenSSL ends; raises what a browser would complain about."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(chain, key)
    client = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    client.load_verify_locations(cadata=authority)
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    a = client.wrap_bio(to_client, to_server, server_hostname=name)
    b = server.wrap_bio(to_server, to_client, server_side=True)
    for _ in range(10):
        for end in (a, b):
            try:
                end.do_handshake()
            except ssl.SSLWantReadError:
                continue
    a.do_handshake()
    assert a.version() in ("TLSv1.2", "TLSv1.3")


@pytest.mark.parametrize("address", ["192.168.1.20", "10.0.0.5", "127.0.0.2", "fd00::5"])
def test_a_tablet_that_trusts_the_authority_sees_no_warning(tmp_path: Path, address: str) -> None:
    found = certificate_for(private_address(address), tmp_path)
    shakes_hands(found.authority, found.chain, found.key, address)
    with pytest.raises(ssl.SSLCertVerificationError):
        shakes_hands(found.authority, found.chain, found.key, "192.168.1.21")


def test_the_authority_cannot_vouch_for_the_internet(tmp_path: Path) -> None:
    found = certificate_for(private_address("192.168.1.20"), tmp_path)
    signer = serialization.load_pem_private_key((tmp_path / "authority-key.pem").read_bytes(), password=None)
    authority = x509.load_der_x509_certificate(found.authority)
    now = datetime.datetime.now(datetime.UTC)
    public = ipaddress.ip_address("192.0.2.7")
    key = made._new_key(tmp_path / "k.pem")
    forged = made._server(key.public_key(), public, authority, signer, now)  # type: ignore[arg-type]
    (tmp_path / "c.pem").write_bytes(forged.public_bytes(serialization.Encoding.PEM))
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
        shakes_hands(found.authority, tmp_path / "c.pem", tmp_path / "k.pem", "192.0.2.7")


def test_it_is_kept_and_renewed_before_it_ends(tmp_path: Path) -> None:
    address = private_address("192.168.1.20")
    first = certificate_for(address, tmp_path)
    shown = first.chain.read_bytes()
    assert certificate_for(address, tmp_path) == first
    assert first.chain.read_bytes() == shown
    later = datetime.datetime.now(datetime.UTC) + datetime.timedelta(days=made.SERVER_DAYS - made.RENEW_DAYS + 1)
    second = certificate_for(address, tmp_path, now=later)
    assert second.authority == first.authority, "tablets go on trusting"
    assert second.chain.read_bytes() != shown


def test_keys_are_for_their_owner_only(tmp_path: Path) -> None:
    found = certificate_for(private_address("127.0.0.2"), tmp_path / "new")
    for path in (found.key, tmp_path / "new" / "authority-key.pem"):
        assert stat.S_IMODE(path.stat().st_mode) == 0o600


@pytest.mark.parametrize("text", ["0.0.0.0", "::", "8.8.8.8", "2001:db8::1", "house.example", "", "192.168.1.256"])
def test_an_address_that_will_not_do_is_refused_in_words(text: str) -> None:
    with pytest.raises(InputError):
        private_address(text)
