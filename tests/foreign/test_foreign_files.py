"""Pages from general-purpose programs, built into masters and compared with the program's own page by pixels."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pypdfium2
import pytest

from imposer import build
from tests.sheets import outside, panels, render

WIDTH, HEIGHT = 140, 200
PPI = 150
SHARE = 1e-4

WORDS = "The lamps come on one after another and the moths know first."

POSTSCRIPT = f"""%!PS
<< /PageSize [{WIDTH / 25.4 * 72:.3f} {HEIGHT / 25.4 * 72:.3f}] >> setpagedevice
/page {{ /Times-Roman findfont 24 scalefont setfont 40 480 moveto show
  1 1 12 {{ dup 12 div setgray 30 mul 10 exch 40 exch 12 add 300 8 rectfill }} for
  0 setgray 2 setlinewidth 200 300 60 0 360 arc stroke
  gsave 100 100 translate 30 rotate 0.4 setgray 0 0 80 40 rectfill grestore showpage }} def
(Night one) page (Night two) page
"""

SVG = f"""<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}mm" height="{HEIGHT}mm" viewBox="0 0 {WIDTH} {HEIGHT}">
<defs><linearGradient id="g"><stop offset="0" stop-color="#000"/><stop offset="1" stop-color="#fff"/></linearGradient>
<pattern id="p" width="4" height="4" patternUnits="userSpaceOnUse"><circle cx="2" cy="2" r="1.2" fill="#444"/></pattern>
</defs><rect x="20" y="20" width="80" height="30" fill="url(#g)"/>
<rect x="20" y="60" width="80" height="30" fill="url(#p)"/>
<path d="M20 120 C 40 80, 100 160, 120 110" fill="none" stroke="#000" stroke-width="1.4"/>
<circle cx="60" cy="150" r="25" fill="#000" fill-opacity="0.35"/><circle cx="80" cy="160" r="22" fill="#777"/>
<text x="20" y="190" font-family="DejaVu Sans" font-size="6">{WORDS}</text></svg>
"""

HTML = f"""<!doctype html><meta charset="utf-8"><style>@page {{ size: {WIDTH}mm {HEIGHT}mm; margin: 0 }}
body {{ margin: 12mm; font: 12pt serif; color: #000 }} .box {{ width: 60mm; height: 30mm; border-radius: 8mm;
background: linear-gradient(90deg, #222, #ddd); }} h1 {{ font-size: 26pt }} section {{ break-after: page }}</style>
<section><h1>Moth Hours</h1><p>{WORDS * 6}</p><div class="box"></div></section><section><h1>Two</h1>
<svg width="200" height="200"><path d="M10 10L190 60L40 180Z" fill="#333" stroke="#000" stroke-width="4"/></svg>
</section>
"""

TEX = rf"""\documentclass{{article}}\usepackage[paperwidth={WIDTH}mm,paperheight={HEIGHT}mm,margin=14mm]{{geometry}}
\pagestyle{{empty}}\begin{{document}}\section*{{Moth Hours}}{WORDS * 5}
\[ \int_0^\infty e^{{-x^2}}\,dx = \frac{{\sqrt{{\pi}}}}{{2}} \]
\rule{{60mm}}{{8mm}}\newpage\begin{{tabular}}{{|l|r|}}\hline lamp & 40 \\ \hline moth & 3 \\ \hline\end{{tabular}}
\end{{document}}
"""

OFFICE = f"""<?xml version="1.0" encoding="UTF-8"?>
<office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0"
 xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"
 xmlns:fo="urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0" office:version="1.3"
 office:mimetype="application/vnd.oasis.opendocument.text"><office:automatic-styles>
<style:page-layout style:name="p"><style:page-layout-properties fo:page-width="{WIDTH}mm" fo:page-height="{HEIGHT}mm"
 fo:margin-top="15mm" fo:margin-bottom="15mm" fo:margin-left="15mm" fo:margin-right="15mm"/></style:page-layout>
<style:style style:name="b" style:family="paragraph"><style:paragraph-properties fo:background-color="#999999"/>
<style:text-properties fo:font-size="20pt"/></style:style></office:automatic-styles>
<office:master-styles><style:master-page style:name="Standard" style:page-layout-name="p"/></office:master-styles>
<office:body><office:text><text:p text:style-name="b">Moth Hours</text:p><text:p>{WORDS * 8}</text:p></office:text>
</office:body></office:document>
"""


def run(*command, cwd):
    subprocess.run(command, cwd=cwd, check=True, capture_output=True, timeout=120)


def ghostscript(folder):
    (folder / "in.ps").write_text(POSTSCRIPT, encoding="ascii")
    run("gs", "-q", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pdfwrite", "-sOutputFile=made.pdf", "in.ps", cwd=folder)


def old_ghostscript(folder):
    """The same through PDF 1.3 with its compatibility level."""
    (folder / "in.ps").write_text(POSTSCRIPT, encoding="ascii")
    command = ("gs", "-q", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pdfwrite", "-dCompatibilityLevel=1.3")
    run(*command, "-sOutputFile=made.pdf", "in.ps", cwd=folder)


def cairo(folder):
    (folder / "in.svg").write_text(SVG, encoding="utf-8")
    run("rsvg-convert", "-f", "pdf", "-o", "made.pdf", "in.svg", cwd=folder)


def browser(folder):
    (folder / "in.html").write_text(HTML, encoding="utf-8")
    flags = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run")
    profile = f"--user-data-dir={folder / 'profile'}"
    page = (folder / "in.html").as_uri()
    run("chromium", *flags, profile, "--no-pdf-header-footer", "--print-to-pdf=made.pdf", page, cwd=folder)


def tex(folder):
    (folder / "made.tex").write_text(TEX, encoding="utf-8")
    run("pdflatex", "-interaction=batchmode", "made.tex", cwd=folder)


def office(folder):
    (folder / "made.fodt").write_text(OFFICE, encoding="utf-8")
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    run("soffice", profile, "--headless", "--convert-to", "pdf", "made.fodt", cwd=folder)


MAKERS = [
    (ghostscript, "gs"), (old_ghostscript, "gs"), (cairo, "rsvg-convert"), (browser, "chromium"), (tex, "pdflatex"),
    (office, "soffice"),
]  # fmt: skip


@pytest.mark.parametrize(("maker", "program"), MAKERS, ids=lambda value: getattr(value, "__name__", None))
def test_a_page_of_another_program_is_placed_as_that_program_drew_it(maker, program, tmp_path):
    if not shutil.which(program):
        pytest.skip(f"{program} is not installed")
    maker(tmp_path)
    made = tmp_path / "made.pdf"
    job = tmp_path / "job"
    job.mkdir()
    shutil.copy(made, job / "pages.pdf")
    (job / "job.toml").write_text(
        f'title = "Foreign"\ncopies = 10\n[page]\ntrim = [{WIDTH}, {HEIGHT}]\n'
        '[[ink]]\nname = "lamp black"\npages = "pages.pdf"\n',
        encoding="utf-8",
    )
    built = build(job)
    assert built.folder == Path(job / "out")
    seen = dict(panels(built.folder, PPI))
    with pypdfium2.PdfDocument(made) as document:
        pages = len(document)
    assert {page for page, _ in seen} >= set(range(1, pages + 1))
    for (page, _), placed in seen.items():
        if page > pages:
            assert not placed[2:-2, 2:-2].any(), f"page {page} is blank"
            continue
        source = render(made, page - 1, PPI, (WIDTH, HEIGHT))
        assert outside(source, placed) < SHARE, f"page {page}"
        assert outside(source, source[::-1]) > 10 * SHARE, "the art must tell its turns apart"
