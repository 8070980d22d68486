"""What the counter in the browser needs to know of this computer: the secret of a ledger's counter."""

from __future__ import annotations

import secrets
from pathlib import Path
from typing import Final

from shopledger.errors import SetupError
from shopledger.store.outside import recall, remember, state_folder

SUBJECT: Final = "counter"
ASKS: Final = "counter asks"
SECRET_BYTES: Final = 32


class NoSecretError(SetupError):
    """The counter's secret cannot be remembered."""

    sentence = (
        "the counter's secret could not be kept in this computer's folder for such things. Free some room, or let this "
        "user write there."
    )


def certificate_file() -> Path:
    """Say where this computer keeps what proves to other computers that it is itself."""
    return state_folder() / "counter certificate.pem"


def asks_here(url: str) -> bool:
    """Tell whether this computer's own browsers are asked for name and passphrase too."""
    return recall(url, ASKS).get("asks") is True


def ask_here(url: str, *, asks: bool) -> None:
    """Have this computer's own browsers asked too, or no more."""
    if not remember(url, ASKS, {"asks": asks}):
        raise NoSecretError


def counter_secret(url: str) -> bytes:
    """Give the secret that only this user's programs on this computer know, made when it is first asked for."""
    for _ in range(2):
        found = recall(url, SUBJECT).get("secret")
        if isinstance(found, str) and len(found) == 2 * SECRET_BYTES:
            return bytes.fromhex(found)
        remember(url, SUBJECT, {"secret": secrets.token_hex(SECRET_BYTES)})
    raise NoSecretError
