"""Who may come to the counter from another computer: added, changed, taken away, and proven by a passphrase."""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from threading import Lock
from typing import TYPE_CHECKING, Final

from shopledger.errors import RefusedError, UnknownNameError
from shopledger.ledger.logins import Login, Role, hold_passphrase

if TYPE_CHECKING:
    from shopledger.desk.context import Desk

COST, BLOCK, LANES = 2**15, 8, 1
"""What one try costs (RFC 7914): 32 MiB and some 50 ms."""
SALT_BYTES: Final = 16
PROOF_BYTES: Final = 32
_AT_ONCE: Final = Lock()
"""One try at a time, so that many at once do not take all memory."""
_NOBODY: Final = "scrypt.AAAAAAAAAAAAAAAAAAAAAA==.AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA="
"""Tried for a name that there is not, so that it takes as long as for one that there is."""


def logins(desk: Desk) -> tuple[Login, ...]:
    """Give who may log in."""
    with desk.reading() as work:
        return work.logins.all()


def proven(desk: Desk, name: str, passphrase: str) -> Login | None:
    """Give who has that name and passphrase, or None; either takes the same time."""
    with desk.reading() as work:
        found, secret = work.logins.called(name), work.logins.secret_of(name)
    right = _fits(passphrase, secret or _NOBODY)
    return found if right else None


def add_login(desk: Desk, new: Login, passphrase: str) -> Login:
    """Let somebody log in."""
    secret = _secret_of(hold_passphrase(passphrase, new.name))
    with desk.writing() as work:
        if work.logins.called(new.name) is not None:
            raise RefusedError("operator", new.name, "there is one of that name", "Take another, or change that one.")
        if new.role is not Role.OWNER and not _owners(work.logins.all()):
            raise RefusedError("role", new.role.value, "the first who may log in is an owner", "Choose the owner.")
        work.logins.add(new, secret)
    return new


def change_role(desk: Desk, name: str, role: Role) -> Login:
    """Change what somebody may do."""
    with desk.writing() as work:
        before = _called(work.logins.called(name), name)
        new = Login(before.name, role)
        _refuse_no_owner([new if each == before else each for each in work.logins.all()])
        work.logins.change(before, new)
        return new


def change_passphrase(desk: Desk, name: str, passphrase: str) -> Login:
    """Give somebody another passphrase."""
    secret = _secret_of(hold_passphrase(passphrase, name))
    with desk.writing() as work:
        found = _called(work.logins.called(name), name)
        work.logins.change(found, found, secret)
        return found


def remove_login(desk: Desk, name: str) -> Login:
    """Let somebody log in no more; what was recorded keeps the name."""
    with desk.writing() as work:
        gone = _called(work.logins.called(name), name)
        left = [each for each in work.logins.all() if each != gone]
        if left:
            _refuse_no_owner(left)
        work.logins.remove(gone)
        return gone


def _called(found: Login | None, name: str) -> Login:
    if found is None:
        raise UnknownNameError("operator", name)
    return found


def _owners(found: tuple[Login, ...] | list[Login]) -> list[Login]:
    return [each for each in found if each.role is Role.OWNER]


def _refuse_no_owner(left: list[Login]) -> None:
    if not _owners(left):
        raise RefusedError(
            "role", "nobody is an owner then", "one at least may do all", "Make another one owner first."
        )


def _secret_of(passphrase: str) -> str:
    salt = secrets.token_bytes(SALT_BYTES)
    return ".".join(("scrypt", _written(salt), _written(_worked_out(passphrase, salt))))


def _fits(passphrase: str, secret: str) -> bool:
    _, salt, proof = secret.split(".")
    return hmac.compare_digest(_worked_out(passphrase, base64.b64decode(salt)), base64.b64decode(proof))


def _worked_out(passphrase: str, salt: bytes) -> bytes:
    with _AT_ONCE:
        return hashlib.scrypt(
            passphrase.encode("utf-8", "replace"),
            salt=salt,
            n=COST,
            r=BLOCK,
            p=LANES,
            maxmem=2 * 128 * COST * BLOCK,
            dklen=PROOF_BYTES,
        )


def _written(value: bytes) -> str:
    return base64.b64encode(value).decode("ascii")
