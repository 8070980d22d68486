"""Keys of encrypted copies: made, printed, read back from the paper, and only then used."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from flask import Response, abort, current_app
from werkzeug.wrappers import Response as AnyResponse

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill, leave
from shopledger.counter.forms.fields import form, line, secret
from shopledger.counter.forms.filled import Values
from shopledger.counter.guard import PAPER_POLICY, session
from shopledger.counter.pages.shop.part import BOTH, pages
from shopledger.desk.backup_keys import NewKey, add_key, print_new_key, remove_key
from shopledger.errors import RefusedError
from shopledger.ledger.papers.backup_key import ASKED_BACK

MOST_TRIES: Final = 3
WAITING: Final = "NEW_BACKUP_KEY"
READ: Final = secret(
    "letters", f"The last {ASKED_BACK} letters of the secret key", purpose="off", hint="As they stand on the paper."
)
HOLDER: Final = line("holder", "Who keeps the paper", needed=False, width="middle")


@dataclass(slots=True)
class Waiting:
    """A key that was made and not read back yet: it is in memory, and on a paper in a folder that goes with it."""

    key: NewKey
    folder: tempfile.TemporaryDirectory[str]
    whose: str
    tries: int = 0


@pages.post("/backups/keys/new")
def new_backup_key() -> AnyResponse:
    """Make a key and its paper; nothing is encrypted with it before it was read back."""
    _throw_away()
    folder = tempfile.TemporaryDirectory(prefix="shopledger-key-")
    current_app.config[WAITING] = Waiting(print_new_key(desk(), Path(folder.name)), folder, session().number)
    return leave("/shop/backups/keys/read")


@pages.get("/backups/keys/paper")
def backup_key_paper() -> Response:
    """Show the paper of a key that was just made."""
    headers = {
        "Content-Disposition": 'inline; filename="backup-key.pdf"',
        "Content-Security-Policy": PAPER_POLICY,
    }
    return Response(_waiting().key.file.read_bytes(), mimetype="application/pdf", headers=headers)


@pages.route("/backups/keys/read", methods=BOTH)
def read_backup_key() -> Answer:
    """Have the last letters typed from the paper, and use the key from then on."""
    waiting = _waiting()

    def store(values: Values) -> Done:
        if not waiting.key.paper.was_read(values.of(READ)):
            waiting.tries += 1
            if waiting.tries >= MOST_TRIES:
                _throw_away()
                return Done("/shop/backups", "Those were not its last letters. The key was thrown away; make another.")
            raise RefusedError("letters", "others", "they are the last ones on the paper", "Look at the paper again.")
        add_key(desk(), waiting.key.paper.public, values.text(HOLDER))
        _throw_away()
        return Done("/shop/backups", "Copies are encrypted from now on. Keep the paper where the copies are not.")

    return fill(form(READ, HOLDER), store, "shop/key.html")


@pages.post("/backups/keys/drop")
def drop_backup_key() -> AnyResponse:
    """Throw a key away that was just made."""
    _throw_away()
    return leave("/shop/backups", "The key was thrown away; a paper with it opens nothing.")


@pages.post("/backups/keys/<public>/remove")
def remove_backup_key(public: str) -> AnyResponse:
    """Encrypt new copies with a key no more."""
    remove_key(desk(), public)
    return leave("/shop/backups", "New copies are not encrypted with that key any more; those of before still are.")


def _waiting() -> Waiting:
    found: Waiting | None = current_app.config.get(WAITING)
    if found is None or found.whose != session().number:
        abort(404)
    return found


def _throw_away() -> None:
    waiting: Waiting | None = current_app.config.pop(WAITING, None)
    if waiting is not None:
        waiting.folder.cleanup()
