"""Give phones HTTPS without the internet: an authority for this one shop, whose key is thrown away.

The authority may vouch for this shop's name and address and nothing else (critical name constraints),
for no further authority (path length 0), and signs exactly one certificate: its key never reaches the
disk and is gone when `make` returns. When the name or address changes, or the year is over, a new
authority is made and phones trust that one instead. Neither key nor certificate is in a backup.
"""

import hashlib
import ipaddress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from snath.shop.site.data_folder import OWNER_ONLY_FOLDER, DataFolder, write_private

VALID = timedelta(days=397)  # phones refuse certificates that last longer than 398 days
RENEW_BEFORE_END = timedelta(days=30)
SKEW = timedelta(hours=1)
AUTHORITY, CHAIN, KEY = "authority.crt", "site.crt", "site.key"


@dataclass(frozen=True, slots=True)
class Certificates:
    """Files the server needs, and the authority phones are asked to trust."""

    chain: Path
    key: Path
    authority: Path


def certificates(folder: DataFolder, name: str, address: str, now: datetime | None = None) -> Certificates:
    """The shop's certificates, made anew when there are none, or they are for another name or nearly over."""
    now = now or datetime.now(UTC)
    files = Certificates(*(folder.certificates / part for part in (CHAIN, KEY, AUTHORITY)))
    if not _still_good(files, name, address, now):
        folder.certificates.mkdir(mode=OWNER_ONLY_FOLDER, exist_ok=True)
        authority_pem, site_pem, key_pem = make(name, address, now)
        write_private(files.authority, authority_pem)
        write_private(files.chain, site_pem + authority_pem)
        write_private(files.key, key_pem)
    return files


def make(name: str, address: str, now: datetime) -> tuple[bytes, bytes, bytes]:
    """A new authority's certificate, the site's certificate, and the site's key, as PEM."""
    authority_key, site_key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    network = ipaddress.ip_network(address)  # the address alone: /32 or /128
    issuer = _named(f"This shop only: {name}"[:64])
    authority_pem = (
        _builder(subject=issuer, issuer=issuer, key=authority_key, now=now)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(
            x509.NameConstraints(
                permitted_subtrees=[x509.DNSName(name), x509.IPAddress(network)],
                excluded_subtrees=None,
            ),
            critical=True,
        )
        .sign(authority_key, hashes.SHA256())
        .public_bytes(Encoding.PEM)
    )
    site_pem = (
        _builder(subject=_named(name[:64]), issuer=issuer, key=site_key, now=now)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(
            x509.SubjectAlternativeName([x509.DNSName(name), x509.IPAddress(ipaddress.ip_address(address))]),
            critical=False,
        )
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(authority_key.public_key()), critical=False
        )
        .sign(authority_key, hashes.SHA256())
        .public_bytes(Encoding.PEM)
    )
    key_pem = site_key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    return authority_pem, site_pem, key_pem


def _builder(
    *, subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, now: datetime
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - SKEW)
        .not_valid_after(now + VALID)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _named(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )


def _still_good(files: Certificates, name: str, address: str, now: datetime) -> bool:
    if not all(file.exists() for file in (files.chain, files.key, files.authority)):
        return False
    site = x509.load_pem_x509_certificate(files.chain.read_bytes())
    names = site.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    for_us = names.get_values_for_type(x509.DNSName) == [name] and names.get_values_for_type(
        x509.IPAddress
    ) == [ipaddress.ip_address(address)]
    return for_us and now + RENEW_BEFORE_END < site.not_valid_after_utc


def authority(folder: DataFolder) -> bytes | None:
    """The authority's certificate as phones take it in (DER), or None where there is none."""
    file = folder.certificates / AUTHORITY
    if not file.exists():
        return None
    return x509.load_pem_x509_certificate(file.read_bytes()).public_bytes(Encoding.DER)


def fingerprint(certificate: bytes) -> str:
    """SHA-256 of a certificate as phones show it: pairs of hex digits."""
    return ":".join(f"{byte:02X}" for byte in hashlib.sha256(certificate).digest())
