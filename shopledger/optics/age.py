"""How old a prescription is, and in which words that is said."""

from __future__ import annotations

from datetime import date

_DAYS_TOLD = 31
_MONTHS_TOLD = 24


def months_old(written_on: date, today: date) -> int:
    """Give the whole months from the day of writing to today.

    Parameters
    ----------
    written_on : date
        Day of the prescription.
    today : date
        The day of asking.

    Returns
    -------
    int
        Months that are over; a month that has no such day is over with the first of the next. [months]

    References
    ----------
    [definition]_
    """
    months = (today.year - written_on.year) * 12 + today.month - written_on.month
    return months - (today.day < written_on.day)


def age_in_words(written_on: date, today: date) -> str:
    """Say when a prescription was written and how old it is, such as `written 2024-03-02, 2 years old`.

    Parameters
    ----------
    written_on : date
        Day of the prescription.
    today : date
        The day of asking.

    Returns
    -------
    str
        In days for a month, in months for two years, then in years; the day alone where it is still to come.

    References
    ----------
    [definition]_
    """
    days, months = (today - written_on).days, months_old(written_on, today)
    if days < 0:
        return f"written {written_on.isoformat()}"
    if days < _DAYS_TOLD:
        age = "of today" if days == 0 else _counted(days, "day")
    else:
        age = _counted(months, "month") if months < _MONTHS_TOLD else _counted(months // 12, "year")
    return f"written {written_on.isoformat()}, {age}"


def _counted(count: int, unit: str) -> str:
    return f"{count} {unit}{'' if count == 1 else 's'} old"
