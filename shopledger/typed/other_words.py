"""Other words that people use for the words of a list: what a refusal answers to them with. Plain data.

They are never taken for the word itself: where an expense belongs, and which coating a lens has, the owner says.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

_EXPENSES: Final = {
    "rent-of-premises rent-of-equipment": "rent lease",
    "utilities": "phone telephone internet electricity electric gas water heating",
    "car-and-truck": "car truck fuel gasoline mileage parking vehicle",
    "postage-and-shipping-out": "stamps shipping courier mailing",
    "legal-and-professional-services": "accountant accounting bookkeeper bookkeeping lawyer attorney",
    "advertising": "ads advert advertisement marketing flyers website",
    "office-expense": "office paper printer ink stationery",
    "supplies": "cloths cleaner screws consumables",
    "software-and-services": "software subscription hosting app",
    "training-and-licences": "course seminar class education",
    "taxes-and-licences training-and-licences": "license licence permit",
    "taxes-and-licences": "tax taxes",
    "wages": "salary salaries payroll staff",
    "contract-labour": "contractor freelancer subcontractor labor",
    "travel": "hotel flight train lodging",
    "meals": "lunch dinner breakfast restaurant food",
    "repairs-and-maintenance": "repair maintenance cleaning",
    "equipment supplies": "tool tools machine computer furniture",
    "commissions-and-fees": "fee fees commission",
    "insurance": "liability premium",
    "interest": "loan",
}
_EXTRAS: Final = {
    "anti-reflective": "ar antireflective antireflection anti-glare glare",
    "photochromic": "light-adaptive darkening",
    "polarized": "polarised polar",
    "scratch": "hard-coat scratch-resistant",
    "uv": "ultraviolet",
    "tint": "colour color grey gray brown",
    "mirror": "flash",
}

OTHER_WORDS: Final[Mapping[str, Mapping[str, tuple[str, ...]]]] = {
    kind: {other: tuple(words.split()) for words, others in known.items() for other in others.split()}
    for kind, known in (("ExpenseCategory", _EXPENSES), ("ExtraKind", _EXTRAS))
}
"""By the name of the list: each other word with the words that it may mean."""
