"""Copies on pages: made, looked into, locked with a key that was read back, and put back with a yes to just that."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopledger.counter.pages.shop.backup_keys import WAITING
from shopledger.desk.backing_up import add_place, backup_terms, make_backup, places_of
from shopledger.desk.backup_keys import keys_of
from shopledger.desk.context import Desk
from shopledger.desk.copies import states_of
from shopledger.desk.people import add_customer
from shopledger.desk.shop import change_shop, shop_and_settings
from shopledger.ledger.parties import Address
from tests.counter.test_setting_up import bare, set_up
from tests.counter.visitor import Visitor

__all__ = ["bare"]

HOME = Address("9 Alder Row", "Millbrae", "OH", "43002")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give where copies may go."""
    return tmp_path / "stick"


def newest(desk: Desk) -> str:
    """Give the address of the page that puts the newest copy back."""
    (place,) = places_of(desk)
    (state,) = states_of((place,))
    return f"/shop/backups/copies/{place.number}/{state.copies[0].file}"


def yes(visitor: Visitor) -> str:
    """Give the yes that the page asks for; one that was given already travels along, and stands before it."""
    return str(re.findall(r'name="accept" value="([^"]+)"', visitor.text)[-1])


def test_a_place_is_added_and_a_copy_made(visitor: Visitor, desk: Desk, folder: Path) -> None:
    """The first page says how old the newest copy is; pressed twice it is made once."""
    assert "none has a place" in visitor.go("/shop/backups").words
    visitor.go("/shop/backups/places/new").send({"folder": str(folder), "away": "away"})
    assert "same disk" in visitor.words
    visitor.go("/shop/backups").send(to="", has="once", again=True)
    assert len(states_of(places_of(desk))[0].copies) == 1
    assert "of today" in visitor.go("/shop/backups").words
    assert "All 1 copies are whole" in visitor.go("/shop/backups/check").words


@pytest.mark.parametrize("wrong", ["no-such-folder/copies", "file"])
def test_what_is_wrong_with_a_folder_is_said(visitor: Visitor, desk: Desk, tmp_path: Path, wrong: str) -> None:
    """No place is kept, and what was typed stands there."""
    (tmp_path / "file").write_text("")
    visitor.go("/shop/backups/places/new").send({"folder": str(tmp_path / wrong), "away": "here"})
    assert visitor.code == 422
    assert visitor.form(has="folder").values["folder"] == [str(tmp_path / wrong)]
    assert places_of(desk) == ()


def test_a_place_that_is_not_there_is_said(visitor: Visitor, desk: Desk, folder: Path) -> None:
    """As where the stick was pulled; it may be let go."""
    add_place(desk, folder, away=True)
    folder.rename(folder.with_name("pulled"))
    assert "not there" in visitor.go("/shop/backups").words
    visitor.press(f"/shop/backups/places/{places_of(desk)[0].number}/remove")
    assert places_of(desk) == ()


def test_a_copy_that_decayed_is_told(visitor: Visitor, desk: Desk, folder: Path) -> None:
    """Looking into all of them says which."""
    add_place(desk, folder, away=True)
    (made,) = make_backup(desk)
    assert made.copy is not None
    file = folder / made.copy.file
    body = bytearray(file.read_bytes())
    body[5000] ^= 1
    file.write_bytes(body)
    assert "1 of 1 copies is not whole" in visitor.go("/shop/backups/check").words


def test_a_copy_is_put_back_with_a_yes(visitor: Visitor, desk: Desk, folder: Path) -> None:
    """First it is said what would be gone; nothing changes before the yes, and then the ledger is the copy."""
    add_place(desk, folder, away=True)
    make_backup(desk)
    before = shop_and_settings(desk)[0].name
    change_shop(desk, lambda shop, settings: (type(shop)("Another Name", shop.address, shop.phone, shop.ein), settings))
    visitor.go(newest(desk)).send({"receipt": ""})
    assert visitor.code == 422
    assert "would be gone" in visitor.words
    assert shop_and_settings(desk)[0].name == "Another Name"
    visitor.send({"accept": yes(visitor)})
    assert "The copy is the ledger now." in visitor.words
    assert shop_and_settings(desk)[0].name == before
    assert visitor.go("/").code == 200


def test_a_yes_is_to_what_was_shown(visitor: Visitor, desk: Desk, folder: Path) -> None:
    """Where something was recorded meanwhile it is asked again, with the new count."""
    add_place(desk, folder, away=True)
    make_backup(desk)
    visitor.go(newest(desk)).send({"receipt": ""})
    said = yes(visitor)
    add_customer(desk, "Bryony Saltmarsh", HOME, accept=frozenset())
    visitor.send({"accept": said})
    assert visitor.code == 422
    assert yes(visitor) != said


