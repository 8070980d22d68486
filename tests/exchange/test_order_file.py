"""Order files: the same order comes back, and each slip is told with its line and the nearest right word."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopledger.exchange.order_file import read_order_file, write_order_file
from shopledger.exchange.refusals import FileRefusedError, RowsRefusedError, UnknownKeyError
from shopledger.ledger.orders import (
    AccessoryRequest,
    EyeRequest,
    Making,
    Method,
    OffStep,
    OrderRequest,
    PairRequest,
    PaymentRequest,
)
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import LensUse
from tests.strategies import DAYS, PRICES, TEXTS

TENTHS = 10.0
NEAR = st.none() | st.integers(150, 300).map(lambda tenths: tenths / TENTHS)
HEIGHT = st.none() | st.integers(50, 400).map(lambda tenths: tenths / TENTHS)
MONO = st.integers(300, 400).map(lambda tenths: tenths / TENTHS)
EYES = st.builds(EyeMeasurements, MONO, NEAR, HEIGHT)
BINOCULAR = st.builds(
    Measurements.from_binocular,
    st.integers(600, 800).map(lambda tenths: tenths / TENTHS),
    st.none() | st.integers(400, 600).map(lambda tenths: tenths / TENTHS),
    HEIGHT,
    HEIGHT,
)
CODES = st.tuples(TEXTS) | st.lists(TEXTS, max_size=3).map(tuple)
EYE_ASKED = st.builds(
    EyeRequest,
    lens=st.just("") | TEXTS,
    extras=CODES,
    balance=st.none() | st.integers(-40, 40).map(lambda quarters: SphereCylinder(quarters / 4)),
)
PAIRS = st.builds(
    PairRequest,
    right=EYE_ASKED,
    left=EYE_ASKED,
    off_step=st.none() | st.sampled_from(OffStep),
    wearer=TEXTS,
    lens=TEXTS,
    frame=TEXTS,
    use=st.none() | st.sampled_from(LensUse),
    prescription=st.none() | st.integers(0, 9999),
    without_prescription=st.booleans(),
    extras=CODES,
    measurements=st.none() | BINOCULAR | st.builds(Measurements, EYES, EYES),
    frame_owned=st.booleans(),
    right_code=st.just("") | TEXTS,
    left_code=st.just("") | TEXTS,
    note=st.just("") | TEXTS,
)
STAYS = st.builds(EyeRequest, st.sampled_from([Making.KEPT, Making.NONE]))
PAIRS |= st.builds(lambda pair, left: replace(pair, left=left, left_code=""), PAIRS, STAYS)
ORDERS = st.builds(
    OrderRequest,
    customer=TEXTS,
    pairs=st.lists(PAIRS, max_size=3).map(tuple),
    accessories=st.lists(
        st.builds(AccessoryRequest, TEXTS, st.integers(1, 999), st.just("") | TEXTS), min_size=1, max_size=3
    ).map(tuple),
    day=st.none() | DAYS,
    offers=CODES,
    without_offers=CODES,
    shipping=st.none() | st.integers(0, 100_000),
    payments=st.lists(
        st.builds(PaymentRequest, PRICES, st.sampled_from(Method), st.sampled_from(["", "4242"]), st.none() | DAYS),
        max_size=3,
    ).map(tuple),
    accept=st.frozensets(TEXTS, max_size=3),
    note=st.text(st.characters(categories=["L", "N", "P", "S", "Zs"]), max_size=30),
)

SMALL = """\
customer = "Odalys Fernhollow"

[[pair]]
wearer = "Odalys Fernhollow"
frame = "PELLOW-52"
lens = "SV-150"
"""


@given(ORDERS)
@settings(max_examples=100)
def test_an_order_written_and_read_is_the_same_order(request: OrderRequest) -> None:
    """A draft kept as text is recorded later exactly as it was drafted."""
    assert read_order_file(write_order_file(request)) == request


def test_what_is_as_usual_is_left_out() -> None:
    """A small order is a small file."""
    request = OrderRequest("Odalys Fernhollow", (PairRequest("Odalys Fernhollow", "SV-150", "PELLOW-52"),))
    written = write_order_file(request)
    assert written == SMALL


def test_every_key_is_read(tmp_path: Path) -> None:
    """An order with everything in it says what was typed."""
    file = tmp_path / "order.toml"
    file.write_bytes(
        b"""\xef\xbb\xbf\
