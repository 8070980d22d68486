"""Any prescription in any way of writing is read as it is, and a slip in it never gives another value unseen."""

# ruff: noqa: RUF001 - the letters that look alike are the point
from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from shopledger.errors import ShopledgerError
from shopledger.optics.notation import read_eye, read_eyes, write_eye
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.prism import Base, Prism
from shopledger.optics.sides import Side
from tests.optics.naive_reader import Naive, read_naively
from tests.optics.strategies import eyes

pytestmark = pytest.mark.slow

LETTERS = {Base.IN: "I", Base.OUT: "O", Base.UP: "U", Base.DOWN: "D"}
HALVES = {0.25: "¼", 0.5: "½", 0.75: "¾"}
CUTS = {0.25: "1/4", 0.5: "1/2", 0.75: "3/4"}
SIGNS = {"-": ("-", "−", "–", "－", "‑"), "+": ("+", "＋")}
WIDE = str.maketrans("0123456789.,", "０１２３４５６７８９．，")


class Pen:
    """One hand: what it chooses each time, out of the ways there are."""

    def __init__(self, data: st.DataObject) -> None:
        self.data = data
        self.point = self.one(".", ".", ",")
        self.wide = self.one(False, False, True)
        self.parting = str(self.one(" ", "  ", ", ", " / ", "\n"))

    def one(self, *ways: object) -> object:
        """Choose one."""
        return self.data.draw(st.sampled_from(ways))

    def size(self, value: float) -> str:
        """Write a number without its sign."""
        whole, part = int(value), value - int(value)
        ways = [f"{value:.2f}", f"{value:.2f}"]
        ways += [f"{value:.1f}"] if value * 10 == int(value * 10) else []
        ways += [f"{value:.2f}".removeprefix("0")] if self.point == "." and not whole else []
        # Behind a slash a whole number might be the half of one: x 1 / 2 BU.
        ways += [str(whole)] if not part and whole < 10 and "/" not in self.parting else []
        # Behind a digit and a blank alone, a half would be asked about: x 1 ½ BU may be 1.50 BU.
        ways += [f"{whole or ''}{HALVES[part]}"] if part in HALVES and (whole or self.parting.strip()) else []
        return self.dress(str(self.one(*ways)).replace(".", str(self.point)))

    def dress(self, digits: str) -> str:
        """Take wide digits where this hand has a wide keyboard."""
        return digits.translate(WIDE) if self.wide else digits

    def signed(self, value: float) -> str:
        """Write a power."""
        if not value:
            return str(self.one("0.00", "+0.00", "-0.00", "0"))
        sign = self.one(*SIGNS["-" if value < 0 else "+"])
        return f"{sign}{self.one('', '', ' ')}{self.size(abs(value))}"

    def power(self, power: SphereCylinder) -> str:
        """Write sphere, cylinder and axis."""
        labels = self.one(True, False)
        sphere = self.signed(power.sphere) if power.sphere or self.one(True, False) else self.one("plano", "Pl.", "pl")
        unit = self.one("", "", "D", " D") if "l" not in str(sphere).lower() else ""
        if power.axis is None:
            behind = self.one("", " DS", " sph.", " Sph", "/DS", " D.S.", " 0.00", " 0.00 x 180", " DS 0.00 DC x 90")
            behind = behind if not unit or "D" not in str(behind) else ""
            return f"{'SPH ' if labels else ''}{sphere}{unit}{behind}"
        cylinder, axis = self.signed(power.cylinder), self.axis(int(power.axis))
        if labels:
            return f"SPH{self.one(' ', ': ')}{sphere} CYL{self.one(' ', ': ')}{cylinder} {axis}"
        marks = str(self.one("|", "|", " DS| DC", "DS|DC", " sph| cyl", f"{unit}|{unit}")).split("|")
        marks[0] = f" {marks[0].strip()}" if "l" in str(sphere).lower() and marks[0] else marks[0]
        between = self.one(" ", "/", " / ", ", ", "; ", "\u00a0")
        gap = self.one(" ", "/", ", ", "\u00a0")
        return f"{sphere}{marks[0]}{between}{cylinder}{marks[1]}{gap}{axis}"

    def axis(self, axis: int) -> str:
        """Write an axis; without its x only with three digits, since fewer might be decimals."""
        digits = self.dress(str(self.one(f"{axis:03d}", str(axis))))
        mark = self.one("x", "x ", "X ", "× ", "@ ", "axis ", "AXIS: ", "ax. ", "")
        return f"{mark or ''}{digits if mark else self.dress(f'{axis:03d}')}{self.one('', '', '°', ' deg')}"

    def add(self, add: float) -> str:
        """Write an add."""
        plus = self.one("+", "", "＋")
        eye = self.one("", "", " OU")
        if self.one(True, False):
            word = str(self.one("add ", "ADD: ", "Add = ", "add"))
            # The point of `add.50` might be the end of a short word, and is asked about.
            return f"{word}{plus or ('' if word[-1] == ' ' else '+')}{self.size(add)}{eye}"
        return f"{plus}{self.size(add)} add{eye}"

    def prism(self, prism: Prism) -> str:
        """Write one prism."""
        base, part = LETTERS[prism.base], prism.amount
        word = {"I": "in", "O": "out", "U": "up", "D": "down"}[base]
        shown = self.one(f"B{base}", f"b{base.lower()}", f"B.{base}.", f"base {word}", f"base-{word}", f"Base {word}")
        # Behind a blank alone, a fraction would be asked about: +2 1/4 BU may be +2.25.
        cut = part in CUTS and self.parting.strip() and self.one(True, False)
        amount = CUTS[part] if cut else self.size(part)
        mark = self.one("", "", "Δ", " Δ", "^", " pd")
        return str(self.one(f"{amount}{mark} {shown}", f"{shown} {amount}", f"prism {amount}{mark} {shown}"))

    def eye(self, eye: EyePrescription) -> str:
        """Write all of one eye."""
        extras = [self.prism(each) for each in eye.prism] + ([] if eye.add is None else [self.add(eye.add)])
        extras = self.data.draw(st.permutations(extras))
        words = [str(self.one("balance", "bal.", "Bal")) if eye.balance else "", self.power(eye.power), *extras]
        line = self.parting.join(word for word in words if word)
        return str(self.one(line, line, f"“{line}”", f" {line} ", f'"{line}"'))


