"""Open an encrypted copy of a ledger without the program that made it: python open_copy.py COPY KEYFILE NEWFILE.

Needs Python and the library "cryptography". KEYFILE is a text file with the secret key, AGE-SECRET-KEY-1 and so on. The
format is "age", version 1, as C2SP publishes it (https://c2sp.org/age): locks of X25519, then pieces of 64 KiB.
"""

from __future__ import annotations

import base64
import re
import sys
from pathlib import Path

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives import hashes, hmac
from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey, X25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

LETTERS = "qpzry9x8gf2tvdw0s3jn54khce6mua7l"
PIECE = 65536 + 16


def secret_bytes(text: str) -> bytes:
    """Read the 32 bytes of a secret key: five bits a letter, the last six letters being a check."""
    found = re.search("AGE-SECRET-KEY-1([A-Z0-9]{52})[A-Z0-9]{6}", re.sub(r"\s", "", text.upper()))
    number = 0
    for letter in found[1].lower() if found else sys.exit("There is no whole secret key in that file."):
        number = number << 5 | LETTERS.index(letter)
    return (number >> 4).to_bytes(32, "big")


def derived(secret: bytes, salt: bytes, use: bytes) -> bytes:
    """Derive a key of 32 bytes."""
    return HKDF(hashes.SHA256(), 32, salt, use).derive(secret)


def unpadded(text: bytes) -> bytes:
    """Read base64 without its padding."""
    return base64.b64decode(text + b"=" * (-len(text) % 4))


def file_key(header: bytes, secret: bytes) -> bytes:
    """Find the key of the file in the lock that this secret key opens, and check the header with it."""
    own = X25519PrivateKey.from_private_bytes(secret)
    for share, body in re.findall(rb"\n-> X25519 (\S+)\n(\S+)", header):
        together = own.exchange(X25519PublicKey.from_public_bytes(unpadded(share)))
        salt = unpadded(share) + own.public_key().public_bytes_raw()
        try:
            lock = ChaCha20Poly1305(derived(together, salt, b"age-encryption.org/v1/X25519"))
            key = lock.decrypt(bytes(12), unpadded(body), None)
        except InvalidTag:
            continue  # the lock of another key
        start, _, stated = header.rpartition(b" ")
        check = hmac.HMAC(derived(key, b"", b"header"), hashes.SHA256())
        check.update(start)
        check.verify(unpadded(stated.strip()))
        return key
    sys.exit("This key opens none of the locks of the copy.")


def main(copy: str, keyfile: str, new: str) -> None:
    """Write what is in the copy to NEWFILE.part, and call it NEWFILE once all of it proved to be unchanged."""
    part = Path(new + ".part")
    with Path(copy).open("rb") as body, part.open("xb") as out:
        part.chmod(0o600)
        header = body.readline()
        while b"\n--- " not in header:
            header += body.readline() or sys.exit("This is no whole copy.")
        key = file_key(header, secret_bytes(Path(keyfile).read_text(encoding="utf-8")))
        lock = ChaCha20Poly1305(derived(key, body.read(16), b"payload"))
        count, piece = 0, body.read(PIECE)
        while piece:
            ahead = body.read(PIECE)
            out.write(lock.decrypt(count.to_bytes(11, "big") + bytes([not ahead]), piece, None))
            count, piece = count + 1, ahead
    part.rename(new)


if __name__ == "__main__":
    main(*sys.argv[1:])
