"""Diagnosis codes: what a prescriber may have written, held to the published list; never worked out from powers.

The codes and what they mean are public facts of ICD-10-CM (CDC and CMS), release of April 2026; the release that took
effect on 1 October 2026 was not read. The words are short ones of our own. A code rests on the prescriber's own
statement (ICD-10-CM Official Guidelines, section I.A.19), so the shop only copies it from the prescriber's document.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from shopledger.errors import RefusedError, listed, nearest

RELEASE: Final = "ICD-10-CM, April 2026"
"""The release that the list was taken from."""

RELEASE_CAUTION: Final = "The release of October 2026 (fiscal year 2027) was not read; compare a code with it once."
"""What the owner should know about the age of the list."""

MOST: Final = 12
"""A claim form has twelve places, A to L (CMS-1500, 02/12)."""

_SHAPE: Final = re.compile(r"[A-Z][0-9][0-9A-Z](\.[0-9A-Z]{1,4})?")
_RIGHT, _LEFT, _BOTH, _UNSAID = "right eye", "left eye", "both eyes", "eye not stated"
_EXAM: Final = "It stands for an eye examination, which is no goods; plans do not expect it on a receipt for glasses."


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """One billable code: what it means, which eye it names, and what the owner should look at."""

    code: str
    words: str
    eye: str = ""
    """Right eye, left eye, both eyes, eye not stated; empty where the code has no eye."""
    note: str = ""

    @property
    def description(self) -> str:
        """The words with the eye."""
        return f"{self.words}, {self.eye}" if self.eye else self.words


def _with_eyes(header: str, words: str, unsaid: int) -> tuple[Diagnosis, ...]:
    """Give the four codes of a condition that names the eye; which digit says none differs between headings."""
    note = f"{header}{unsaid} does not say which eye; ask the prescriber, since plans may send it back."
    sides = ((1, _RIGHT, ""), (2, _LEFT, ""), (3, _BOTH, ""), (unsaid, _UNSAID, note))
    return tuple(Diagnosis(f"{header}{digit}", words, eye, said) for digit, eye, said in sides)


_ROWS: Final = (
    *_with_eyes("H52.0", "far-sightedness (hypermetropia)", 0),
    *_with_eyes("H52.1", "short-sightedness (myopia)", 0),
    *_with_eyes("H52.20", "astigmatism of no stated kind", 9),
    *_with_eyes("H52.21", "irregular astigmatism", 9),
    *_with_eyes("H52.22", "regular astigmatism", 9),
    Diagnosis("H52.31", "unequal refraction of the eyes (anisometropia)"),
    Diagnosis("H52.32", "unequal image sizes (aniseikonia)"),
    Diagnosis("H52.4", "presbyopia"),
    *_with_eyes("H52.51", "internal ophthalmoplegia", 9),
    *_with_eyes("H52.52", "paresis of accommodation", 9),
    *_with_eyes("H52.53", "spasm of accommodation", 9),
    Diagnosis("H52.6", "another disorder of refraction"),
    Diagnosis("H52.7", "disorder of refraction of no stated kind"),
    *_with_eyes("H27.0", "aphakia", 0),
    *_with_eyes("H53.02", "refractive amblyopia", 9),
    *_with_eyes("H53.14", "visual discomfort", 9),
    Diagnosis("Z01.00", "eye examination, nothing abnormal found", note=_EXAM),
    Diagnosis("Z01.01", "eye examination, something abnormal found", note=_EXAM),
    Diagnosis("Z01.020", "eye examination after a failed screening, nothing abnormal found", note=_EXAM),
    Diagnosis("Z01.021", "eye examination after a failed screening, something abnormal found", note=_EXAM),
    Diagnosis("Q12.3", "congenital aphakia"),
    Diagnosis("Z96.1", "intraocular lens present"),
    Diagnosis("Z97.3", "has glasses or contact lenses"),
    Diagnosis("Z46.0", "fitting and adjustment of glasses or contact lenses"),
    Diagnosis("H53.2", "double vision (diplopia)"),
    Diagnosis("H51.11", "convergence insufficiency"),
)

DIAGNOSES: Final = MappingProxyType({row.code: row for row in _ROWS})
"""Every code that the shop can print."""


def read_diagnosis(text: str) -> Diagnosis:
    """Read one code from the prescriber's document: it must be billable, and one of the list."""
    typed = text.strip().upper()
    code = f"{typed[:3]}.{typed[3:]}" if len(typed) > 3 and "." not in typed else typed
    if code in DIAGNOSES:
        return DIAGNOSES[code]
    if not _SHAPE.fullmatch(code):
        raise RefusedError(
            "diagnosis",
            f"'{text.strip()}'",
            "an ICD-10-CM code is a letter, two signs, a point and up to four more, as in H52.13",
            "Copy it from the prescriber's document, or leave it out.",
        )
    children = tuple(known for known in DIAGNOSES if known.startswith(code))
    if children:
        raise RefusedError(
            "diagnosis",
            code,
            "it is a heading and not billable",
            f"The prescriber's document should name one of its codes: {listed(children)}. Ask if it does not.",
        )
    near = nearest(code, DIAGNOSES)
    hint = f" Did you mean {listed(near)}?" if near else ""
    raise RefusedError(
        "diagnosis",
        code,
        f"it is none of the {len(DIAGNOSES)} codes of eyes and glasses known here ({RELEASE})",
        f"Compare it with the prescriber's document, or leave it out.{hint}",
    )


def read_diagnoses(texts: Iterable[str]) -> tuple[str, ...]:
    """Read the codes of a prescription in the order written; none twice, at most as many as a claim form holds."""
    codes = tuple(read_diagnosis(text).code for text in texts)
    for code in codes:
        if codes.count(code) > 1:
            raise RefusedError("diagnosis", f"{code} twice", "a code stands once", "Leave one out.")
    if len(codes) > MOST:
        raise RefusedError(
            "diagnoses", f"{len(codes)} codes", f"a claim form holds {MOST}", "Keep those that the glasses are for."
        )
    return codes
