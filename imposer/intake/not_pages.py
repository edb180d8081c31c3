"""Numbers in names that never count pages: dates, times, resolutions, sizes, shares. Strings alone; common practice.

Each is replaced by as many spaces, so that every other word keeps its place.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

_DAY, _MONTH, _YEAR = r"(?:0?[1-9]|[12]\d|3[01])", r"(?:0?[1-9]|1[0-2])", r"(?:19|20)\d\d"
#: A time of day is one only after a date.
_TIME = r"(?:(?:[\s_T-]+|\s+(?:at|um|à|a las)\s+)(?:[01]?\d|2[0-3])[.:h-][0-5]\d[.:-][0-5]\d)?"
_DATE = re.compile(
    rf"(?<!\d){_YEAR}(?P<iso>[-_. ])(?:0[1-9]|1[0-2])(?P=iso)(?:0[1-9]|[12]\d|3[01])(?!\d){_TIME}"
    rf"|(?<!\d){_DAY}(?P<mid>[-./_]){_MONTH}(?P=mid){_YEAR}(?!\d){_TIME}"
    rf"|(?<!\d){_MONTH}(?P<odd>[-./_]){_DAY}(?P=odd){_YEAR}(?!\d){_TIME}",
)
#: A date with a year of two digits could also be three other numbers.
_SHORT_DATE = re.compile(
    rf"(?<![\d.-])(?:{_DAY}(?P<mid>[-.]){_MONTH}(?P=mid)\d\d|\d\d(?P<iso>[-.])(?:0[1-9]|1[0-2])(?P=iso)[0-3]\d)"
    r"(?!\d|[.-]\d)"
)
_MONTHS = (
    "jan january januar janvier enero gennaio januari feb february februar février febrero febbraio februari mar march "
    "märz mars marzo maart apr april avril abril aprile may mai mayo maggio mei jun june juni juin junio giugno jul "
    "july juli juillet julio luglio aug august août agosto augustus sep sept september septembre septiembre settembre "
    "oct october oktober octobre octubre ottobre okt nov november novembre noviembre dec december dezember décembre "
    "diciembre dicembre dez"
)
#: "Page 1 may": what follows a word for page is one.
_DAY_OF_MONTH = re.compile(
    rf"(?<![\d#])(?<!p)(?<!p[\s._-])(?<!page[\s._-])(?<!seite[\s._-])(?<!pag[\s._-])(?<!pág[\s._-]){_DAY}(?:st|nd|rd|th|\.)?[\s_-]*(?:{'|'.join(_MONTHS.split())})(?![^\W\d_])",
    re.IGNORECASE,
)
#: The usual resolutions, so that "12 dpi300" and "300dpi_001" keep their pages.
_RESOLUTION = r"(?:72|96|100|120|144|150|200|240|250|300|350|360|400|450|500|600|720|800|1200|2400)"
_DPI = re.compile(
    rf"(?<!\d){_RESOLUTION}[\s_-]?(?:dpi|ppi)(?![^\W\d_])|(?<![^\W\d_])(?:dpi|ppi)[\s_-]?{_RESOLUTION}(?!\d)",
    re.IGNORECASE,
)
_LENGTH = r"\d+(?:[.,]\d+)?"
_SIDES = re.compile(
    rf"(?<![\d.,]){_LENGTH}\s*(?:mm|cm|in)?\s*[x×]\s*{_LENGTH}\s*(?:mm|cm|in|px)(?![^\W\d_])"
    rf"|(?<!\d)\d{{2,5}}\s*[x×]\s*\d{{2,5}}(?!\d)",
    re.IGNORECASE,
)
_SHARE = re.compile(r"(?<!\d)\d{1,3}\s*%(?![0-9a-fA-F]{2})")
#: A sign as it stands in a web address.
_ESCAPED = re.compile(r"%[0-9a-fA-F]{2}")
_PAPER = re.compile(r"(?<![^\W_])(?:DIN[\s_-]?)?[AaB]([0-9])(?![^\W_])")
_CERTAIN = (_ESCAPED, _DATE, _DPI, _SIDES, _SHARE)
#: Fewer files that count from 1 may well be of so many days.
_FEWEST_PAGES = 3


def without_dates_and_sizes(paths: Sequence[str]) -> tuple[str, ...]:
    """Return paths with spaces for what cannot be a page number, each as long as it is in Unicode's composed form.

    Args:
        paths: all paths of a delivery: whether "A5" is a size or a page is told by the others.

    >>> without_dates_and_sizes(["2024-03-12 zine 3 300dpi.png"])[0].split()
    ['zine', '3', '.png']
    >>> without_dates_and_sizes(["A1.png", "A2.png"]), without_dates_and_sizes(["1 A5.png", "2 A5.png"])
    (('A1.png', 'A2.png'), ('1   .png', '2   .png'))
    """
    found = tuple(unicodedata.normalize("NFC", path) for path in paths)
    for certain in _CERTAIN:
        found = tuple(_blank(certain, path) for path in found)
    if not _days_count(found):
        found = tuple(_blank(_DAY_OF_MONTH, path) for path in found)
    if not _letters_count(found):
        found = tuple(_blank(_PAPER, path) for path in found)
    return tuple(_without_short_dates(path) for path in found)


def _blank(pattern: re.Pattern[str], path: str) -> str:
    return pattern.sub(lambda match: " " * len(match.group()), path)


def _days_count(paths: Sequence[str]) -> bool:
    """Tell whether what looks like days counts pages: "1 jan", "2 may", "3 mia", by artists of these names."""
    names = [path.rpartition("/")[2].rpartition(".")[0] for path in paths]
    days = [re.search(r"\d+", match[0]) for name in names if (match := _DAY_OF_MONTH.search(name))]
    bare = sum(not re.search(r"\d", _blank(_DAY_OF_MONTH, name)) for name in names if _DAY_OF_MONTH.search(name))
    if bare < len(names):
        return bare > 0
    every = {int(day[0]) for day in days if day}
    return len(every) >= _FEWEST_PAGES and every == set(range(1, len(every) + 1))


def _letters_count(paths: Sequence[str]) -> bool:
    """Tell whether "A1", "A2" and so on count pages: they begin at the front, and there are several."""
    numbers = {int(number) for path in paths for number in _PAPER.findall(path)}
    return len(numbers) > 1 and bool(numbers & {0, 1, 2})


def _without_short_dates(path: str) -> str:
    rest = _blank(_SHORT_DATE, path)
    return rest if re.search(r"\d", rest) else path
