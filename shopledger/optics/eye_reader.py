"""What a prescriber wrote for an eye, understood part by part: every way of taking it is tried, and one alone may hold.

A line that can be taken in no way is refused with the one piece that has no place; a number that seems to lack its
point is asked about. Nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from itertools import chain
from typing import Final, TypeAlias

from shopledger.errors import OpticsError
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.prism import MOST_PRISM, Base, Prism
from shopledger.optics.refusals import IncompleteError, NotationError
from shopledger.optics.sides import Side
from shopledger.optics.tokens import Kind, Token, plain, tokens_of
from shopledger.optics.written_numbers import axis_of, number_of, on_step

EXAMPLE: Final = "Write it like -2.50 -1.25 x 090 add 2.00."
LONGEST: Final = 120
"""How long one eye's line may be [letters]; more is no prescription."""
ZERO_WORDS: Final = frozenset({"plano", "pl"})

_BASE_WORDS = {"in": Base.IN, "out": Base.OUT, "up": Base.UP, "down": Base.DOWN}
_BASES = {"bi": Base.IN, "bo": Base.OUT, "bu": Base.UP, "bd": Base.DOWN, **_BASE_WORDS}
_BASES |= {f"base{word}": base for word, base in _BASE_WORDS.items()}
_BALANCE = frozenset({"bal", "balance"})
_UNIT = frozenset({"d", "dpt", "dptr", "dioptre", "dioptres", "diopter", "diopters"})
_SPHERE_BEFORE = frozenset({"sph", "sphere", "s"})
_SPHERE_BEHIND = frozenset({"ds", "dsph", "sph", "sphere", "spherical"})
_CYLINDER_BEFORE = frozenset({"cyl", "cylinder", "c"})
_CYLINDER_BEHIND = frozenset({"dc", "dcyl", "cyl", "cylinder"})
_AXIS_BEFORE = frozenset({"x", "ax", "axis", "a", "@", "*"})
_DEGREES = frozenset({"°", "deg", "degs", "degree", "degrees"})
_ADD = frozenset({"add", "addn", "addition"})
_PRISM_MARK = frozenset({"δ", "^", "pd", "prism", "prisms"})
_MOST_PRISMS = 4
"""More are never written; fewer than these that fight are refused with a better sentence."""


class Eyes(Enum):
    """Which eye a line says that it is for."""

    RIGHT = "right"
    LEFT = "left"
    BOTH = "both"


_EYES = dict.fromkeys(("od", "r", "re", "rt", "right"), Eyes.RIGHT)
_EYES |= dict.fromkeys(("os", "l", "le", "lt", "left"), Eyes.LEFT)
_EYES |= dict.fromkeys(("ou", "both"), Eyes.BOTH)
EYE_NAMES: Final = frozenset(_EYES)
"""What names an eye, or both."""
_EYE_WORDS = frozenset({"eye", "eyes"})


@dataclass(frozen=True, slots=True)
class _Taken:
    """A line as taken so far: where it goes on, and what has been placed."""

    at: int = 0
    ends: int = 0
    """Where the last whole part ends."""
    last: str = ""
    """What the last whole part is called."""
    eye: Eyes | None = None
    balance: bool = False
    sphere: Token | None = None
    marked_sphere: bool = False
    cylinder: Token | None = None
    axis: Token | None = None
    marked_axis: bool = False
    add: Token | None = None
    add_eye: Eyes | None = None
    prisms: tuple[tuple[Token, Base], ...] = ()
    fault: OpticsError | None = None
    """What is wrong with it, where something was let pass."""

    @property
    def meaning(self) -> tuple[object, ...]:
        """What makes two ways of taking a line the same."""
        numbers = (None if each is None else each.value for each in (self.sphere, self.cylinder, self.axis, self.add))
        return (*numbers, self.balance, self.eye, frozenset((each.size, base) for each, base in self.prisms))


_Ways: TypeAlias = Iterator[_Taken]


