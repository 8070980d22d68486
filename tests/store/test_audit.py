"""The audit: each note goes on from the one before it, changes keep both values, and old notes may go."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime
from importlib.metadata import version
from pathlib import Path

import pytest
from alembic import command

import shopledger
from shopledger.errors import StoreError
from shopledger.ledger.audit import BEGINNING, Deed, Looks, Note, Outcome, Subject, differences
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.parties import Address, Customer
from shopledger.ledger.settings import Settings
from shopledger.store.guards import lift_guards, set_guards
from shopledger.store.migrate import alembic_config
from shopledger.store.opening import Ledger, open_ledger
from shopledger.store.revision import PROGRAM, Upgrading
from tests.rows import rows
from tests.shelf import OHIO, SHOP, WREN
from tests.store.samples import NOW, OPERATOR, furnish
from tests.store.test_migrations import connected

EXPECTED = "df67f7ae54ca58717999abd9636ff9c6bfdb1fe1380a5d7cb4dab078a2fbc702"
HOME = Address("1 Elm Way", "Columbus", "OH", "43002")


@pytest.fixture
def noted(ledger: Ledger) -> Ledger:
    """Give a ledger with four notes, the first two of years ago."""
    furnish(ledger)
    for day, deed in (
        (datetime(2019, 5, 1, tzinfo=UTC), Deed.LOOKED_AT_PRESCRIPTION),
        (datetime(2019, 6, 1, tzinfo=UTC), Deed.PRINTED_RECEIPT),
        (NOW, Deed.LOOKED_AT_PRESCRIPTION),
        (NOW, Deed.EXPORTED_PERIOD),
    ):
        with ledger.writing(OPERATOR, day) as work:
            work.audit.note(deed, Subject.PRESCRIPTION, 1)
    return ledger


def meddle(ledger: Ledger, said: str) -> None:
    """Change the notes past the program, guards lifted and set again."""
    with ledger.writing(OPERATOR, NOW) as work:
        lift_guards(work.transaction.connection)
        work.transaction.connection.exec_driver_sql(said)
        set_guards(work.transaction.connection)


def wrong(ledger: Ledger) -> list[str]:
    """Give what the proof of the audit names."""
    with ledger.reading() as work:
        return [str(each) for each in work.audit_trail.proof().differences]


def test_a_note_says_who_what_when_where_and_with_what(noted: Ledger) -> None:
    """No name, no power, no free text: a deed of the closed list, and its subject by kind and number."""
    with noted.reading() as work:
        note = work.audit_trail.shown()[0].note
    assert (note.number, note.deed, note.subject, note.outcome) == (
        4, Deed.EXPORTED_PERIOD, "prescription 1", Outcome.DONE,
    )  # fmt: skip
    assert (note.operator, note.recorded_at, note.program) == (OPERATOR, "2026-03-02T15:04:05+00:00", PROGRAM)
    assert note.machine


def test_the_programs_version_is_the_packages() -> None:
    """What notes say is what was installed."""
    assert version(shopledger.__name__) == PROGRAM


def test_the_hash_of_a_note_is_over_the_one_before_and_all_that_it_says() -> None:
    """SHA-256 of the listed values as JSON; worked out with sha256sum from the text in the comment."""
    # ["000…0",1,"looked at a prescription","prescription",3,"done","",null,"","desk","0.1.0","Ines",
    # "2026-03-02T15:04:05+00:00"], without the break between the lines
    note = Note(
        1, Deed.LOOKED_AT_PRESCRIPTION, Subject.PRESCRIPTION, 3, machine="desk", program="0.1.0", operator="Ines",
        recorded_at="2026-03-02T15:04:05+00:00",
    )  # fmt: skip
    assert note.hash_after(BEGINNING) == EXPECTED
    assert replace(note, operator="Ilse").hash_after(BEGINNING) != EXPECTED


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("UPDATE audit_note SET operator = 'nobody' WHERE number = 2", "audit note 2"),
        ("UPDATE audit_note SET recorded_at = '2020-01-01T00:00:00+00:00' WHERE number = 4", "audit note 4"),
        ("DELETE FROM audit_note WHERE number = 2", "audit note 2"),
        ("DELETE FROM audit_note WHERE number = 4", "audit note 4"),
    ],
)
def test_a_changed_or_missing_note_is_named(noted: Ledger, said: str, named: str) -> None:
    """Whoever wrote it past the program, the first one or the last."""
    assert wrong(noted) == []
    meddle(noted, said)
    assert named in " ".join(wrong(noted))


def test_old_notes_go_and_the_chain_goes_on(noted: Ledger) -> None:
    """The hash of the last that went is kept; newer ones stay guarded; when the first was written is still known."""
    with noted.writing(OPERATOR, NOW) as work:
        done = work.audit_trail.prune(date(2020, 3, 1))
        assert done is not None
        assert (done.last, done.many) == (2, 2)
        assert work.audit.first_day() == date(2019, 5, 1)
    assert wrong(noted) == []
    with noted.writing(OPERATOR, NOW) as work:
        assert work.audit_trail.prune(date(2020, 3, 1)) is None
        work.audit.note(Deed.LOOKED_AT_PRESCRIPTION, Subject.PRESCRIPTION, 1)
    assert wrong(noted) == []
    with noted.reading() as work:
        assert [str(each) for each in work.proofs.counters().differences] == []
        assert [str(each) for check in work.proofs.seals() for each in check.differences] == []
    with pytest.raises(StoreError, match="never changed or deleted"), noted.writing(OPERATOR, NOW) as work:
        work.transaction.connection.exec_driver_sql("DELETE FROM audit_note WHERE number = 3")


def test_changes_keep_the_old_and_the_new_value_field_by_field(ledger: Ledger) -> None:
    """Of customers, the shop, suppliers, the catalogue and tax rates alike; what stayed is not repeated."""
    furnish(ledger)
    with ledger.writing(OPERATOR, NOW) as work:
        work.shop.save(SHOP)
        work.shop.save_settings(Settings())
        work.suppliers.add(Supplier("Pellerin"))
        work.catalogue.set_tax_rate(OHIO[0])
    with ledger.writing(OPERATOR, NOW) as work:
        moved = replace(work.customers.get(1), phone="", address=replace(HOME, city="Barre"))
        work.customers.change(moved)
        work.shop.save(replace(SHOP, phone="555-0199"))
        work.shop.save_settings(Settings(paper="a4"))
        work.suppliers.change(Supplier("Pellerin", phone="555-0164", number=1))
        work.catalogue.change_frame(replace(WREN, price=1))
        work.catalogue.set_tax_rate(replace(OHIO[0], rate=10_000))
    with ledger.reading() as work:
        told = {
            noted.note.subject: {each.field: (each.old_value, each.new_value) for each in noted.changes}
            for noted in work.audit_trail.shown(deed=Deed.CHANGED)
        }
    assert told["customer 1"]["phone"] == ("555-0142", "")
    assert told["customer 1"]["address.city"] == ("Millbrae", "Barre")
    assert set(told["customer 1"]) == {"phone", "address.street", "address.city"}
    assert told["supplier 1"] == {"phone": ("", "555-0164")}
    assert told["frame 1 WREN-52"] == {"price": ("18000", "1")}
    assert told["tax rate OH prescription eyewear 2020-01-01"] == {"rate": ("0", "10000")}
    assert told["shop"] in ({"paper": ("letter", "a4")}, {"phone": ("555-0100", "555-0199")})


def test_only_what_differs_is_told() -> None:
    """Records inside records by their path, nothing as nothing."""
    one = Customer("Ann", HOME, number=2)
    assert differences(one, one) == ()
    (changed,) = differences(one, replace(one, printed_name="A."))
    assert (changed.field, changed.old_value, changed.new_value) == ("printed_name", "", "A.")


def test_notes_are_counted_by_operator(noted: Ledger) -> None:
    """Looks at prescriptions, receipts and exports, in a span of days."""
    with noted.reading() as work:
        assert work.audit_trail.counted(date(2026, 3, 1), date(2026, 3, 31)) == (Looks(OPERATOR, 1, 0, 1),)
        assert work.audit_trail.counted(date(2019, 6, 1), date(2019, 6, 30)) == (Looks(OPERATOR, 0, 1, 0),)
        assert work.audit_trail.counted(date(2020, 1, 1), date(2020, 1, 31)) == ()
    assert Looks("Ines", 41, 0, 3).sentence == "prescriptions looked at 41 times, 3 exports by Ines"


def test_notes_of_before_are_taken_over_and_chained(ledger_address: str) -> None:
    """Two texts become a deed, a kind and a number; what the list does not know stays readable."""
    with connected(ledger_address, migrating=True) as connection, connection.begin():
        command.downgrade(alembic_config(connection), "20261127_copies")
        old = (
            ("looked at a prescription", "prescription 7"), ("accepted CASH-SHORT", "bill payment 2"),
            ("accepted NO-PROOF", "voiding of expense 3"), ("changed frame", "WREN-52"),
            ("issued a certificate", "certificate 4 of job 9"), ("handed a year over", "2026: inventory"),
            ("changed a wearer", "wearer 3"), ("set up the shop", "Pebble Optics"), ("hummed", "a tune"),
        )  # fmt: skip
        for number, (deed, subject) in enumerate(old, start=1):
            connection.exec_driver_sql(
                "INSERT INTO audit_note (number, deed, subject, operator, recorded_at, seal) "  # noqa: S608 - above
                f"VALUES ({number}, '{deed}', '{subject}', 'Ines', '2026-03-02T10:00:00+00:00', 1)"
            )
        connection.exec_driver_sql("UPDATE counter SET last = 9 WHERE name = 'audit'")
    with closing(open_ledger(ledger_address, Upgrading(NOW))) as ledger, ledger.reading() as work:
        found = [(row.deed, row.subject_kind, row.subject_number, row.detail) for row in rows(work, "audit_note")]
        proof = work.audit_trail.proof()
    assert found == [
        ("looked at a prescription", "prescription", 7, ""), ("accepted a warning", "bill payment", 2, "CASH-SHORT"),
        ("accepted a warning on voiding", "expense", 3, "NO-PROOF"), ("changed", "frame", None, "WREN-52"),
        ("issued a certificate", "certificate", 4, "job 9"), ("handed a year over", "period", None, "2026: inventory"),
        ("changed", "wearer", 3, ""), ("set up the shop", "shop", None, ""),
        ("changed", "ledger", None, "hummed: a tune"),
    ]  # fmt: skip
    assert (proof.checked, proof.differing) == (9, 0)


def test_every_deed_of_the_list_is_done_somewhere() -> None:
    """A deed that nothing notes would be a promise."""
    folder = Path(shopledger.__path__[0])
    files = [file for file in folder.rglob("*.py") if file != folder / "ledger" / "audit.py"]
    source = "".join(file.read_text(encoding="utf-8") for file in files)
    assert [deed.name for deed in Deed if f"Deed.{deed.name}" not in source] == []
