"""What is printed of a job: its sheet, the records of its inspections, the maker's sheet as it was kept."""

from __future__ import annotations

from werkzeug.wrappers import Response

from shopledger.counter.addresses import paper_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import leave
from shopledger.counter.guard import session
from shopledger.counter.pages.bench.room import pages, papers_folder
from shopledger.counter.plain_words import plain
from shopledger.desk.certifying import PrintedCertificate, hand_out_makers_sheet, print_certificate, print_issued
from shopledger.desk.job_sheets import print_job_sheet


@pages.post("/jobs/<int:number>/sheet")
def print_sheet(number: int) -> Response:
    """Print a job's sheet for the bench."""
    file = print_job_sheet(desk(), number, papers_folder())
    return leave(
        paper_page(file.name),
        f"The sheet of job {number} was printed. Wear eye protection, and mind the dust of dry cutting.",
    )


@pages.post("/jobs/<int:number>/record")
def print_record(number: int) -> Response:
    """Print the record of a job's newest inspection; the first print issues it."""
    return _printed(print_certificate(desk(), number, papers_folder()))


@pages.post("/jobs/<int:number>/record-anew")
def print_record_anew(number: int) -> Response:
    """Issue a record that says what it would say today, in the place of the one before."""
    return _printed(print_certificate(desk(), number, papers_folder(), anew=True))


@pages.post("/inspection-records/<int:record>/print")
def print_record_again(record: int) -> Response:
    """Print an issued record once more."""
    return _printed(print_issued(desk(), record, papers_folder()))


@pages.post("/jobs/<int:number>/makers-sheet")
def makers_sheet(number: int) -> Response:
    """Write the maker's sheet by which a job was judged."""
    file = hand_out_makers_sheet(desk(), number, papers_folder())
    return leave(paper_page(file.name), f"The maker's sheet of job {number} was written as it was kept.")


def _printed(printed: PrintedCertificate) -> Response:
    content = printed.content
    did = "issued" if printed.first else "printed again"
    said = [f"Inspection record {content.number} of job {content.job_number} was {did}."]
    said += [f"Since inspection {content.inspection_number}, {event}." for event in printed.overtaken]
    if printed.replaced_by is not None:
        said.append(f"Inspection record {printed.replaced_by} took its place.")
    elif printed.changed:
        said.append(f"It would say otherwise today: {', '.join(printed.changed)}. It was printed as it was issued.")
    session().notices.append(plain(" ".join(said)))
    return leave(paper_page(printed.file.name))
