"""Papers on pages: listed, shown, handed out; nothing beside them is."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.counter.guard import HEADERS, PAPER_POLICY
from shopledger.counter.station import Station
from tests.counter.visitor import Visitor

PDF = b"%PDF-1.7\n"


@pytest.fixture
def folder(station: Station) -> Path:
    """Give the folder with a paper, a sheet and what is none of the counter's."""
    (station.papers / "receipt-00012.pdf").write_bytes(PDF)
    (station.papers / "month-2026-03.xlsx").write_bytes(b"PK")
    (station.papers / "notes.exe").write_bytes(b"MZ")
    (station.papers / "linked.pdf").symlink_to("/etc/hostname")
    (station.all_papers / "secret.pdf").write_bytes(PDF)
    return station.papers


def test_papers_are_listed_and_shown(visitor: Visitor, folder: Path) -> None:
    """The newest first, each with a page that shows it."""
    said = visitor.go("/papers").words
    assert folder.parent.name in said
    assert "receipt-00012.pdf" in said
    assert "notes.exe" not in said
    assert 'data="/papers/receipt-00012.pdf/file"' in visitor.go("/papers/receipt-00012.pdf").text


@pytest.mark.usefixtures("folder")
def test_a_paper_is_shown_by_the_browser_itself(visitor: Visitor) -> None:
    """As a PDF, within a page of the counter alone, under the name of its file; nothing runs in it."""
    answer = visitor.client.get("/papers/receipt-00012.pdf/file", base_url=visitor.home)
    assert answer.data == PDF
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Content-Disposition"] == "inline; filename=receipt-00012.pdf"
    assert answer.headers["Content-Security-Policy"] == PAPER_POLICY
    assert "script" not in PAPER_POLICY
    assert answer.headers["X-Content-Type-Options"] == HEADERS["X-Content-Type-Options"]
    answer.close()


@pytest.mark.usefixtures("folder")
def test_a_sheet_is_handed_out_to_keep(visitor: Visitor) -> None:
    """No browser opens it in its own place."""
    answer = visitor.client.get("/papers/month-2026-03.xlsx/file", base_url=visitor.home)
    assert answer.headers["Content-Disposition"].startswith("attachment")
    answer.close()


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize(
    "name",
    [
        *("notes.exe", "linked.pdf", "missing.pdf", "..%2fsecret.pdf", "..", ".", "%2e%2e/secret.pdf"),
        *("receipt-00012.pdf%00", "-receipt.pdf", ".hidden.pdf", "a" * 200 + ".pdf", "..\\secret.pdf"),
    ],
)
def test_nothing_else_is_given_out(visitor: Visitor, name: str) -> None:
    """Neither what lies elsewhere, nor what leads elsewhere, nor what no paper is called."""
    for path in (f"/papers/{name}", f"/papers/{name}/file"):
        assert visitor.client.get(path, base_url=visitor.home).status_code == 404
