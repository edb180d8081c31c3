"""Looks for art of unlike sizes, or some lying on its side, that the job scales or centres to fit. Level: warning.

Where the job fits art exactly, another size is refused when it is read. Where it scales or centres, one page of another
size or proportion than the rest is more likely a wrong export. Sizes within 0.5 mm are the same. The mend: export all
pages at one size.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from imposer.check.facts import Facts, Rule, gathered
from imposer.findings import Finding
from imposer.geometry import Size
from imposer.pages.place import SAME_SIZE
from imposer.units import show


def _find(facts: Facts) -> Iterator[Finding]:
    if facts.job.page.fit == "exact" or not facts.table.cells:
        return
    sizes = [_drawn(art.source.trim.size if art.source.trim else art.size) for art in facts.table.cells.values()]
    usual = Counter(sizes).most_common(1)[0][0]
    for (page, ink), size in zip(facts.table.cells, sizes, strict=True):
        if size.close_to(usual, SAME_SIZE):
            continue
        turned = size.close_to(usual.turned, SAME_SIZE)
        yield Finding(
            rule=RULE.name,
            level="warning",
            message=f"this art is {_words(size)}, most is {_words(usual)}{': it lies on its side' if turned else ''}",
            mend="turn it by 90 degrees and export it again" if turned else "export all pages at one size",
            page=page,
            ink=ink,
            measured=_words(size),
            limit=_words(usual),
            file=facts.shown(page, ink),
        )


def _drawn(size: Size) -> Size:
    return Size(round(size.width, 1), round(size.height, 1))


def _words(size: Size) -> str:
    return f"{show(size.width)} × {show(size.height)} mm"


RULE = Rule(
    name="unlike-pages",
    looks_for="art of unlike sizes, or lying on its side",
    limit="0.5 mm",
    find=gathered(_find),
)