class _Line:
    """The pieces of one line, and how far into it any way of taking it came."""

    def __init__(self, text: str, *, lenient: bool = False) -> None:
        self.text = text
        self.tokens = tokens_of(text)
        # What is left out is let pass in a second look, so that it can be named.
        self.lenient = lenient
        self.furthest = _Taken()

    def token(self, taken: _Taken) -> Token | None:
        """Give the next piece."""
        return self.tokens[taken.at] if taken.at < len(self.tokens) else None

    def number(self, taken: _Taken, *kinds: Kind) -> Token | None:
        """Give the next piece where it is a number."""
        token = self.token(taken)
        return token if token is not None and token.kind in (kinds or (Kind.NUMBER,)) else None

    def on(self, taken: _Taken, *, surely: bool = True) -> _Taken:
        """Go on behind the next piece."""
        further = replace(taken, at=taken.at + 1)
        if surely and further.at > self.furthest.at:
            self.furthest = further
        return further

    def done(self, taken: _Taken, part: str) -> _Taken:
        """Close a part."""
        whole = replace(taken, ends=taken.at, last=part)
        if whole.at >= self.furthest.at:
            self.furthest = whole
        return whole

    def word(self, taken: _Taken, words: Iterable[str]) -> _Ways:
        """Take one of these words."""
        token = self.token(taken)
        if token is not None and token.word and token.word in words:
            yield self.on(taken)

    def perhaps(self, taken: _Taken, words: Iterable[str]) -> _Ways:
        """Take one of these words, or none."""
        yield from self.word(taken, words)
        yield taken

    def follows_eye(self, taken: _Taken) -> bool:
        """Tell whether the piece before names an eye."""
        return taken.at > 0 and self.tokens[taken.at - 1].word in {*_EYES, *_EYE_WORDS}

    def refusal(self, text: str) -> NotationError:
        """Say which piece has no place."""
        if not self.tokens:
            return NotationError(text, "nothing is written", EXAMPLE)
        far, token = self.furthest, self.token(self.furthest)
        before = far.last if far.at == far.ends else f"'{self.tokens[far.at - 1].text}'"
        if token is None:
            return NotationError(text, f"something is missing after {before}", EXAMPLE)
        where = f"after {before}" if before else "at the start"
        addition = token.kind is Kind.NUMBER and token.sign == "+" and far.cylinder is not None
        hint = f"Write add before it if it is an addition. {EXAMPLE}" if addition else EXAMPLE
        return NotationError(text, f"'{token.text}' cannot be placed {where}", hint)


def eye_of(text: str, side: Side | None = None) -> EyePrescription:
    """Read what is written for one eye.

    Parameters
    ----------
    text : str
        As typed.
    side : Side, optional
        The eye that it is given for, where that is known; a line that is marked for another is refused then.

    Returns
    -------
    EyePrescription
        What is written. [D]

    Raises
    ------
    NotationError
        If a piece has no place, or a sign or a part is missing.
    IncompleteError
        If a cylinder has no axis, or an axis no cylinder.

    References
    ----------
    [common_practice]_ order and marks of the parts
    """
    bare = _bare(text, LONGEST)
    (taken,) = _only(text, bare, lambda line: ((eye,) for eye in _eye(line, _Taken())))
    _hold_eye(text, taken, side)
    return _made(text, bare, taken)


def both_of(text: str) -> Prescription:
    """Read what is written for both eyes in one line, such as `OD -2.50 DS OS -2.25 DS add 2.00 OU` or `OU plano`.

    Parameters
    ----------
    text : str
        As typed; each eye is named before its powers, or both are.

    Returns
    -------
    Prescription
        What is written. [D]

    Raises
    ------
    NotationError
        If a piece has no place, an eye is missing, or it is not said for which eyes an add is.
    IncompleteError
        If a cylinder has no axis, or an axis no cylinder.

    References
    ----------
    [common_practice]_ names of the eyes
    """
    bare = _bare(text, 2 * LONGEST)
    try:
        taken = _only(text, bare, _two_eyes)
    except NotationError:
        _refuse_one_eye(text, bare)
        raise
    eyes = {each.eye: _made(text, bare, each) for each in taken}
    if Eyes.BOTH in eyes:
        return Prescription(eyes[Eyes.BOTH], eyes[Eyes.BOTH])
    for each, other in (taken, reversed(taken)):
        if each.add_eye in {Eyes.RIGHT, Eyes.LEFT} and each.add_eye is not each.eye:
            raise NotationError(text, "an add is marked for the other eye", "Write each eye's add behind its powers.")
        if each.add_eye is Eyes.BOTH and other.add is None:
            eyes[other.eye] = replace(eyes[other.eye], add=eyes[each.eye].add)
    first, last = taken
    if first.add is None and last.add is not None and last.add_eye is None:
        reason = "it does not say whether the add is for both eyes"
        raise NotationError(text, reason, "Write OU behind the add, or name its eye.")
    return Prescription(eyes[Eyes.RIGHT], eyes[Eyes.LEFT])


