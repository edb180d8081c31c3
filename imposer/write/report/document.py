"""`report.html`: every finding by what must be done about it, the sheets under the machine's zones, every rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from itertools import groupby
from pathlib import Path

from imposer.check import rules
from imposer.findings import Finding
from imposer.prepared import Prepared
from imposer.words import number_of
from imposer.write.report.artist import artist_page
from imposer.write.report.close_ups import close_ups
from imposer.write.report.page_head import head
from imposer.write.report.pictures import Picture
from imposer.write.report.sheets import page_symbols, sheet_figures, spot_on_sheet
from imposer.write.report.spots import figure, pictures_of, shows
from imposer.write.whole_file import write_whole

REPORT_FILE, ARTIST_FILE = "report.html", "for-the-artist.html"

#: More spots than this are told in words alone, so that the page stays small enough for a mail.
_PICTURES = 60

#: What must be done: its name in the style and in links, its title, what it says of itself.
_GROUPS: tuple[tuple[str, str, str], ...] = (
    ("error", "Reject", "No master is cut before these are mended."),
    ("warning", "Mend", "Mend these, or accept them in the job with a written reason."),
    ("accepted", "Accepted", "The job accepts these, for the reason that stands beside each."),
    ("note", "Know", "Nothing need be done; it is good to know."),
)


def write_report(folder: Path, prepared: Prepared) -> None:
    """Write the report and the artist's page into a folder, each whole or not at all.

    Raises:
        ImposerError: they cannot be written.
    """
    mend = "make room, or name another folder"
    serious = [finding for finding in prepared.findings if finding.level != "note" and finding.accepted is None]
    near = close_ups(prepared, serious)
    write_whole(folder / REPORT_FILE, ("\n".join(_page(prepared, near)) + "\n").encode(), mend)
    write_whole(folder / ARTIST_FILE, artist_page(prepared, near).encode(), mend)


def _page(prepared: Prepared, near: Mapping[Finding, Picture]) -> Iterator[str]:
    job, findings = prepared.job, prepared.findings
    yield head(f"{job.title}: report")
    yield f"<header><h1>{escape(job.title)}</h1><p>{escape(_verdict(findings))}</p></header>"
    yield f"<nav>{_contents(findings)}</nav><main>"
    pictures = _Pictures(prepared, near)
    for name, found in _groups(findings):
        yield from _group(name, found, pictures)
    if pictures.left_out:
        told = number_of(pictures.left_out, "finding")
        yield f'<p class="fine">Left out to keep this page small: pictures of {told}. The proof shows their pages.</p>'
    yield from _sheets(prepared)
    yield from _rules(prepared)
    yield "</main></body></html>"


class _Pictures:
    """The pictures of findings, as many as may be drawn."""

    def __init__(self, prepared: Prepared, near: Mapping[Finding, Picture]) -> None:
        self._prepared, self._near = prepared, near
        self._left = _PICTURES
        #: Findings with a spot that there was no room to show.
        self.left_out = 0

    def of(self, finding: Finding) -> str:
        """Return the figure of a finding's spot; empty if there is none, or no room for one more."""
        if finding.page is None:
            # It draws on the pictures that the sheets below bring along, and costs hardly anything.
            return spot_on_sheet(self._prepared, finding)
        if self._left <= 0:
            self.left_out += 1
            return ""
        pictures = pictures_of(self._prepared, finding, self._near)
        if not pictures:
            return ""
        self._left -= len(pictures)
        return figure(pictures, f"{finding.where()}: {finding.message}", shows(finding))


def _group_of(finding: Finding) -> str:
    """Return the group that a finding is told and counted in."""
    return finding.level if finding.accepted is None else "accepted"


def _groups(findings: Sequence[Finding]) -> Iterator[tuple[str, list[Finding]]]:
    """Yield every group with its findings; of what is accepted only where something is."""
    for name, _, _ in _GROUPS:
        found = [finding for finding in findings if _group_of(finding) == name]
        if found or name != "accepted":
            yield name, found


