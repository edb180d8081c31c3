"""The artist's page: what to change, page by page, in plain words and with pictures; nothing of the studio's own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from itertools import groupby

from imposer.findings import Finding
from imposer.prepared import Prepared
from imposer.write.report.page_head import head
from imposer.write.report.pictures import Picture
from imposer.write.report.plain_words import MEANS
from imposer.write.report.spots import figure, picture_of

#: More spots of one kind on a page than this are counted.
_MOST = 4


def artist_page(prepared: Prepared, close_ups: Mapping[Finding, Picture]) -> str:
    """Return the page."""
    return "\n".join(_page(prepared, close_ups)) + "\n"


def _page(prepared: Prepared, close_ups: Mapping[Finding, Picture]) -> Iterator[str]:
    yield head(f"{prepared.job.title}: what to change")
    yield f'<header><h1>{escape(prepared.job.title)}</h1></header><main class="artist">'
    asked = [f for f in prepared.findings if _for_artist(f)]
    if not asked:
        yield "<p>Thank you: your pages are ready to print as they are.</p></main></body></html>"
        return
    yield "<p>Thank you for your pages. Before they are printed, please look at these.</p>"
    for page, group in groupby(sorted(asked, key=lambda f: (f.page or 0, f.rule)), lambda f: f.page):
        yield f"<section><h2>{f'Page {page}' if page else 'All pages'}</h2>"
        for _, same in groupby(group, lambda f: (f.rule, f.ink)):
            yield from _told(prepared, list(same), close_ups)
        yield "</section>"
    yield "<p>Send changed files under the same names, please. What is not listed here is fine.</p>"
    yield "</main></body></html>"


def _for_artist(finding: Finding) -> bool:
    return finding.level != "note" and finding.accepted is None and finding.rule in MEANS


def _told(prepared: Prepared, findings: Sequence[Finding], close_ups: Mapping[Finding, Picture]) -> Iterator[str]:
    first = findings[0]
    file = f" <code>{escape(first.file)}</code>" if first.file else ""
    ink = f"<b>{escape(first.ink)}</b>{file}: " if first.ink else file
    must = "Please change this" if first.level == "error" else "Please look at this"
    yield f'<article class="{first.level}"><div><p>{ink}{escape(MEANS[first.rule])}</p>'
    for finding in findings[:_MOST]:
        both = finding.measured and finding.limit
        figures = escape(f" ({finding.measured}; limit {finding.limit})") if both else ""
        yield f'<p class="measured">{escape(finding.message)}{figures}</p>'
    if len(findings) > _MOST:
        yield f'<p class="measured">and {len(findings) - _MOST} more like it</p>'
    yield f'<p class="mend">{must}: {escape(first.mend)}</p></div>'
    picture = picture_of(prepared, first, close_ups)
    yield figure(picture, first) if picture else ""
    yield "</article>"