def _refuse_one_eye(text: str, bare: str) -> None:
    """Say which eye is missing, where a line for both is one eye's; leave alone what is no eye's either."""
    try:
        (taken,) = _only(text, bare, lambda line: ((eye,) for eye in _eye(line, _Taken())))
    except OpticsError:
        return
    if taken.eye is None:
        hint = "Write OU before it if both eyes have it, or each eye with its name: OD -2.50 DS OS -2.25 DS."
        raise NotationError(text, "both eyes are wanted, and it names none", hint) from None
    other = "left" if taken.eye is Eyes.RIGHT else "right"
    hint = f"Write the {other} one too, as in OD -2.50 DS OS -2.25 DS, or give each eye by itself."
    raise NotationError(text, f"the {other} eye is missing", hint) from None


def prism_of(text: str) -> Prism | None:
    """Read one prism such as `2 BU`, `BI 1.5`, `1/2 base down` or `2Δ up`.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    Prism or None
        Amount and base; None where it is no prism with a base.

    Raises
    ------
    NotationError
        If the amount seems to lack its point.

    References
    ----------
    [nfos_12]_ base notation
    """
    bare = plain(text)
    line = _Line(bare)
    found = [taken for taken in _prism(line, _Taken()) if taken.at == len(line.tokens)]
    return _prisms(bare, found[0])[0] if found else None


def _bare(text: str, longest: int) -> str:
    bare = plain(text)
    if len(bare) > longest:
        raise NotationError(text, f"it is longer than {longest} letters, which no prescription is", EXAMPLE)
    return bare


def _only(text: str, bare: str, way: Callable[[_Line], Iterator[tuple[_Taken, ...]]]) -> tuple[_Taken, ...]:
    """Give the one way in which a whole line can be taken, or say what is wrong with it."""
    strict, lenient = _Line(bare), _Line(bare, lenient=True)
    for line in (strict, lenient):
        whole = [eyes for eyes in way(line) if eyes[-1].at == len(line.tokens)]
        found = {tuple(eye.meaning for eye in eyes): eyes for eyes in whole}
        if found and line is lenient:
            raise next(eye.fault for eyes in found.values() for eye in eyes if eye.fault)
        if len(found) == 1:
            return next(iter(found.values()))
        if found:  # pragma: no cover - no such line is known; one that came to be would be asked about
            raise NotationError(text, "it can be read in more than one way", EXAMPLE)
    raise strict.refusal(text)


def _two_eyes(line: _Line) -> Iterator[tuple[_Taken, ...]]:
    for first in _eye(line, _Taken()):
        if first.eye is Eyes.BOTH:
            yield (first,)
        elif first.eye is not None:
            begun = _Taken(at=first.at, ends=first.ends, last=first.last)
            token = line.token(begun)
            if token is not None and {first.eye, _EYES.get(token.word)} == {Eyes.RIGHT, Eyes.LEFT}:
                yield from ((first, last) for last in _eye(line, begun))


def _eye(line: _Line, taken: _Taken) -> _Ways:
    for named in _named(line, taken):
        for balanced in _perhaps_balance(line, named):
            if balanced.balance:
                yield from _extras(line, balanced)
            elif line.lenient:
                yield from _without_power(line, balanced)
            for power in _power(line, balanced):
                yield from _extras(line, power)