customer = "Odalys Fernhollow"\r
day = 2026-03-02
shipping = "6.50"
offers = ["SLIM"]
without_offers = "SECOND"
accept = ["PD-UNUSUAL"]
note = "Wrap as a present"

[[pair]]
wearer = "Wren Fernhollow"
frame = "TINDLE-46"
lens = "SV-POLY"
use = "Reading"
prescription = 3
extras = ["SCRATCH"]
pd = [27.5, 27.0]
near_pd = [26.0, 25.5]
height = [16, ""]
frame_owned = true
right_code = "V2103"
left_code = "V2104"
note = "wide temples"

[[accessory]]
code = "CORD"
quantity = 2
wearer = "Wren Fernhollow"

[[payment]]
amount = 120
method = "check"
reference = "1007"
day = "2026-03-01"
"""
    )
    eyes = (EyeMeasurements(27.5, 26.0, 16.0), EyeMeasurements(27.0, 25.5, None))
    assert read_order_file(file) == OrderRequest(
        customer="Odalys Fernhollow",
        day=date(2026, 3, 2),
        shipping=650,
        offers=("SLIM",),
        without_offers=("SECOND",),
        accept=frozenset({"PD-UNUSUAL"}),
        note="Wrap as a present",
        pairs=(
            PairRequest(
                wearer="Wren Fernhollow", frame="TINDLE-46", lens="SV-POLY", use=LensUse.READING, prescription=3,
                extras=("SCRATCH",), measurements=Measurements(*eyes), frame_owned=True, right_code="V2103",
                left_code="V2104", note="wide temples",
            ),
        ),
        accessories=(AccessoryRequest("CORD", 2, "Wren Fernhollow"),),
        payments=(PaymentRequest(12000, Method.CHECK, "1007", date(2026, 3, 1)),),
    )  # fmt: skip


def test_one_number_is_for_both_eyes_together() -> None:
    """A PD or near PD as one number is halved; a height as one number holds for each eye."""
    read = read_order_file(SMALL + "pd = 63\nnear_pd = 60\nheight = 19\n")
    assert read.pairs[0].measurements == Measurements.from_binocular(63.0, 60.0, 19.0, 19.0)


def test_a_near_pd_of_both_keeps_each_eye_s_share() -> None:
    """Beside PDs of each eye it is never halved: 29.5 and 33 with 59 are 27.848 and 31.152."""
    read = read_order_file(SMALL + "pd = [29.5, 33]\nnear_pd = 59\n").pairs[0].measurements
    assert read is not None
    assert (read.right.near_pd, read.left.near_pd, read.pd_given) == (27.848, 31.152, "monocular")


REFUSED = {
    "unknown key": (SMALL + 'colour = "red"\n', 7, "pair 1 has no key 'colour'"),
    "near key": (SMALL.replace("wearer", "waerer"), 4, "Did you mean 'wearer'?"),
    "near key at the top": ("shiping = 5\n" + SMALL, 1, "the file has no key 'shiping'. Did you mean 'shipping'?"),
    "near table": (SMALL.replace("[[pair]]", "[[pairs]]"), 3, "Did you mean 'pair'?"),
    "missing key": (SMALL.replace('lens = "SV-150"\n', ""), 3, "pair 1: 'lens' is missing"),
    "second row": (SMALL + SMALL[31:].replace('"SV-150"', "150"), 11, "pair 2: 'lens' is 150; it must be text"),
    "money with a point": ("shipping = 6.50\n" + SMALL, 1, 'Put it in quotes: shipping = "6.50".'),
    "money with three decimals": ('shipping = "6.505"\n' + SMALL, 1, "at most two decimals"),
    "money as a flag": ("shipping = true\n" + SMALL, 1, "'shipping' is true; money is text in quotes"),
    "shipping below nothing": ('shipping = "-1"\n' + SMALL, None, "shipping is -1.00; it may not be negative"),
    "no day": ('day = "next week"\n' + SMALL, 1, "'day' is 'next week'; a day is YYYY-MM-DD"),
    "a day with a time": ("day = 2026-03-02T10:00:00\n" + SMALL, 1, "a day is YYYY-MM-DD"),
    "no list": ("offers = 5\n" + SMALL, 1, "'offers' is 5; it must be a list of texts"),
    "other use": (SMALL + 'use = "readin"\n', 7, "Did you mean 'reading'?"),
    "no use": (SMALL + 'use = "zzz"\n', 7, "Choose distance, reading, screen or multifocal."),
    "no flag": (SMALL + 'frame_owned = "yes"\n', 7, "it is true or false"),
    "no whole number": (SMALL + "prescription = 1.5\n", 7, "'prescription' is 1.5; it must be a whole number"),
    "number in quotes": (SMALL + 'pd = "63"\n', 7, "Write it without quotes"),
    "centimetres": (SMALL + "pd = 6.3\n", 3, "This looks like centimetres: write 63."),
    "three eyes": (SMALL + "pd = [31, 31, 31]\n", 7, "it is one number, or two for right and left"),
    "one eye empty": (SMALL + 'pd = [31, ""]\n', 3, "'pd' is empty for one eye"),
    "height alone": (SMALL + "height = 19\n", 3, "'pd' is missing; a height or near PD needs the distance PD"),
    "near without far": (SMALL + "pd = 63\nnear_pd = [30, 30]\n", 3, "it then needs the distance 'pd' of each eye"),
    "near too wide": (SMALL + "pd = [31, 31]\nnear_pd = 62.5\n", 3, "near PD is 62.5"),
    "nothing sold": ('customer = "Odalys"\n', None, "order is empty"),
    "nobody": (SMALL.partition("\n")[2], None, "'customer' is missing"),
    "a card number": (
        SMALL + '[[payment]]\namount = "5"\nmethod = "card"\nreference = "4242424242424242"\n',
        10,
        "never type a whole",
    ),
    "a number without end": (SMALL + f"prescription = {'9' * 5_000}\n", None, "a number that is far too long"),
    "no table": ("pair = 5\n" + 'customer = "Odalys"\n', None, "pair 1: it is no table"),
    "no TOML": (SMALL + "lens SV-150\n", 7, "cannot be read as TOML"),
    "open quote at the end": (SMALL + 'note = "', 7, "cannot be read as TOML"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "line", "reason"), REFUSED.values(), ids=REFUSED.keys())
def test_a_slip_is_told_with_its_line_and_what_to_do(text: str, line: int | None, reason: str) -> None:
    """Each refusal is one line that names the place, what is wrong, and what to type instead."""
    with pytest.raises(FileRefusedError) as caught:
        read_order_file(text)
    assert reason.casefold() in str(caught.value).casefold()
    assert caught.value.line == line
    assert "\n" not in str(caught.value)
    assert ".." not in str(caught.value)


def test_an_unknown_key_carries_what_is_known() -> None:
    """The error's fields name the table, the key and the nearest known one."""
    with pytest.raises(UnknownKeyError) as caught:
        read_order_file(SMALL + "heigt = 19\n")
    assert (caught.value.table, caught.value.key, caught.value.near) == ("pair 1", "heigt", ("height",))


def test_all_slips_are_told_at_once() -> None:
    """Whoever mends a file mends it once."""
    text = SMALL.replace("wearer", "waerer") + "frame_owned = 1\n[[accessory]]\nquantity = 0\n"
    with pytest.raises(RowsRefusedError) as caught:
        read_order_file(text)
    reasons = [problem.reason for problem in caught.value.problems]
    assert reasons == [
        "pair 1 has no key 'waerer'",
        "pair 1: 'frame_owned' is 1; it is true or false",
        "accessory 1: 'code' is missing",
    ]
    assert str(caught.value).startswith("3 problems, so nothing was taken over. (1) the order, line 4:")


def test_what_is_no_text_is_refused(tmp_path: Path) -> None:
    """A missing, binary or huge file is refused by name."""
    with pytest.raises(FileRefusedError, match="no such file"):
        read_order_file(tmp_path / "gone.toml")
    binary = tmp_path / "binary.toml"
    binary.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(FileRefusedError, match="UTF-8"):
        read_order_file(binary)
    with binary.open("wb") as handle:
        handle.truncate(5_000_000)
    with pytest.raises(FileRefusedError, match="too large"):
        read_order_file(binary)
