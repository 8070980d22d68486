"""Locking copies with public keys, in the open age format, and opening them again with a secret one.

Needs the extra `encrypt`. The format is public (C2SP, age, version 1), so that a copy opens without this program:
`open_copy.py` beside each copy does it with nothing but a library of ciphers.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

from shopledger.files.drafts import drop_draft
from shopledger.files.refusals import not_written
from shopledger.files.writing import new_draft
from shopledger.store.refusals import BackupFailedError, CopyLockedError, EncryptExtraMissingError, NoKeyError


class KeyPair(NamedTuple):
    """A public key that locks, and the secret one that opens."""

    public: str
    secret: str


def new_pair() -> KeyPair:
    """Make a key pair."""
    made = _pyrage().x25519.Identity.generate()
    return KeyPair(str(made.to_public()), str(made))


def read_public(text: str) -> str:
    """Read a public key as typed, or refuse it."""
    try:
        return str(_pyrage().x25519.Recipient.from_str(text.strip()))
    except _pyrage().RecipientError as error:
        raise NoKeyError("public", "age1") from error


def read_secret(text: str) -> str:
    """Read a secret key as typed, or as a file holds it: groups and lines of comment do not matter."""
    lines = (line for line in text.splitlines() if not line.lstrip().startswith("#"))
    typed = "".join("".join(lines).split())
    try:
        return str(_pyrage().x25519.Identity.from_str(typed.upper()))
    except _pyrage().IdentityError as error:
        raise NoKeyError("secret", "AGE-SECRET-KEY-1") from error


def seal(source: Path, sha256: str, target: Path, keys: Sequence[str]) -> None:
    """Lock a file of that hash into another with public keys, and open it again from its medium to compare.

    Who makes a copy has no secret key. So each is also locked with one that lives only as long as this call.
    """
    pyrage = _pyrage()
    once = pyrage.x25519.Identity.generate()
    to = [*(pyrage.x25519.Recipient.from_str(key) for key in keys), once.to_public()]
    try:
        pyrage.encrypt_file(str(source), str(target), to)
        settle(target)
        with target.open("rb") as body:
            found = _Hashing()
            pyrage.decrypt_io(body, found, [once])
    except (pyrage.EncryptError, pyrage.DecryptError) as error:
        raise BackupFailedError(str(target), f"it does not open again ({error})") from error
    if found.digest.hexdigest() != sha256:
        raise BackupFailedError(str(target), "it opens to something else than was locked")


@contextmanager
def unsealed(file: Path, secret: str, beside: Path) -> Iterator[Path]:
    """Open an encrypted copy into a draft beside a place, for its owner alone; it goes when the block ends.

    A file that was cut off opens up to there before it is refused, so nothing of it may stay.
    """
    draft = new_draft(beside)
    try:
        _open(file, draft, secret)
        yield draft
    finally:
        drop_draft(draft)


def _open(file: Path, draft: Path, secret: str) -> None:
    pyrage = _pyrage()
    key = pyrage.x25519.Identity.from_str(secret)
    try:
        pyrage.decrypt_file(str(file), str(draft), [key])
    except pyrage.DecryptError as error:
        raise CopyLockedError(str(file), str(error).rstrip(".").lower()) from error
    except OSError as error:
        # Without a number it is not the system that speaks, but the lock.
        if error.errno:
            raise not_written(draft, error) from error
        raise CopyLockedError(str(file), str(error).rstrip(".").lower()) from error


def hash_of(file: Path) -> str:
    """Give the SHA-256 of a file."""
    with file.open("rb") as body:
        return hashlib.file_digest(body, "sha256").hexdigest()


def settle(file: Path) -> None:
    """Wait until the medium holds the file, and forget its pages, so that the next reading is from the medium."""
    handle = os.open(file, os.O_RDWR)
    try:
        os.fsync(handle)
        if hasattr(os, "posix_fadvise"):
            os.posix_fadvise(handle, 0, 0, os.POSIX_FADV_DONTNEED)
    finally:
        os.close(handle)


class _Hashing:
    """A file that keeps nothing but the hash of what is written to it."""

    def __init__(self) -> None:
        self.digest = hashlib.sha256()

    def write(self, piece: bytes) -> int:
        self.digest.update(piece)
        return len(piece)

    def flush(self) -> None:
        """Keep nothing back."""


def _pyrage() -> Any:  # noqa: ANN401 - a module that may not be there
    try:
        import pyrage  # noqa: PLC0415 - an extra: the program runs without it
    except ImportError as error:
        raise EncryptExtraMissingError from error
    return pyrage