def _without_power(line: _Line, taken: _Taken) -> _Ways:
    """Take what has an add or a prism and no power before it, to say so."""
    token = line.token(taken)
    if token is None or token.sign:
        return
    fault = NotationError(line.text, "the sphere is missing", "Write plano where there is none.")
    yield from (each for each in _extras(line, _faulty(taken, fault)) if each.at > taken.at)


def _named(line: _Line, taken: _Taken) -> _Ways:
    token = line.token(taken)
    if token is None or token.word not in _EYES:
        yield taken
        return
    for named in line.perhaps(line.on(taken), _EYE_WORDS):
        yield line.done(replace(named, eye=_EYES[token.word]), token.text)


def _perhaps_balance(line: _Line, taken: _Taken) -> _Ways:
    yield from _balance(line, taken)
    yield taken


def _balance(line: _Line, taken: _Taken) -> _Ways:
    if not taken.balance:
        for further in line.word(taken, _BALANCE):
            yield line.done(replace(further, balance=True), "balance")


def _power(line: _Line, taken: _Taken) -> _Ways:
    for labelled in line.perhaps(taken, _SPHERE_BEFORE):
        for sphere in _sphere(line, labelled):
            yield sphere
            yield from _cylinder(line, sphere)
            if line.lenient:
                yield from _axis_alone(line, sphere)


def _sphere(line: _Line, taken: _Taken) -> _Ways:
    token = line.token(taken)
    if token is None:
        return
    if token.word in ZERO_WORDS:
        begun = replace(line.on(taken), sphere=replace(token, digits="0.00"))
    elif token.kind is Kind.NUMBER and (fault := _unsigned(token) or _dash(line, taken)) is None:
        begun = replace(line.on(taken), sphere=token)
    elif token.kind is Kind.NUMBER and line.lenient:
        begun = _faulty(replace(line.on(taken), sphere=token), fault)
    else:
        return
    for measured in line.perhaps(begun, _UNIT):
        for marked in line.perhaps(measured, _SPHERE_BEHIND):
            known = replace(marked, marked_sphere=marked.at > measured.at)
            yield line.done(known, f"the sphere {token.text}")


def _cylinder(line: _Line, taken: _Taken) -> _Ways:
    for labelled in line.perhaps(taken, _CYLINDER_BEFORE):
        token = line.number(labelled)
        if token is None:
            continue
        fault: OpticsError | None = _unsigned(token)
        if fault is not None and not line.lenient:
            continue
        begun = _faulty(replace(line.on(labelled), cylinder=token), fault)
        for measured in line.perhaps(begun, _UNIT):
            for marked in line.perhaps(measured, _CYLINDER_BEHIND):
                set_apart = labelled.at > taken.at or marked.at > measured.at or token.parted
                yield from _with_axis(line, line.done(marked, f"the cylinder {token.text}"), set_apart=set_apart)


def _with_axis(line: _Line, taken: _Taken, *, set_apart: bool) -> _Ways:
    cylinder = taken.cylinder
    if cylinder is not None and not cylinder.value:
        yield taken
    elif taken.marked_sphere and not set_apart:
        if not line.lenient:
            return
        reason = "it is marked as a sphere and yet has a cylinder"
        taken = _faulty(taken, NotationError(line.text, reason, EXAMPLE))
    yield from _axis(line, taken)
    if line.lenient and taken.fault is None:
        yield _faulty(taken, IncompleteError("axis", f"'{line.text}' has a cylinder without an axis", EXAMPLE))


def _axis(line: _Line, taken: _Taken) -> _Ways:
    for once in line.perhaps(taken, _AXIS_BEFORE):
        for marked in line.perhaps(once, _AXIS_BEFORE) if once.at > taken.at else (once,):
            token = line.number(marked)
            is_marked = marked.at > taken.at
            if token is None or token.sign or not (is_marked or _bare_axis(line, marked, token)):
                continue
            if is_marked and _may_be_add(line, taken):
                continue
            begun = replace(line.on(marked), axis=token, marked_axis=is_marked)
            for measured in line.perhaps(begun, _DEGREES):
                yield line.done(measured, f"the axis {token.text}")


