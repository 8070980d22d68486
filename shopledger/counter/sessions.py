"""Who is let in: keys that open once, and the browsers that they let in, each with a proof of its own for its forms."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from threading import Lock

from shopledger.ledger.logins import Login, Role, folded

KEY_BYTES = 32
KEY_MINUTES = 5
"""How long a key opens that nobody used."""


@dataclass(slots=True)
class Session:
    """A browser that was let in."""

    number: str
    """Its secret name, which its cookie holds."""
    token: str
    """What its forms carry, so that no other page can send one."""
    operator: str
    began: datetime
    last: datetime
    device: str = ""
    role: Role = Role.OWNER
    away: bool = False
    """Whether it is at another computer."""
    logged_in: bool = False
    """Whether it came by name and passphrase, and not by a key."""
    place: int = 0
    """By which it is named in lists; it opens nothing."""
    notices: list[str] = field(default_factory=list)
    """What is said on the next page, once."""


class Sessions:
    """The browsers that are let in; each may be shown the door."""

    def __init__(self, secret: bytes, idle: timedelta) -> None:
        self._secret = secret
        self._idle = idle
        self._open: dict[str, Session] = {}
        self._used: dict[str, datetime] = {}
        self._lock = Lock()
        self._count = 0

    def let_in_by_key(self, key: str, operator: str, now: datetime, device: str = "") -> Session | None:
        """Let a browser in that has a key which nobody used before."""
        if not opens(self._secret, key, now):
            return None
        with self._lock:
            if key in self._used:
                return None
            self._used[key] = now
            oldest = now - timedelta(minutes=2 * KEY_MINUTES)
            self._used = {each: when for each, when in self._used.items() if when > oldest}
        return self.let_in(operator, now, device)

    def let_in(self, operator: str, now: datetime, device: str = "") -> Session:
        """Let a browser in, under a name that it did not choose."""
        return self._opened(_new(operator, now, device))

    def let_in_by_login(self, login: Login, now: datetime, device: str = "", *, away: bool) -> Session:
        """Let somebody in who was proven by a passphrase."""
        new = _new(login.name, now, device)
        new.role, new.away, new.logged_in = login.role, away, True
        return self._opened(new)

    def _opened(self, new: Session) -> Session:
        self._count += 1
        new.place = self._count
        with self._lock:
            self._open[new.number] = new
        return new

    def of(self, number: str, now: datetime) -> Session | None:
        """Give the session that a cookie names; None where there is none, or nobody used it for long."""
        with self._lock:
            found = next((each for name, each in self._open.items() if hmac.compare_digest(name, number)), None)
            if found is None:
                return None
            if now - found.last > self._idle:
                del self._open[found.number]
                return None
            found.last = now
            return found

    def end(self, number: str) -> None:
        """Show a browser the door."""
        with self._lock:
            self._open.pop(number, None)

    def end_of(self, operator: str, but: str = "") -> None:
        """Show every browser the door in which somebody logged in, but for one."""
        with self._lock:
            for each in tuple(self._open.values()):
                if each.logged_in and folded(each.operator) == folded(operator) and each.number != but:
                    del self._open[each.number]

    def end_everything(self, but: str = "") -> None:
        """Show every browser the door, but for one."""
        with self._lock:
            self._open = {number: each for number, each in self._open.items() if number == but}

    def all(self) -> tuple[Session, ...]:
        """Give all that are open, the newest first."""
        with self._lock:
            return tuple(sorted(self._open.values(), key=lambda each: each.began, reverse=True))


def _new(operator: str, now: datetime, device: str) -> Session:
    return Session(secrets.token_urlsafe(KEY_BYTES), secrets.token_urlsafe(KEY_BYTES), operator, now, now, device)


def new_key(secret: bytes, now: datetime) -> str:
    """Make a key that opens once, for a few minutes."""
    said = f"{int(now.timestamp())}.{secrets.token_urlsafe(KEY_BYTES)}"
    return f"{said}.{signed(secret, said)}"


def opens(secret: bytes, key: str, now: datetime) -> bool:
    """Tell whether a key was made with a secret, not long ago."""
    said, _, proof = key.rpartition(".")
    made = said.partition(".")[0]
    if not (hmac.compare_digest(signed(secret, said), proof) and made.isdigit()):
        return False
    return abs(now.timestamp() - int(made)) <= KEY_MINUTES * 60


def signed(secret: bytes, said: str) -> str:
    """Prove that whoever says something knows the secret."""
    return hmac.new(secret, said.encode(), hashlib.sha256).hexdigest()
