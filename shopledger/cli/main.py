"""The program's entry: the table of commands, and the options that stand before any of them."""

from __future__ import annotations

import gc
import io
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.group import Place, ShopGroup, columns, plain_terminal

if TYPE_CHECKING:
    from datetime import date

_CLI = "shopledger.cli"

HELP_WIDTH = 100
"""The most letters that a line of help has."""

SECTIONS = {
    "First of all": {
        "counter": Place(
            f"{_CLI}.counter:counter",
            "Open the shop in the browser: the whole day on pages, for who knows spectacles and no commands.",
        ),
        "today": Place(f"{_CLI}.today:today", "See what waits, the most urgent first."),
        "find": Place(f"{_CLI}.finding:find", "Find people, orders, jobs and all else by one field."),
    },
    "Setting up": {
        "setup": Place(f"{_CLI}.shop:setup", "Make a new ledger with the shop's name and numbers."),
        "shop": Place(f"{_CLI}.shop:shop", "Show and change the shop's name, numbers and settings."),
        "audit": Place(f"{_CLI}.auditing:audit", "See who looked at what and who changed it."),
        "changes": Place(f"{_CLI}.changes:changes", "Say what is new in this version, or since an earlier one."),
        "where": Place(f"{_CLI}.shop:where", "Say where the ledger is."),
        "backup": Place(f"{_CLI}.backup:backup", "Copy the ledger, look into copies, and put one back."),
        "verify": Place(f"{_CLI}.shop:verify", "Prove that the ledger was not changed from outside."),
        "completion": Place(
            f"{_CLI}.completion:completion", "Print what lets a shell complete words with the tab key."
        ),
        "manual": Place(f"{_CLI}.manual:manual", "Write the whole manual into a folder, to read offline."),
        "demo": Place(
            f"{_CLI}.demo:demo", "Run the whole job of an invented shop on a ledger of its own; yours is never touched."
        ),
    },
    "What is sold": {
        "catalogue": Place(f"{_CLI}.goods:catalogue", "Load the whole catalogue from files."),
        "frame": Place(f"{_CLI}.goods:frame", "Keep frames: maker, model, size and price."),
        "lens": Place(f"{_CLI}.lens:lens", "Keep lenses: design, material, what they need, price."),
        "extra": Place(f"{_CLI}.goods:extra", "Keep upgrades and coatings on lenses."),
        "accessory": Place(f"{_CLI}.goods:accessory", "Keep goods beside the glasses."),
        "offer": Place(f"{_CLI}.offers:offer", "Keep offers: what they need and what they reduce."),
        "tax": Place(f"{_CLI}.tax:tax", "Set sales tax rates, none of which is assumed, and see what is due."),
        "stock": Place(f"{_CLI}.stock:stock", "See what is on hand, record what came in or was counted."),
    },
    "People and eyes": {
        "customer": Place(f"{_CLI}.people:customer", "Add and find customers, who order and pay."),
        "wearer": Place(f"{_CLI}.people:wearer", "Add wearers, whose eyes the glasses are for."),
        "erasure": Place(f"{_CLI}.erasing:erasure", "See who was erased, and erase again after a restore."),
        "prescriber": Place(f"{_CLI}.people:prescriber", "Add and list prescribers."),
        "prescription": Place(f"{_CLI}.prescription:prescription", "Record and check prescriptions."),
        "trace": Place(f"{_CLI}.trace:trace", "Keep the measured shapes of frames."),
    },
    "Selling": {
        "sale": Place(f"{_CLI}.sale:sale", "Record, show and ship orders."),
        "parcel": Place(f"{_CLI}.parcel:parcel", "See parcels, take back what came back, send it again."),
        "payment": Place(f"{_CLI}.payments:payment", "Take payments on orders, and put them right."),
        "refund": Place(f"{_CLI}.payments:refund", "Give money back on orders."),
        "fix": Place(f"{_CLI}.fix:fix", "Say what can be done about something that was recorded."),
        "receipt": Place(f"{_CLI}.receipt:receipt", "Issue claim receipts, and print them again."),
        "paper": Place(f"{_CLI}.paper:paper", "Print statements, worksheets, slips, confirmations, quotes, years."),
        "reorder": Place(f"{_CLI}.reorder:reorder", "Order new lenses for a frame from its stored shape."),
        "draft": Place(f"{_CLI}.drafts:draft", "See orders prepared but not recorded, and record them."),
        "month": Place(f"{_CLI}.month:month", "See a month's figures, write its workbook, and close it."),
        "year": Place(f"{_CLI}.year:year", "See a year on Schedule C and its balance sheet, write its workbook."),
    },
    "Money": {
        "supplier": Place(f"{_CLI}.bill:supplier", "Keep suppliers: who sends goods, lab work and bills."),
        "bill": Place(f"{_CLI}.bill:bill", "Record suppliers' bills with the goods they bring, and pay them."),
        "deposit": Place(f"{_CLI}.payments:deposit", "Take money before there is an order, and hand it back."),
        "spend": Place(f"{_CLI}.spend:spend", "Record what was spent, with its receipt."),
        "money": Place(f"{_CLI}.money:money", "Record payouts, banking, the owner's money, sales tax handed on."),
        "bank": Place(f"{_CLI}.bank:bank", "Take in the bank's statements, match them, reconcile the month."),
        "processor": Place(
            f"{_CLI}.processor:processor", "Take in the card processor's reports, record its payouts, compare."
        ),
        "adjust": Place(f"{_CLI}.adjust:adjust", "Post adjusting entries by account: depreciation, loans, accruals."),
        "equipment": Place(f"{_CLI}.equipment:equipment", "List equipment, and record what became of it."),
        "payee": Place(f"{_CLI}.payee:payee", "Keep the W-9s of payees, list who may need a 1099."),
        "void": Place(f"{_CLI}.void:void", "Void what was recorded by mistake."),
    },
    "At the bench": {
        "job": Place(f"{_CLI}.job:job", "See the open jobs, order their lenses, print and inspect."),
    },
    "Working things out (no ledger needed)": {
        "claim": Place(f"{_CLI}.claim_codes:claim", "Look up claim codes for lenses."),
        "optics": Place(f"{_CLI}.optics:optics", "Work out lens figures."),
    },
}
"""Every command under the heading it stands below in the help."""