def test_numbers_that_were_printed_are_not_given_again(visitor: Visitor, desk: Desk, folder: Path) -> None:
    """The last one printed is typed, and the next one comes after it."""
    add_place(desk, folder, away=True)
    make_backup(desk)
    visitor.go(newest(desk)).send({"receipt": "57"})
    visitor.send({"receipt": "57", "accept": yes(visitor)})
    assert "The next receipt is 58." in visitor.words


@pytest.mark.parametrize("path", ["1/..%2f..%2fetc%2fpasswd", "1/nothing.db", "0/nothing.db", "9/nothing.db"])
def test_only_listed_copies_are_put_back(visitor: Visitor, desk: Desk, folder: Path, path: str) -> None:
    """No name from the browser leads elsewhere."""
    add_place(desk, folder, away=True)
    assert visitor.go(f"/shop/backups/copies/{path}").code == 404


def test_a_key_is_used_once_it_was_read_back(visitor: Visitor, desk: Desk, folder: Path) -> None:
    """Its paper is shown to whoever made it alone, and is gone afterwards; then copies open with the key alone."""
    add_place(desk, folder, away=True)
    visitor.go("/shop/backups").press("/shop/backups/keys/new")
    assert keys_of(desk) == ()
    waiting = visitor.client.application.config[WAITING]
    assert visitor.client.get("/shop/backups/keys/paper", base_url=visitor.home).data.startswith(b"%PDF-")
    assert waiting.key.paper.secret not in visitor.text
    visitor.go("/shop/backups/keys/read").send({"letters": "AAAAAAAA"})
    assert visitor.code == 422
    visitor.send({"letters": waiting.key.paper.secret[-8:].lower(), "holder": "Ines"})
    assert [each.holder for each in keys_of(desk)] == ["Ines"]
    assert not waiting.key.file.exists()
    assert visitor.go("/shop/backups/keys/paper").code == 404
    visitor.go("/shop/backups").send(to="", has="once")
    visitor.go(newest(desk)).send({"key": "", "receipt": ""})
    assert visitor.code == 422
    visitor.send({"key": waiting.key.paper.secret})
    assert waiting.key.paper.secret not in visitor.text
    visitor.send({"key": waiting.key.paper.secret, "accept": yes(visitor)})
    assert "The copy is the ledger now." in visitor.words


def test_a_key_that_is_not_read_is_thrown_away(visitor: Visitor, desk: Desk) -> None:
    """After a few wrong letters, or by the button, it is nowhere any more."""
    visitor.go("/shop/backups").press("/shop/backups/keys/new")
    file = visitor.client.application.config[WAITING].key.file
    for _ in range(3):
        visitor.go("/shop/backups/keys/read").send({"letters": "AAAAAAAA"})
    assert "thrown away" in visitor.words
    assert not file.exists()
    visitor.go("/shop/backups").press("/shop/backups/keys/new")
    visitor.go("/shop/backups/keys/read").press("/shop/backups/keys/drop")
    assert keys_of(desk) == ()
    assert WAITING not in visitor.client.application.config


def test_reminders_are_changed(visitor: Visitor, desk: Desk) -> None:
    """Left empty is never; less than a day is refused at its field."""
    visitor.go("/shop/backups/reminders").send({"days": "3", "away_days": ""})
    assert (backup_terms(desk).days, backup_terms(desk).away_days) == (3, None)
    visitor.go("/shop/backups/reminders").send({"days": "0"})
    assert visitor.code == 422
    assert 'href="#f-days"' in visitor.text


def test_a_new_computer_goes_on_with_a_copy(bare: Visitor, desk: Desk, folder: Path) -> None:
    """Where there is no ledger, a copy becomes it; a file that is none is refused."""
    add_place(desk, folder, away=True)
    (made,) = make_backup(desk)
    assert made.copy is not None
    other = folder / "other.db"
    other.write_bytes(b"no ledger")
    bare.go("/set-up/copy").send({"copy": str(other)})
    assert bare.code == 422
    bare.send({"copy": str(folder / made.copy.file)})
    assert bare.path == "/", bare.words
    assert set_up(bare).name == shop_and_settings(desk)[0].name


def test_other_browsers_log_in_anew_after_a_restore(visitor: Visitor, desk: Desk, folder: Path) -> None:
    """Whoever was let in by the ledger of before is not known to the other one."""
    add_place(desk, folder, away=True)
    make_backup(desk)
    other = Visitor(visitor.client.application.test_client(), visitor.station).enter()
    visitor.go(newest(desk)).send({"receipt": ""})
    visitor.send({"accept": yes(visitor)})
    assert other.go("/").code == 401
