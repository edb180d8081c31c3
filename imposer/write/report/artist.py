"""The artist's page: what to change, page by page, in plain words and with pictures; nothing of the studio's own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from itertools import groupby

from imposer.findings import Finding
from imposer.prepared import Prepared
from imposer.words import runs_of
from imposer.write.report.artist_words import at_page, file_of, how_much, is_told, pages_of, what_to_do, where_on_page
from imposer.write.report.page_head import head
from imposer.write.report.pictures import Picture
from imposer.write.report.plain_words import WORDS
from imposer.write.report.spots import figure, pictures_of, shows

#: More spots of one kind on a page than this are counted.
_MOST = 4
#: Once there are as many pictures as this, one of each kind on a page has to do: the page goes by mail. Own choice.
_PICTURES = 60


def artist_page(prepared: Prepared, close_ups: Mapping[Finding, Picture]) -> str:
    """Return the page."""
    return "\n".join(_page(prepared, close_ups)) + "\n"


def _page(prepared: Prepared, close_ups: Mapping[Finding, Picture]) -> Iterator[str]:
    serious = [f for f in prepared.findings if f.level != "note" and f.accepted is None]
    asked = [at_page(prepared, finding) for finding in serious if is_told(finding)]
    yield head(f"{prepared.job.title}: what to change")
    yield f'<header><h1>{escape(prepared.job.title)}</h1></header><main class="artist">'
    if asked:
        yield "<p>Thank you for your pages. Before they are printed, please look at these.</p>"
        yield from _sections(prepared, asked, close_ups)
    yield f"<p class='last'>{_last_words(len(asked), len(serious) - len(asked))}</p>"
    yield "</main></body></html>"


def _last_words(asked: int, others: int) -> str:
    """Return how the page ends: what the studio has to settle itself must not be called fine."""
    if asked:
        rest = "The studio looks after the rest." if others else "Nothing else has to be changed."
        return f"Send changed files under the same names, please. {rest}"
    if others:
        return (
            "Thank you: you need not change anything. The studio has something of its own to settle before it prints."
        )
    return "Thank you: your pages are ready to print as they are."


def _sections(prepared: Prepared, asked: Sequence[Finding], close_ups: Mapping[Finding, Picture]) -> Iterator[str]:
    drawn = 0
    musts = {_kind(finding) for finding in asked if finding.level == "error"}
    # On every page what has to be changed comes first.
    ordered = sorted(asked, key=lambda finding: (finding.page or 0, _kind(finding) not in musts, _kind(finding)))
    for page, group in groupby(ordered, lambda f: f.page):
        yield f"<section><h2>{f'Page {page}' if page else 'All pages together'}</h2>"
        for _, same in groupby(group, _kind):
            findings = list(same)
            figures = _figures(prepared, findings[:_MOST], close_ups, max(1, _PICTURES - drawn))
            drawn += sum(bool(drawing) for drawing, _ in figures)
            yield _told(prepared, findings, figures)
        yield "</section>"


def _kind(finding: Finding) -> tuple[int, str, str, int, str]:
    """Return what findings have in common that are told together: their page or side of a sheet, rule and ink."""
    side = (0, "") if finding.page is not None else (finding.sheet or 0, finding.side or "")
    return (finding.page or 0, finding.rule, finding.ink or "", *side)


def _figures(
    prepared: Prepared, findings: Sequence[Finding], close_ups: Mapping[Finding, Picture], most: int
) -> list[tuple[str, str]]:
    """Return for every spot its picture, empty where there is none, and what is said of it."""
    found: list[tuple[str, str]] = []
    for number, finding in enumerate(findings):
        said = _said(prepared, finding)
        pictures = pictures_of(prepared, finding, close_ups) if number < most else ()
        if pictures and (finding.box is not None or number == 0):
            found.append((figure(pictures, f"{_where(finding)}: {WORDS[finding.rule].means}", said), said))
        elif said and said not in [other for _, other in found]:
            found.append(("", said))
    return found


def _said(prepared: Prepared, finding: Finding) -> str:
    """Return what its picture shows or where on the page a spot is, and how much of it there is."""
    seen, much = shows(finding) or where_on_page(prepared, finding), how_much(prepared, finding)
    if finding.other_page is not None:
        seen = f"{seen}, against page {finding.other_page}" if seen else f"against page {finding.other_page}"
    return " ".join(filter(None, (f"{seen[0].upper()}{seen[1:]}." if seen else "", much)))


def _told(prepared: Prepared, findings: Sequence[Finding], figures: Sequence[tuple[str, str]]) -> str:
    first = findings[0]
    lines = [f"<p>{_of_what(prepared, first)}{escape(WORDS[first.rule].means)}</p>"]
    lines += [f'<p class="measured">{escape(said)}</p>' for drawing, said in figures if not drawing]
    if len(findings) > _MOST:
        lines.append(f'<p class="measured">There are {len(findings) - _MOST} more like it on this page.</p>')
    lines.append(f'<p class="mend">{escape(what_to_do(prepared, first))}</p>')
    if any(finding.level == "error" for finding in findings):
        lines.append('<p class="must">This has to be changed before your pages can be printed.</p>')
    return f'<article class="{first.level}"><div>{"".join(lines)}</div>{"".join(d for d, _ in figures)}</article>'


def _of_what(prepared: Prepared, finding: Finding) -> str:
    """Return the colour and file that a finding is of, and its pages where they are several, as mark-up."""
    pages = pages_of(prepared, finding) if finding.page is None else ()
    named = (f"Pages {runs_of(pages)}" if len(pages) > 1 else f"Page {pages[0]}") if pages else ""
    what = " in ".join(f"<b>{escape(words)}</b>" for words in (named, finding.ink) if words)
    file = file_of(prepared, finding)
    told = ", ".join(filter(None, (what, f"<code>{escape(file)}</code>" if file else "")))
    return f"{told}: " if told else ""


def _where(finding: Finding) -> str:
    page = "all pages" if finding.page is None else f"page {finding.page}"
    return page if finding.ink is None else f"{page}, {finding.ink}"
