"""The way in from another computer of the shop: one address beside the own computer's, always encrypted.

What comes in there is marked, whatever it says of itself, so that the guard never takes it for the own computer.
"""

from __future__ import annotations

import errno
import hashlib
import ipaddress
import os
import socket
import ssl
import threading
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, ClassVar, Final

from shopledger.counter.station import AWAY, Address
from shopledger.errors import SetupError
from shopledger.files.reading import read_outside
from shopledger.files.writing import made_folder, write_whole
from shopledger.installed import ExtraMissingError

YEARS: Final = 10
STANDS_FOR, UNTIL = "Stands for: ", "Until: "
SOON: Final = timedelta(days=30)
LARGEST: Final = 100_000
THREADS, MOST_THREADS = 2, 8
SECONDS: Final = 15
"""How long a connection may keep silent."""


class NetworkExtraMissingError(ExtraMissingError, SetupError):
    """Another computer is to be let in, and what encrypts the way is not installed."""

    extra = "network"
    needs: ClassVar[str] = "letting another computer in needs"
    otherwise: ClassVar[str] = " Without --address the counter opens on this computer alone."


class NoSuchAddressError(SetupError):
    """The address is none that another computer can reach this one by."""

    given: str
    reason: str
    sentence = (
        "the address '{given}' {reason}. Name one address or name of this computer in the shop's own network, as in "
        "--address 192.0.2.10."
    )


@dataclass(frozen=True, slots=True)
class Doorway:
    """One address of this computer, and what browsers may call it."""

    address: str
    port: int
    names: tuple[str, ...]

    @property
    def addresses(self) -> tuple[Address, ...]:
        """What a browser says as Host and Origin."""
        return tuple(Address(f"{_in_brackets(each)}:{self.port}", secure=True) for each in self.names)


@dataclass(frozen=True, slots=True)
class Certificate:
    """What proves to a browser that it speaks with this computer."""

    file: Path
    fingerprint: str
    """The SHA-256 of the certificate, as browsers show it."""


def doorway(given: str, port: int) -> Doorway:
    """Find the one address that is meant. Raises NoSuchAddressError."""
    try:
        found = socket.getaddrinfo(given, None, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError) as error:
        raise NoSuchAddressError(given, "is not known here") from error
    address = ipaddress.ip_address(str(found[0][4][0]).partition("%")[0])
    if address.is_unspecified:
        raise NoSuchAddressError(given, "means every address of this computer, also those that lead outside")
    if address.is_loopback:
        raise NoSuchAddressError(given, "leads to this computer alone, which opens the counter without it")
    host = socket.gethostname().casefold()
    return Doorway(str(address), port, tuple(dict.fromkeys((given.casefold(), str(address), host))))


def certificate(door: Doorway, file: Path, now: datetime) -> Certificate:
    """Give the certificate of this computer, made once for ten years, and anew where it names other addresses.

    What it stands for is written above it, so that no start but the first waits for what makes certificates.
    """
    if not file.is_file() or not _stands_for(read_outside(file, LARGEST), door.names, now + SOON):
        made_folder(file.parent)
        write_whole(_issued(door.names, now), file)
    found = read_outside(file, LARGEST).decode("ascii")
    der = ssl.PEM_cert_to_DER_cert(found[found.index("-----BEGIN CERTIFICATE") :])
    digest = hashlib.sha256(der).hexdigest().upper()
    return Certificate(file, ":".join(digest[place : place + 2] for place in range(0, len(digest), 2)))


def _issued(names: tuple[str, ...], now: datetime) -> bytes:
    try:
        from shopledger.counter.certifying import issued  # noqa: PLC0415 - only with the extra, and once in ten years
    except ImportError as error:
        raise NetworkExtraMissingError from error
    until = (now + timedelta(days=365 * YEARS + 2)).astimezone(UTC).replace(microsecond=0)
    return f"{STANDS_FOR}{' '.join(names)}\n{UNTIL}{until.isoformat()}\n".encode() + issued(names, now, until)


def _stands_for(body: bytes, names: tuple[str, ...], day: datetime) -> bool:
    """Tell whether a certificate still holds on a day, and for all these names."""
    lines = body.decode("ascii", "replace").splitlines()
    said = {
        start: line.removeprefix(start) for line in lines for start in (STANDS_FOR, UNTIL) if line.startswith(start)
    }
    try:
        return day < datetime.fromisoformat(said[UNTIL]) and set(names) <= set(said[STANDS_FOR].split())
    except (KeyError, ValueError):
        return False


def marked(app: Callable[..., Iterable[bytes]]) -> Callable[..., Iterable[bytes]]:
    """Mark all that comes in by this way, whatever it says of itself."""

    def answer(environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        environ[AWAY] = True
        environ["wsgi.url_scheme"] = "https"
        return app(environ, start)

    return answer


class AwayServer:
    """Answers other computers, in threads of its own."""

    def __init__(self, app: Callable[..., Iterable[bytes]], door: Doorway, proof: Certificate) -> None:
        try:
            from cheroot.ssl.builtin import BuiltinSSLAdapter  # noqa: PLC0415 - only with the extra
            from cheroot.wsgi import Server  # noqa: PLC0415 - as above
        except ImportError as error:
            raise NetworkExtraMissingError from error
        self._server = Server(
            (door.address, door.port), marked(app), numthreads=THREADS, max=MOST_THREADS, timeout=SECONDS
        )
        self._server.server_name = self._server.software = "counter"
        self._server.max_request_header_size = 32_768
        adapter = BuiltinSSLAdapter(str(proof.file), str(proof.file))
        adapter.context = _strict(proof.file)
        self._server.ssl_adapter = adapter
        try:
            self._server.prepare()
        except OSError as error:
            raise NoSuchAddressError(door.address, _why(error)) from error
        self._thread = threading.Thread(target=self._server.serve, daemon=True)

    def start(self) -> None:
        """Begin to answer."""
        self._thread.start()

    def stop(self) -> None:
        """Answer no more."""
        self._server.stop()


def _strict(file: Path) -> ssl.SSLContext:
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.load_cert_chain(file)
    return context


def _why(error: OSError) -> str:
    said = str(error)
    if error.errno == errno.EADDRNOTAVAIL or os.strerror(errno.EADDRNOTAVAIL) in said:
        return "is none of this computer's"
    if error.errno == errno.EADDRINUSE or os.strerror(errno.EADDRINUSE) in said:
        return "is taken by another program at this port"
    return f"cannot be answered at ({said})"


def _in_brackets(name: str) -> str:
    return f"[{name}]" if ":" in name else name
