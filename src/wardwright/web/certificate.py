"""A certificate made on this machine, for addresses in the house: an authority of our own, and what it vouches for.

The authority is what a tablet is told to trust. It is bound to private addresses, so that even in wrong hands it could
not vouch for anything on the internet [RFC5280-2008]_ [RFC1918-1996]_.
"""

import datetime
import ipaddress
import os
import socket
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from wardwright.errors import InputError
from wardwright.storage.job_file import write_whole

AUTHORITY_DAYS = 3650
SERVER_DAYS = 397
"""Tablets refuse server certificates that run much longer than a year (from memory)."""
RENEW_DAYS = 30
PRIVATE = (
    "127.0.0.0/8",
    "10.0.0.0/8",
    "172.16.0.0/12",
    "192.168.0.0/16",
    "169.254.0.0/16",
    "::1/128",
    "fc00::/7",
    "fe80::/10",
)
"""Addresses that exist only inside a house or a machine."""

Address = ipaddress.IPv4Address | ipaddress.IPv6Address


@dataclass(frozen=True)
class Certificate:
    """What the server shows, and what a tablet is told to trust."""

    chain: Path
    key: Path
    authority: bytes
    """Certificate of the authority, DER."""
    fingerprint: str
    """SHA-256 of it, in pairs, as tablets show it."""


def private_address(text: str) -> Address:
    """An address of a private network.

    Parameters
    ----------
    text : str
        The address in figures.

    Returns
    -------
    IPv4Address or IPv6Address
        The address.

    Raises
    ------
    InputError
        If it is no address, stands for all addresses, or is reachable from the internet.
    """
    try:
        address = ipaddress.ip_address(text)
    except ValueError:
        raise InputError("give one address of this machine in figures, for example 192.168.1.20", where=text) from None
    if address.is_unspecified:
        raise InputError("this stands for every address; give the one that the tablet is to use", where=text)
    if not any(address in ipaddress.ip_network(net) for net in PRIVATE):
        raise InputError("this address is on the open internet; only addresses of a private network serve", where=text)
    return address


def certificate_for(address: Address, folder: Path, *, now: datetime.datetime | None = None) -> Certificate:
    """The certificate for an address, made or renewed where needed.

    Parameters
    ----------
    address : IPv4Address or IPv6Address
        A private address.
    folder : Path
        Where authority and certificate are kept; only their owner can read the keys.
    now : datetime, optional
        The present.

    Returns
    -------
    Certificate
        Valid for at least thirty days.
    """
    now = now or datetime.datetime.now(datetime.UTC)
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    name = str(address).replace(":", "-")
    authority_path, authority_key_path = folder / "authority.pem", folder / "authority-key.pem"
    chain_path, key_path = folder / f"{name}.pem", folder / f"{name}-key.pem"
    authority = _still_good(authority_path, authority_key_path, now, SERVER_DAYS)
    if authority is None:
        authority_key = _new_key(authority_key_path)
        authority = _authority(authority_key, now)
        write_whole(authority_path, authority.public_bytes(serialization.Encoding.PEM))
        chain_path.unlink(missing_ok=True)
    shown = _still_good(chain_path, key_path, now, RENEW_DAYS)
    if shown is None or shown.issuer != authority.subject:
        signer = serialization.load_pem_private_key(authority_key_path.read_bytes(), password=None)
        assert isinstance(signer, ec.EllipticCurvePrivateKey)
        shown = _server(_new_key(key_path).public_key(), address, authority, signer, now)
        pem = serialization.Encoding.PEM
        write_whole(chain_path, shown.public_bytes(pem) + authority.public_bytes(pem))
    digest = authority.fingerprint(hashes.SHA256()).hex(":").upper()
    return Certificate(chain_path, key_path, authority.public_bytes(serialization.Encoding.DER), digest)


def _still_good(path: Path, key: Path, now: datetime.datetime, days: int) -> x509.Certificate | None:
    if not path.is_file() or not key.is_file():
        return None
    try:
        found = x509.load_pem_x509_certificate(path.read_bytes())
    except ValueError:
        return None
    return found if found.not_valid_after_utc > now + datetime.timedelta(days=days) else None


def _new_key(path: Path) -> ec.EllipticCurvePrivateKey:
    key = ec.generate_private_key(ec.SECP256R1())
    plain = serialization.NoEncryption()
    pem = key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, plain)
    write_whole(path, pem)  # a file made that way can be read by its owner only
    return key


def _authority(key: ec.EllipticCurvePrivateKey, now: datetime.datetime) -> x509.Certificate:
    host = socket.gethostname()[:40] or "this machine"
    subject = x509.Name(
        [x509.NameAttribute(NameOID.COMMON_NAME, f"Wardwright on {host} {os.urandom(4).hex()}")]  # new key, new name
    )
    names: list[x509.GeneralName] = [x509.IPAddress(ipaddress.ip_network(net)) for net in PRIVATE]
    names += [x509.DNSName("local"), x509.DNSName("home.arpa"), x509.DNSName("localhost")]
    return (
        _begun(subject, subject, key.public_key(), now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.NameConstraints(permitted_subtrees=names, excluded_subtrees=None), critical=True)
        .sign(key, hashes.SHA256())
    )


def _server(
    key: ec.EllipticCurvePublicKey,
    address: Address,
    authority: x509.Certificate,
    signer: ec.EllipticCurvePrivateKey,
    now: datetime.datetime,
) -> x509.Certificate:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Wardwright")])
    return (
        _begun(subject, authority.subject, key, now, SERVER_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName([x509.IPAddress(address)]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False)
        .sign(signer, hashes.SHA256())
    )


def _begun(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, now: datetime.datetime, days: int
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - datetime.timedelta(hours=1))  # the tablet's clock may be a little slow
        .not_valid_after(now + datetime.timedelta(days=days))
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        encipher_only=False,
        decipher_only=False,
    )
