"""Logins: names and passphrases, of which the ledger keeps a proof alone, and nobody is shown it."""

from __future__ import annotations

import pytest

from shopledger.desk.auditing import audit
from shopledger.desk.context import Desk
from shopledger.desk.logins import add_login, change_passphrase, change_role, logins, proven, remove_login
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.ledger.logins import LONGEST_WAIT, WAIT_AT_HOME, Login, Role, wait_after

WORDS = "maple drawer sings low"


def test_whoever_has_name_and_passphrase_is_proven(bare_desk: Desk) -> None:
    """The name in any case, the passphrase to the letter."""
    add_login(bare_desk, Login("Ines Okafor", Role.OWNER), WORDS)
    assert proven(bare_desk, "ines  okafor", WORDS) == Login("Ines Okafor", Role.OWNER)
    for name, words in (("Ines Okafor", WORDS.upper()), ("Ines Okafor", ""), ("Ines", WORDS), ("", "")):
        assert proven(bare_desk, name, words) is None


def test_the_ledger_keeps_no_passphrase(bare_desk: Desk) -> None:
    """The same passphrase of two people is kept as two secrets, and neither holds it."""
    add_login(bare_desk, Login("Ines", Role.OWNER), WORDS)
    add_login(bare_desk, Login("Bram", Role.COUNTER), WORDS)
    with bare_desk.reading() as work:
        first, second = work.logins.secret_of("Ines"), work.logins.secret_of("Bram")
    assert first != second
    assert all(part not in first for part in WORDS.split())


def test_changes_are_noted_without_the_secret(bare_desk: Desk) -> None:
    """Who may log in, from when, as what; never with what."""
    add_login(bare_desk, Login("Ines", Role.OWNER), WORDS)
    change_passphrase(bare_desk, "Ines", "another four words here")
    add_login(bare_desk, Login("Bram", Role.COUNTER), WORDS)
    change_role(bare_desk, "Bram", Role.OWNER)
    remove_login(bare_desk, "Bram")
    noted = [each for each in audit(bare_desk) if each.note.detail == "login"]
    assert len(noted) == 5
    with bare_desk.reading() as work:
        secret = work.logins.secret_of("Ines")
    assert secret not in repr(noted)
    assert "counter" in repr(noted)


@pytest.mark.parametrize("words", ["", "short one", "aaaaaaaaaaaaaaaa", "x" * 201, "Ines Okafor!"[:-1] + " "])
def test_a_passphrase_that_is_soon_guessed_is_refused(bare_desk: Desk, words: str) -> None:
    """Nobody is added."""
    with pytest.raises(RefusedError):
        add_login(bare_desk, Login("Ines Okafor", Role.OWNER), words)
    assert logins(bare_desk) == ()


def test_there_is_an_owner_as_long_as_anybody_may_log_in(bare_desk: Desk) -> None:
    """The first is one, and the last one goes last."""
    with pytest.raises(RefusedError):
        add_login(bare_desk, Login("Bram", Role.COUNTER), WORDS)
    add_login(bare_desk, Login("Ines", Role.OWNER), WORDS)
    add_login(bare_desk, Login("Bram", Role.COUNTER), WORDS)
    with pytest.raises(RefusedError):
        change_role(bare_desk, "Ines", Role.COUNTER)
    with pytest.raises(RefusedError):
        remove_login(bare_desk, "Ines")
    remove_login(bare_desk, "Bram")
    remove_login(bare_desk, "Ines")
    assert logins(bare_desk) == ()


def test_one_name_is_one_person(bare_desk: Desk) -> None:
    """A second of the same name is refused, whatever its case; one that is not there cannot be changed."""
    add_login(bare_desk, Login("Ines", Role.OWNER), WORDS)
    with pytest.raises(RefusedError):
        add_login(bare_desk, Login("INES", Role.OWNER), WORDS)
    with pytest.raises(UnknownNameError):
        change_passphrase(bare_desk, "Bram", WORDS)


def test_waits_grow_and_the_owner_at_home_is_never_locked_out() -> None:
    """A few tries are free, then each wait is twice the one before, up to a limit."""
    away = [wait_after(wrong, at_home=False) for wrong in range(40)]
    assert away[:6] == [0, 0, 0, 2, 4, 8]
    assert max(away) == LONGEST_WAIT
    assert away == sorted(away)
    assert max(wait_after(wrong, at_home=True) for wrong in range(40)) == WAIT_AT_HOME
