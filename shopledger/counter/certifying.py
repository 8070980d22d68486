"""Certificates that this computer makes for itself: signed by nobody else, and known by their fingerprint."""

from __future__ import annotations

import ipaddress
from collections.abc import Sequence
from contextlib import suppress
from datetime import UTC, datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID


def issued(names: Sequence[str], since: datetime, until: datetime) -> bytes:
    """Make a key and its certificate for these names and addresses, as text."""
    key = ec.generate_private_key(ec.SECP256R1())
    called = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "counter of the shop")])
    made = (
        x509.CertificateBuilder()
        .subject_name(called)
        .issuer_name(called)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(since.astimezone(UTC) - timedelta(days=1))
        .not_valid_after(until.astimezone(UTC))
        .add_extension(x509.SubjectAlternativeName([_name(each) for each in names]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(key, hashes.SHA256())
    )
    plain = serialization.NoEncryption()
    secret = key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, plain)
    return secret + made.public_bytes(serialization.Encoding.PEM)


def _name(given: str) -> x509.GeneralName:
    with suppress(ValueError):
        return x509.IPAddress(ipaddress.ip_address(given))
    return x509.DNSName(given)