def same(one: EyePrescription, other: EyePrescription) -> bool:
    """Whether both say the same; the order of prisms says nothing."""
    return (one.power, one.add, one.balance, set(one.prism)) == (
        other.power,
        other.add,
        other.balance,
        set(other.prism),
    )


@settings(max_examples=100)
@given(st.data(), eyes(), st.sampled_from(Side))
def test_any_prescription_reads_in_any_hand(data: st.DataObject, eye: EyePrescription, side: Side) -> None:
    """What is meant is what is read, marked for its eye or not."""
    hold_in_a_hand(data, eye, side)


@pytest.mark.long
@settings(max_examples=3000)
@given(st.data(), eyes(), st.sampled_from(Side))
def test_any_prescription_reads_in_very_many_hands(data: st.DataObject, eye: EyePrescription, side: Side) -> None:
    """The same at length."""
    hold_in_a_hand(data, eye, side)


def hold_in_a_hand(data: st.DataObject, eye: EyePrescription, side: Side) -> None:
    """Write in a hand, and read."""
    pen = Pen(data)
    line = pen.eye(eye)
    names = ("OD ", "R: ", "O.D.: ", "Right eye ") if side is Side.RIGHT else ("OS ", "L: ", "O.S.: ", "Left eye ")
    if "“" not in line and '"' not in line and not line.lstrip().startswith(("- ", "− ", "– ", "－ ", "‑ ")):
        line = f"{pen.one('', *names)}{line}"
    if len(line) <= 120:
        assert same(read_eye(line, side), eye), line


@settings(max_examples=50)
@given(st.data(), eyes(), eyes())
def test_any_two_eyes_read_from_one_line(data: st.DataObject, right: EyePrescription, left: EyePrescription) -> None:
    """Each eye's name parts the two."""
    first, last = (
        write_eye(eye) + (" OD" if eye is right else " OS") * (eye.add is not None and not eye.prism)
        for eye in (right, left)
    )
    if left.add is not None and right.add is None and left.prism:
        last = last.replace(" add ", " add OS ")
    line = f"OD {first} OS {last}" if data.draw(st.booleans()) else f"OD: {first}; OS: {last}"
    found = read_eyes(line)
    assert same(found.right, right), line
    assert same(found.left, left), line


PIECES = (
    *("+1.00", "-1.00", "-2.50", "+0.75", "-0.50", "0.00", "2.00", "1.50", "090", "180", "005", "plano", "balance"),
    *("x", "@", "axis", "add", "prism", "BI", "BO", "BU", "BD", "DS", "DC", "sph", "cyl", "deg", "OU", "OD", "q", "/"),
)


