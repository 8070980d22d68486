"""Draws the README's pictures of pages: a ledger of its own, a counter over it, Chromium before both.

python demo/pictures/pages.py FOLDER    writes today.png and sale.png there; needs what `sh tests/run browser` installs
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Final
from urllib.parse import urljoin

from PIL import Image
from playwright.sync_api import sync_playwright

if TYPE_CHECKING:
    from playwright.sync_api import Page

DEMO: Final = Path(__file__).resolve().parents[1]
PROGRAM: Final = (sys.executable, "-m", "shopledger")
DAY: Final = "2026-03-11"
"""The day of the pictures."""
COLOURS: Final = 64
WIDTH: Final = 1200
HEIGHT: Final = 1255

BEFORE: Final = f"""
2026-03-02 setup --from {DEMO}/shop.toml
2026-03-02 catalogue load {DEMO}/catalogue
2026-03-02 customer add --name "Odalys Fernhollow" --street "18 Tansy Lane" --city Millbrae --state OH --zip 43002
2026-03-02 wearer add --customer Fernhollow --name "Wren Fernhollow" --relationship child --born 2015-05-09
2026-03-02 prescriber add --name "Dr. Imre Castellane" --phone 555-0177
2026-03-02 prescription add --customer Fernhollow --wearer Odalys --prescriber Castellane --written 2026-02-20 \
--expires 2028-02-20 --right "-2.50 -1.25 x 090 add 2.00" --left "-2.25 -1.00 x 085 add 2.00"
2026-03-02 prescription add --customer Fernhollow --wearer Wren --prescriber Castellane --written 2026-02-20 \
--expires 2028-02-20 --right "-1.00 DS" --left "-1.25 -0.50 x 010"
2026-03-02 trace add PELLOW-52 {DEMO}/traces/pellow-52.txt --device "bench tracer"
2026-03-02 sale record --from {DEMO}/orders/family.toml
2026-03-02 supplier add --name "Brightwater Lens Works"
2026-03-02 supplier add --name "Tollgate Frames"
2026-03-02 bill record Tollgate --invoice TG-4471 --due 2026-03-16 --stock QUARN-50=3@41.00 --freight 14.00
2026-03-03 job order-lenses 3 --from Brightwater --expected 2026-03-09 --into FOLDER
2026-03-04 payment take 1 --amount 699.28 --method check --reference 1187
2026-03-06 customer add --name "Bram Ollerenshaw-Pike" --street "5 Quarry Steps" --city Northwick --state VT --zip 05601
2026-03-06 sale record --customer Ollerenshaw --accessory CLEAN-KIT=2 --accessory CORD --pay 36.57 --method cash
2026-03-06 sale record --customer Ollerenshaw --accessory CORD
2026-03-06 sale ship 3 --carrier post
2026-03-09 customer add --name "Tamsin Quarrender" --street "9 Alder Row" --city Millbrae --state OH --zip 43002
2026-03-09 prescription add --customer Quarrender --wearer Tamsin --prescriber Castellane --written 2026-03-04 \
--expires 2028-03-04 --right "-1.75 -0.50 x 012" --left "-1.50 -0.75 x 168"
"""
"""What the shop did before, each line with its day."""

TYPED: Final = (
    ("p1_frame", "PELLOW-52"),
    ("p1_pd", "31 31.5"),
    ("p1_heights", "19"),
)
"""What somebody types into the page of the sale."""


def furnish(ledger: Path, folder: Path) -> None:
    """Do what the shop did before."""
    for line in BEFORE.strip().splitlines():
        day, words = line.split(" ", 1)
        typed = shlex.split(words.replace("FOLDER", str(folder)))
        whole = [*PROGRAM, "--ledger", str(ledger), "--operator", "Ina", "--today", day, *typed]
        subprocess.run(whole, check=True, stdout=subprocess.DEVNULL)


def open_counter(ledger: Path, folder: Path) -> tuple[subprocess.Popen[str], str]:
    """Start the counter, and give it with the address of its page."""
    words = [*PROGRAM, "--ledger", str(ledger), "--operator", "Ina", "--today", DAY, "counter", "--no-browser"]
    running = subprocess.Popen([*words, "--papers", str(folder)], stderr=subprocess.PIPE, text=True)
    for line in running.stderr or ():
        found = re.search(r"http://\S+", line)
        if found:
            return running, found[0]
    message = "the counter said no address"
    raise RuntimeError(message)


def type_sale(page: Page) -> None:
    """Fill in a sale as far as the picture shows it."""
    page.goto(urljoin(page.url, "/sale/3"))
    for name, text in TYPED:
        page.fill(f"[name={name}]", text)
    page.select_option("[name=p1_lens]", "SV-160")
    page.check("[name=p1_extras][value=AR-HARD]")
    with page.expect_response("**/live"):
        page.press("[name=p1_pd]", "Tab")
    page.wait_for_timeout(1_500)


def keep(page: Page, place: Path) -> None:
    """Keep what is seen, in few colours."""
    page.evaluate("document.activeElement.blur()")
    page.evaluate("window.scrollTo(0, 0)")
    page.screenshot(path=place)
    with Image.open(place) as seen:
        few = seen.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(place, optimize=True)


def main(into: Path) -> None:
    """Draw both."""
    chromium = shutil.which("chromium") or shutil.which("google-chrome")
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        furnish(folder / "shop.db", folder)
        running, address = open_counter(folder / "shop.db", folder / "papers")
        try:
            with sync_playwright() as driving:
                # Whoever runs as root, as in many containers, gets no sandbox of Chromium's.
                words = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
                browser = driving.chromium.launch(executable_path=chromium, args=words)
                page = browser.new_page(viewport={"width": WIDTH, "height": HEIGHT})
                page.goto(address)
                keep(page, into / "today.png")
                type_sale(page)
                keep(page, into / "sale.png")
                browser.close()
        finally:
            running.terminate()
            running.wait()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