def _bare_axis(line: _Line, taken: _Taken, token: Token) -> bool:
    """Tell whether a number without a mark can only be the axis: not what may be the amount of a prism behind it."""
    following = [each.word for each in line.tokens[taken.at + 1 : taken.at + 3]]
    named = following[1:] if following[:1] and following[0] in _PRISM_MARK else following
    before_base = bool(named) and named[0] in {*_BASES, "base"}
    return (
        token.whole
        and len(token.digits) <= 3
        and (len(token.digits) == 3 or not before_base or token.size > MOST_PRISM)
    )


def _may_be_add(line: _Line, taken: _Taken) -> bool:
    """Tell whether the mark is the letter A beside a cylinder of zero, where it may as well be an add's."""
    mark = line.token(taken)
    cylinder = taken.cylinder
    return mark is not None and mark.word == "a" and cylinder is not None and not cylinder.value


def _axis_alone(line: _Line, taken: _Taken) -> _Ways:
    """Take an axis that has no cylinder, to say so."""
    for axis in _axis(line, taken):
        if axis.axis is not None and axis.marked_axis:
            reason = f"axis {axis.axis.text} is given without a cylinder"
            hint = "Give the cylinder, or leave the axis out."
            yield _faulty(axis, IncompleteError("cylinder", reason, hint))


def _extras(line: _Line, taken: _Taken) -> _Ways:
    yield taken
    for further in chain(_add(line, taken), _prism(line, taken), _balance(line, taken)):
        yield from _extras(line, further)


def _add(line: _Line, taken: _Taken) -> _Ways:
    if taken.add is None:
        yield from _add_before(line, taken)
        yield from _add_behind(line, taken)


def _add_before(line: _Line, taken: _Taken) -> _Ways:
    """Take the word and its number: `add 2.00`."""
    for begun in line.word(taken, _ADD):
        for eyed in _add_eye(line, begun):
            token = line.number(eyed)
            if token is not None:
                for measured in line.perhaps(replace(line.on(eyed), add=token), _UNIT):
                    yield from _add_done(line, measured, token)


def _add_behind(line: _Line, taken: _Taken) -> _Ways:
    """Take a number and its word: `+2.00 add`."""
    token = line.number(taken)
    if token is not None and token.sign != "-":
        for measured in line.perhaps(line.on(taken, surely=False), _UNIT):
            for worded in line.word(measured, _ADD):
                yield from _add_done(line, replace(worded, add=token), token)


def _add_done(line: _Line, taken: _Taken, token: Token) -> _Ways:
    for eyed in (taken,) if taken.add_eye else _add_eye(line, taken):
        yield line.done(eyed, f"the add {token.text}")


def _add_eye(line: _Line, taken: _Taken) -> _Ways:
    token = line.token(taken)
    if token is not None and token.word in _EYES:
        for named in line.perhaps(line.on(taken, surely=False), _EYE_WORDS):
            yield replace(named, add_eye=_EYES[token.word])
    yield taken


def _prism(line: _Line, taken: _Taken) -> _Ways:
    if len(taken.prisms) == _MOST_PRISMS:
        return
    for begun in line.perhaps(taken, _PRISM_MARK):
        for placed, token, base in chain(_amount_first(line, begun), _base_first(line, begun)):
            grown = replace(placed, prisms=(*placed.prisms, (token, base)))
            yield line.done(grown, f"the prism {line.text[token.start : line.tokens[placed.at - 1].end]}")


def _amount_first(line: _Line, taken: _Taken) -> Iterator[tuple[_Taken, Token, Base]]:
    token = line.number(taken, Kind.NUMBER, Kind.FRACTION)
    if token is None or token.sign:
        return
    following = line.token(replace(taken, at=taken.at + 1))
    known = following is not None and following.kind is Kind.WORD and following.word not in _ADD
    for marked in line.perhaps(line.on(taken, surely=known), _PRISM_MARK):
        for placed, base in _base(line, marked):
            yield placed, token, base


def _base_first(line: _Line, taken: _Taken) -> Iterator[tuple[_Taken, Token, Base]]:
    for placed, base in _base(line, taken):
        for marked in line.perhaps(placed, _PRISM_MARK):
            token = line.number(marked, Kind.NUMBER, Kind.FRACTION)
            if token is not None and not token.sign:
                for ended in line.perhaps(line.on(marked), _PRISM_MARK):
                    yield ended, token, base