ALONE = ("today", "--choose")
"""What the bare name of the program stands for at a terminal."""

FORMER = {"take-back": "void"}
"""What a command was called before."""


def _day(ctx: click.Context, param: click.Parameter, typed: str | None) -> date | None:
    """Read the day that is taken for today; the reader is imported only where one was typed, for the help's sake."""
    if typed is None:
        return None
    from shopledger.cli.params import DAY

    return DAY.convert(typed, param, ctx)


@click.command(
    cls=ShopGroup,
    sections=SECTIONS,
    former=FORMER,
    alone=ALONE,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": HELP_WIDTH},
    epilog="Every command says with --help what it takes. Start with 'shopledger setup'.",
)
@click.option(
    "--ledger",
    metavar="PATH",
    envvar="SHOPLEDGER_LEDGER",
    show_envvar=True,
    help="The ledger: a file, or the address of a PostgreSQL database. Otherwise the one in your data folder.",
)
@click.option(
    "--operator",
    metavar="NAME",
    envvar="SHOPLEDGER_OPERATOR",
    show_envvar=True,
    help="Your name, kept with every entry. Otherwise the name of your account on this computer.",
)
@click.option(
    "--today",
    metavar="DAY",
    callback=_day,
    help="Take this day for today: for trying things out and for late entries. Days are typed as 2026-03-02, 3/2/26, "
    "2 Mar 2026, yesterday or monday, which is the last one before today.",
)
@click.option("--version", is_flag=True, help="Say the version of the program, of its tables and of the ledger.")
@click.pass_context
def shop(ctx: click.Context, ledger: str | None, operator: str | None, today: date | None) -> None:
    """Keep the books of a spectacle shop: sales, prescriptions, frame shapes, claim receipts, months."""
    from shopledger.cli.context import Run, Surroundings

    around = ctx.obj if isinstance(ctx.obj, Surroundings) else Surroundings()
    now = around.clock()
    ctx.obj = Run(ledger, operator, now, today or now.date(), around.can_ask(), around.hands)
    if plain_terminal():
        ctx.color = False


def _fill_streams() -> None:
    """Put the empty device in the place of a closed stream: the next file opened would be taken for it otherwise."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, Path(os.devnull).open(mode, encoding="utf-8"))  # noqa: SIM115 - open as long as the program runs


def main() -> None:
    """Run the program: new files are the user's alone, and no letter of a name can stop the output."""
    os.umask(0o077)
    # A command lives for a moment: searching for lost objects while modules are imported costs more than it finds.
    gc.set_threshold(1_000_000)
    _fill_streams()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="replace")
    # Asked here, the width of the help costs no import.
    width = max(min(columns(sys.__stdout__), HELP_WIDTH) - 2, 50)
    shop(prog_name="shopledger", terminal_width=width)