def pieces_of(data: st.DataObject, eye: EyePrescription) -> list[str]:
    """A line of plain pieces, of which any may be lost, doubled or taken for another."""

    def one(*ways: str) -> list[str]:
        return data.draw(st.sampled_from(ways)).split()

    power, found = eye.power, one("", "", "OD")
    found += ["balance"] if eye.balance else []
    found += [f"{power.sphere:+.2f}" if power.sphere else "plano"]
    if power.axis is None:
        found += one("", "DS", "0.00")
    else:
        cylinder, mark = f"{power.cylinder:+.2f}", "".join(one("", "x", "@"))
        found += one(
            *(f"{each} {mark} {power.axis:03.0f}" for each in (cylinder, f"DS {cylinder} DC", f"DS / {cylinder}"))
        )
    if eye.add is not None:
        found += one(f"add {eye.add:.2f}", f"+{eye.add:.2f} add", f"add +{eye.add:.2f} OU")
    for prism in eye.prism:
        base = f"B{LETTERS[prism.base]}"
        found += one(f"{prism.amount:.2f} {base}", f"{base} {prism.amount:.2f}")
    return found


def slipped(data: st.DataObject, pieces: list[str]) -> list[str]:
    """The same line with one piece lost, doubled, taken for another, or two in each other's place."""
    place = data.draw(st.integers(0, len(pieces) - 1))
    how = data.draw(st.sampled_from(["lost", "doubled", "another", "more", "swapped"]))
    changed = list(pieces)
    if how == "lost":
        del changed[place]
    elif how == "doubled":
        changed.insert(place, changed[place])
    elif how == "another":
        changed[place] = data.draw(st.sampled_from(PIECES))
    elif how == "more":
        changed.insert(place, data.draw(st.sampled_from(PIECES)))
    else:
        other = data.draw(st.integers(0, len(pieces) - 1))
        changed[place], changed[other] = changed[other], changed[place]
    return changed


def says(eye: EyePrescription) -> Naive:
    """What was read, in the terms of the second reader."""
    two = Decimal("0.01")
    ways = {Base.IN: ("h", 1), Base.OUT: ("h", -1), Base.UP: ("v", 1), Base.DOWN: ("v", -1)}
    return Naive(
        Decimal(eye.power.sphere).quantize(two),
        Decimal(eye.power.cylinder).quantize(two),
        None if eye.power.axis is None else int(eye.power.axis),
        None if eye.add is None else Decimal(eye.add).quantize(two),
        frozenset((ways[each.base][0], ways[each.base][1] * Decimal(each.amount).quantize(two)) for each in eye.prism),
        eye.balance,
    )


@settings(max_examples=200)
@given(st.data(), eyes())
def test_a_slip_is_refused_or_read_as_it_stands(data: st.DataObject, eye: EyePrescription) -> None:
    """What is read of a line with a slip is what a second reader, written apart, reads of it; never another value."""
    hold_with_a_slip(data, eye)


@pytest.mark.long
@settings(max_examples=6000)
@given(st.data(), eyes())
def test_very_many_slips_are_refused_or_read_as_they_stand(data: st.DataObject, eye: EyePrescription) -> None:
    """The same at length."""
    hold_with_a_slip(data, eye)


def hold_with_a_slip(data: st.DataObject, eye: EyePrescription) -> None:
    """Write with a slip, and let both read."""
    line = " ".join(slipped(data, pieces_of(data, eye)))
    try:
        found = read_eye(line)
    except ShopledgerError:
        return
    assert says(found) == read_naively(line), line


@settings(max_examples=100)
@given(st.data(), eyes())
def test_the_second_reader_reads_what_is_written(data: st.DataObject, eye: EyePrescription) -> None:
    """Without a slip both readers say what was meant, so that the one above can be trusted."""
    line = " ".join(pieces_of(data, eye))
    assert same(read_eye(line), eye), line
    assert read_naively(line) == says(eye), line


@given(st.text(alphabet="+-0123456789. xaddpnobBUIOD/,½@:", max_size=40))
@example("-1 25")
def test_what_is_read_of_any_letters_reads_back(typed: str) -> None:
    """Whatever is read at all is the same after it was written and read again."""
    try:
        found = read_eye(typed)
    except ShopledgerError:
        return
    assert read_eye(write_eye(found)) == found, typed