def _base(line: _Line, taken: _Taken) -> Iterator[tuple[_Taken, Base]]:
    for begun in line.perhaps(taken, ("base",)):
        words = _BASE_WORDS if begun.at > taken.at else _BASES
        for placed in line.word(begun, words):
            yield placed, words[line.tokens[begun.at].word]


def _unsigned(token: Token) -> NotationError | None:
    """Say that a power has neither plus nor minus; zero needs none."""
    if token.sign or not token.value:
        return None
    return NotationError(token.text, "the sign is missing", f"Write +{token.size:.2f} or -{token.size:.2f}.")


def _dash(line: _Line, taken: _Taken) -> NotationError | None:
    """Say that a dash behind the name of an eye may be no minus."""
    token = line.tokens[taken.at]
    if not (token.apart and token.sign == "-" and line.follows_eye(taken)):
        return None
    reason = "the dash may be a minus, or part the eye from its power"
    return NotationError(line.text, reason, "Write the sign right beside its number.")


def _faulty(taken: _Taken, fault: OpticsError | None) -> _Taken:
    """Note what is wrong; what was wrong first is said."""
    return replace(taken, fault=taken.fault or fault)


def _hold_eye(text: str, taken: _Taken, side: Side | None) -> None:
    """Refuse a line that is marked for another eye than the one that it is given for."""
    meant = taken.eye if side is None else Eyes(side.value)
    for named in (taken.eye, taken.add_eye):
        if named is Eyes.BOTH and named is taken.eye and side is not None:
            reason = f"it is marked for both eyes and given for the {side.value} one"
            raise NotationError(text, reason, "Leave the mark out, and type it for each eye.")
        if named not in {None, Eyes.BOTH} and meant in {Eyes.RIGHT, Eyes.LEFT} and named is not meant and meant:
            reason = f"it is marked for the {named.value} eye and given for the {meant.value} one" if named else ""
            raise NotationError(text, reason, "Look at the prescription: the eyes may be swapped.")


def _made(text: str, bare: str, taken: _Taken) -> EyePrescription:
    add = None if taken.add is None else number_of(bare, taken.add)
    return EyePrescription(_power_of(text, bare, taken), add, _prisms(bare, taken), taken.balance)


def _power_of(text: str, bare: str, taken: _Taken) -> SphereCylinder:
    sphere = 0.0 if taken.sphere is None else number_of(bare, taken.sphere)
    cylinder = 0.0 if taken.cylinder is None else number_of(bare, taken.cylinder)
    if taken.axis is None or taken.cylinder is None:
        return SphereCylinder(sphere)
    _hold_together(text, taken.cylinder, taken.axis, marked=taken.marked_axis)
    if not cylinder:
        # A form that wants every box filled gives a sphere an axis, often 0.
        axis_of(taken.axis, least=0)
        return SphereCylinder(sphere)
    return SphereCylinder(sphere, cylinder, axis_of(taken.axis))


def _hold_together(text: str, cylinder: Token, axis: Token, *, marked: bool) -> None:
    """Ask about an axis without its x that may be the decimals of the cylinder: `-1 25`."""
    joined = f"{cylinder.digits}{'' if '.' in cylinder.digits else '.'}{axis.digits}"
    if not marked and not cylinder.value and len(axis.digits) == 1 and axis.value:
        reason = f"'{axis.text}' behind a cylinder of zero may be an axis or an add"
        raise NotationError(text, reason, f"Write x {axis.digits:0>3}, or add {axis.size:.2f}.")
    if not marked and len(axis.digits) < 3 and on_step(joined) and float(joined) != float(cylinder.digits):
        reason = f"'{cylinder.text} {axis.text}' may be the cylinder {cylinder.sign}{joined} without an axis"
        raise NotationError(text, reason, f"Write {cylinder.sign}{cylinder.size:.2f} x {axis.digits:0>3} if it is not.")


def _prisms(bare: str, taken: _Taken) -> tuple[Prism, ...]:
    return tuple(Prism(number_of(bare, token, eighths=False), base) for token, base in taken.prisms)