def _verdict(findings: Sequence[Finding]) -> str:
    counts = {name: len(found) for name, found in _groups(findings)}
    stops, mend = counts["error"], counts["warning"]
    if stops:
        return f"{stops} must be mended before a master is cut."
    return f"Masters can be cut; {mend} should be mended first." if mend else "Masters can be cut."


def _contents(findings: Sequence[Finding]) -> str:
    titles = {name: title for name, title, _ in _GROUPS}
    links = [f'<a class="{name}" href="#{name}">{titles[name]} {len(found)}</a>' for name, found in _groups(findings)]
    return "".join((*links, '<a href="#sheets">Sheets</a>', '<a href="#rules">Every rule</a>'))


def _group(name: str, findings: Sequence[Finding], pictures: _Pictures) -> Iterator[str]:
    title, about = next((title, about) for group, title, about in _GROUPS if group == name)
    if not findings:
        yield f'<section id="{name}" class="group {name}"><h2>{title}</h2><p class="fine">Nothing.</p></section>'
        return
    looks_for = {rule.name: rule.looks_for for rule in rules()}
    yield f'<section id="{name}" class="group {name}"><h2>{title} ({len(findings)})</h2><p class="about">{about}</p>'
    opened = name != "note"
    for rule, group in groupby(sorted(findings, key=lambda f: f.rule), lambda f: f.rule):
        found = list(group)
        heading = f"{escape(looks_for.get(rule, rule))} <small>{escape(rule)}, {len(found)}</small>"
        yield f"<details{' open' if opened else ''}><summary>{heading}</summary>"
        for finding in found:
            yield _finding(finding, pictures.of(finding))
        yield "</details>"
    yield "</section>"


def _finding(finding: Finding, shown: str) -> str:
    where = ", ".join(filter(None, (finding.where(), finding.file)))
    lines = [f'<p class="where">{escape(where)}</p>' if where else "", f"<p>{escape(finding.message)}</p>"]
    if finding.measured and finding.limit:
        lines.append(f'<p class="measured">{escape(finding.measured)}; limit {escape(finding.limit)}</p>')
    elif finding.measured:
        lines.append(f'<p class="measured">{escape(finding.measured)}</p>')
    if finding.accepted is not None:
        lines.append(f'<p class="accepted">Accepted: {escape(finding.accepted)}</p>')
    elif finding.mend:
        lines.append(f'<p class="mend">{escape(finding.mend)}</p>')
    return f'<article class="{finding.level}"><div>{"".join(lines)}</div>{shown}</article>'


def _sheets(prepared: Prepared) -> Iterator[str]:
    yield '<section id="sheets"><h2>Press sheets</h2><p class="key">'
    yield '<span class="safe">can be printed</span> <span class="careful">no heavy ink beyond</span> '
    yield '<span class="track">feed roller</span></p>'
    symbols = "".join(symbol for part in prepared.parts for symbol in page_symbols(part))
    yield f'<svg class="pages" width="0" height="0" aria-hidden="true"><defs>{symbols}</defs></svg>'
    for part in prepared.parts:
        if part.name:
            yield f"<h3>{escape(part.name)}</h3>"
        yield '<div class="sheets">'
        yield from sheet_figures(part, prepared.findings)
        yield "</div>"
    yield "</section>"


def _rules(prepared: Prepared) -> Iterator[str]:
    yield '<section id="rules"><h2>Every rule</h2><table>'
    yield "<thead><tr><th>rule</th><th>found</th><th>looks for</th><th>limit</th></tr></thead><tbody>"
    for rule in rules():
        found = [finding for finding in prepared.findings if finding.rule == rule.name]
        limit = rule.limit_in(prepared.job.shop.check) or ""
        yield (
            f"<tr><th scope='row'>{escape(rule.name)}</th><td class='found'>{_result(found)}</td>"
            f"<td>{escape(rule.looks_for)}</td><td class='limit'>{escape(limit)}</td></tr>"
        )
    yield "</tbody></table></section>"


def _result(findings: Sequence[Finding]) -> str:
    """Return how many findings a rule has, and how many of them are accepted, as mark-up."""
    if not findings:
        return "fine"
    accepted = sum(finding.accepted is not None for finding in findings)
    return f"<b>{len(findings)}</b>" + (f", {accepted} accepted" if accepted else "")
