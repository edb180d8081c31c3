"""The table of page × ink, from job folders as people keep them, and the faults in full words."""

from __future__ import annotations

import dataclasses
import os

import numpy as np
import pikepdf
import pytest
from PIL import Image

from imposer.errors import ImposerError
from imposer.geometry import Box, Size
from imposer.job.model import JobInk
from imposer.pages.find import find_pages
from tests.jobs import a_job

MM = 25.4
INKS = ("lamp black", "marigold")


def job_in(folder, *patterns, trim=(100, 150), bleed=0.0, fit="exact"):
    """Return a job in `folder` with an ink for each pattern (or list of patterns)."""
    job = a_job(trim=trim, bleed=bleed, inks=INKS[: len(patterns)])
    inks = tuple(
        JobInk(ink=ink.ink, pages=(pattern,) if isinstance(pattern, str) else tuple(pattern))
        for ink, pattern in zip(job.inks, patterns, strict=True)
    )
    page = dataclasses.replace(job.page, fit=fit)
    return dataclasses.replace(job, file=folder / "job.toml", inks=inks, page=page)


def picture(folder, name, size=(100, 150), ppi=100, stated=True, pixels=None, mode="L"):
    """Save a page picture of a size in mm."""
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    pixels = pixels or tuple(round(side * ppi / MM) for side in size)
    image = Image.new(mode, pixels, 255 if mode == "L" else (250, 250, 250))
    image.putpixel((0, 0), 0 if mode == "L" else (200, 0, 0))
    image.save(file, format="PNG" if file.suffix != ".tif" else "TIFF", **({"dpi": (ppi, ppi)} if stated else {}))
    return file


def pdf(folder, name, count=1, size=(100, 150), trim=None, box=None):
    """Save a PDF of blank pages of a size in mm; `trim` is a box in mm."""
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    document = pikepdf.new()
    for _ in range(count):
        page = document.add_blank_page(page_size=tuple(side * 72 / MM for side in size))
        page.Contents = document.make_stream(b"0 g 10 10 20 20 re f")
        if trim:
            page.TrimBox = [edge * 72 / MM for edge in trim]
    document.save(file)
    return file


def faults_of(job):
    with pytest.raises(ImposerError) as caught:
        find_pages(job)
    return [str(fault).replace(str(job.folder), "JOB") for fault in caught.value.faults]


def sources(table):
    return {(page, ink): art.source.place for (page, ink), art in table.cells.items()}


class TestTable:
    def test_pictures_and_a_pdf(self, tmp_path):
        for page in (1, 2, 4):
            picture(tmp_path, f"black/p{page:02}.png")
        pdf(tmp_path, "marigold.pdf", count=3)
        table = find_pages(job_in(tmp_path, "black/*.png", "marigold.pdf"))
        assert table.inks == INKS
        assert table.pages == 4
        assert sources(table) == {
            (1, "lamp black"): "black/p01.png",
            (1, "marigold"): "marigold.pdf, page 1",
            (2, "lamp black"): "black/p02.png",
            (2, "marigold"): "marigold.pdf, page 2",
            (3, "marigold"): "marigold.pdf, page 3",
            (4, "lamp black"): "black/p04.png",
        }
        assert table.findings == ()
        assert table.art(3, "lamp black") is None

    def test_the_ten_comes_after_the_nine(self, tmp_path):
        for page in range(1, 12):
            picture(tmp_path, f"{page}.png")
        table = find_pages(job_in(tmp_path, "*.png"))
        assert [table.cells[page, "lamp black"].source.shown for page in (1, 2, 9, 10, 11)] == [
            "1.png", "2.png", "9.png", "10.png", "11.png",
        ]  # fmt: skip

    def test_missing_pages_are_told(self, tmp_path):
        picture(tmp_path, "1.png")
        picture(tmp_path, "4.png")
        table = find_pages(job_in(tmp_path, "*.png"))
        assert [(f.rule, f.level, f.page, f.message) for f in table.findings] == [
            ("missing-page", "warning", 2, "no ink has a page 2; it stays blank"),
            ("missing-page", "warning", 3, "no ink has a page 3; it stays blank"),
        ]

    def test_counting_from_zero_counts_for_every_ink(self, tmp_path):
        for page in range(4):
            picture(tmp_path, f"black/{page}.png")
        picture(tmp_path, "yellow/2.png")
        table = find_pages(job_in(tmp_path, "black/*.png", "yellow/*.png"))
        assert table.pages == 4
        assert sources(table)[3, "marigold"] == "yellow/2.png"
        (finding,) = table.findings
        assert (finding.rule, finding.level) == ("counted-from-zero", "note")
        assert finding.message == (
            "the files' numbers begin at 0, so 0 is page 1, 1 is page 2, and so on, in every ink"
        )

    def test_one_page_pdfs_are_numbered_by_name(self, tmp_path):
        for page in (2, 3):
            pdf(tmp_path, f"black page {page}.pdf")
        assert sources(find_pages(job_in(tmp_path, "*.pdf"))) == {
            (2, "lamp black"): "black page 2.pdf",
            (3, "lamp black"): "black page 3.pdf",
        }

    def test_the_number_of_a_pdf_of_many_pages_is_no_page(self, tmp_path):
        pdf(tmp_path, "2_yellow.pdf", count=2)
        assert [page for page, _ in find_pages(job_in(tmp_path, "*.pdf")).cells] == [1, 2]

    def test_findings_say_page_and_ink(self, tmp_path):
        picture(tmp_path, "07.png", mode="RGB", pixels=(394, 591), stated=False)
        image = Image.new("RGB", (394, 591), (230, 40, 90))
        image.save(tmp_path / "07.png")
        table = find_pages(job_in(tmp_path, "07.png"))
        told = {finding.rule: finding for finding in table.findings if finding.rule != "missing-page"}
        assert set(told) == {"coloured-layer", "resolution-missing"}
        assert all(finding.where() == "page 7, lamp black" for finding in told.values())
        assert told["resolution-missing"].measured == "100 ppi"


class TestManyFilesOfManyPages:
    def test_ranges_in_the_names(self, tmp_path):
        pdf(tmp_path, "inside 05-08.pdf", count=4)
        pdf(tmp_path, "inside 01-04.pdf", count=4)
        table = find_pages(job_in(tmp_path, "*.pdf"))
        assert sources(table)[5, "lamp black"] == "inside 05-08.pdf, page 1"
        assert table.findings == ()

    def test_numbered_files_follow_one_another(self, tmp_path):
        pdf(tmp_path, "part 2.pdf", count=2)
        pdf(tmp_path, "part 10.pdf", count=3)
        pdf(tmp_path, "part 1.pdf", count=1)
        table = find_pages(job_in(tmp_path, "*.pdf"))
        assert list(sources(table).values()) == [
            "part 1.pdf", "part 2.pdf, page 1", "part 2.pdf, page 2",
            "part 10.pdf, page 1", "part 10.pdf, page 2", "part 10.pdf, page 3",
        ]  # fmt: skip
        (finding,) = table.findings
        assert (finding.rule, finding.level, finding.ink) == ("files-joined", "note", "lamp black")
        assert finding.message == (
            "files of several pages follow one another: "
            "part 1.pdf from page 1, part 2.pdf from page 2, part 10.pdf from page 4"
        )

    def test_a_list_is_an_order(self, tmp_path):
        for name, count in (("cover.pdf", 2), ("inside.pdf", 4), ("back.pdf", 2)):
            pdf(tmp_path, name, count=count)
        table = find_pages(job_in(tmp_path, ["cover.pdf", "inside.pdf", "back.pdf"]))
        assert sources(table)[7, "lamp black"] == "back.pdf, page 1"

    def test_a_list_of_pictures_without_numbers_is_an_order(self, tmp_path):
        for name in ("front.png", "middle.png", "back.png"):
            picture(tmp_path, name)
        table = find_pages(job_in(tmp_path, ["front.png", "middle.png", "back.png"]))
        assert [art.source.shown for art in table.cells.values()] == ["front.png", "middle.png", "back.png"]
        assert table.findings == ()

    def test_otherwise_the_person_is_asked(self, tmp_path):
        pdf(tmp_path, "cover.pdf", count=2)
        pdf(tmp_path, "inside.pdf", count=4)
        assert faults_of(job_in(tmp_path, "*.pdf")) == [
            (
                "JOB/job.toml: ink[1].pages: cannot tell in which order the pages of cover.pdf (2 pages), "
                'inside.pdf (4 pages) follow; list the files in order, such as ["cover.pdf", "inside.pdf"]'
            )
        ]


class TestPlacing:
    """Where art lies: page space has its origin at the lower left of the trim."""

    @pytest.mark.parametrize(
        ("size", "bleed", "covers"),
        [
            ((100, 150), 0, (0, 0, 100, 150)),
            ((100, 150), 3, (0, 0, 100, 150)),
            ((106, 156), 3, (-3, -3, 103, 153)),
            ((100.4, 149.6), 0, (-0.2, 0.2, 100.2, 149.8)),
        ],
    )
    def test_at_its_own_size_in_the_middle(self, tmp_path, size, bleed, covers):
        pdf(tmp_path, "1.pdf", size=size)
        art = find_pages(job_in(tmp_path, "1.pdf", bleed=bleed)).cells[1, "lamp black"]
        assert art.covers.x0 == pytest.approx(covers[0], abs=1e-6)
        assert art.covers.y0 == pytest.approx(covers[1], abs=1e-6)
        assert art.covers.x1 == pytest.approx(covers[2], abs=1e-6)
        assert art.covers.y1 == pytest.approx(covers[3], abs=1e-6)
        assert art.to_page[:4] == (1, 0, 0, 1)

    def test_a_picture_is_as_large_as_it_says(self, tmp_path):
        picture(tmp_path, "1.png", ppi=600)
        art = find_pages(job_in(tmp_path, "1.png")).cells[1, "lamp black"]
        assert art.size == Size(2362 / 600 * MM, 3543 / 600 * MM)

    def test_a_picture_may_be_a_pixel_off(self, tmp_path):
        # At 40 ppi a pixel is 0.635 mm.
        pixels = (round(100 / MM * 40) + 1, round(150 / MM * 40))
        picture(tmp_path, "1.png", ppi=40, pixels=pixels)
        assert find_pages(job_in(tmp_path, "1.png")).pages == 1

    @pytest.mark.parametrize(("pixels", "bleed", "size"), [((106, 156), 3, (106, 156)), ((100, 150), 3, (100, 150))])
    def test_a_picture_without_resolution_fills_the_page(self, tmp_path, pixels, bleed, size):
        picture(tmp_path, "1.png", pixels=tuple(10 * side for side in pixels), stated=False)
        art = find_pages(job_in(tmp_path, "1.png", bleed=bleed)).cells[1, "lamp black"]
        assert art.size == Size(*size)
        assert art.covers.centre == pytest.approx((50, 75))

    def test_a_pdf_is_placed_by_its_trim_box(self, tmp_path):
        pdf(tmp_path, "1.pdf", size=(130, 180), trim=(20, 10, 120, 160))
        art = find_pages(job_in(tmp_path, "1.pdf", bleed=3)).cells[1, "lamp black"]
        assert art.to_page.apply_box(art.source.trim).x0 == pytest.approx(0, abs=1e-6)
        assert art.to_page.apply_box(art.source.trim).y1 == pytest.approx(150, abs=1e-6)

    def test_a_trim_box_that_is_the_whole_page_says_nothing(self, tmp_path):
        pdf(tmp_path, "1.pdf", size=(106, 156), trim=(0, 0, 106, 156))
        art = find_pages(job_in(tmp_path, "1.pdf", bleed=3)).cells[1, "lamp black"]
        assert art.covers.x0 == pytest.approx(-3, abs=1e-6)

    def test_scaled_to_the_trim(self, tmp_path):
        picture(tmp_path, "1.png", size=(200, 250), ppi=127)
        table = find_pages(job_in(tmp_path, "1.png", fit="scale"))
        art = table.cells[1, "lamp black"]
        assert art.to_page.a == pytest.approx(0.5)
        covers = art.covers
        assert (covers.x0, covers.y0, covers.x1, covers.y1) == pytest.approx((0, 12.5, 100, 137.5), abs=1e-6)
        (finding,) = table.findings
        assert (finding.rule, finding.message) == ("scaled", "1.png is printed at 50.0 % of its size, to fill the trim")

    def test_scaling_leaves_art_of_the_right_size_alone(self, tmp_path):
        pdf(tmp_path, "1.pdf", size=(106, 156))
        table = find_pages(job_in(tmp_path, "1.pdf", bleed=3, fit="scale"))
        assert table.cells[1, "lamp black"].covers.x0 == pytest.approx(-3, abs=1e-6)
        assert table.findings == ()

    def test_centred_at_its_own_size(self, tmp_path):
        pdf(tmp_path, "1.pdf", size=(60, 90))
        art = find_pages(job_in(tmp_path, "1.pdf", fit="centre")).cells[1, "lamp black"]
        covers = art.covers
        assert (covers.x0, covers.y0, covers.x1, covers.y1) == pytest.approx((20, 30, 80, 120), abs=1e-6)

    def test_a_picture_without_resolution_can_be_scaled(self, tmp_path):
        picture(tmp_path, "1.png", pixels=(100, 100), stated=False)
        art = find_pages(job_in(tmp_path, "1.png", fit="scale")).cells[1, "lamp black"]
        assert art.covers == Box(0, 25, 100, 125)


class TestWrongSizes:
    def test_all_of_them_are_told_with_both_sizes(self, tmp_path):
        picture(tmp_path, "black/1.png", size=(80, 120), ppi=254)
        picture(tmp_path, "black/2.png")
        pdf(tmp_path, "yellow.pdf", count=2, size=(148, 210))
        assert faults_of(job_in(tmp_path, "black/*.png", "yellow.pdf", bleed=3)) == [
            (
                "black/1.png: is 80 × 120 mm, but a page is 100 × 150 mm (106 × 156 mm with bleed); "
                'export it at that size, or set [page] fit = "scale" or "centre"'
            ),
            (
                "yellow.pdf: page 1: is 148 × 210 mm, but a page is 100 × 150 mm (106 × 156 mm with bleed); "
                'export it at that size, or set [page] fit = "scale" or "centre"'
            ),
            (
                "yellow.pdf: page 2: is 148 × 210 mm, but a page is 100 × 150 mm (106 × 156 mm with bleed); "
                'export it at that size, or set [page] fit = "scale" or "centre"'
            ),
        ]

    def test_art_on_its_side(self, tmp_path):
        pdf(tmp_path, "1.pdf", size=(150, 100))
        picture(tmp_path, "yellow/1.png", pixels=(1500, 1000), stated=False)
        assert faults_of(job_in(tmp_path, "1.pdf", "yellow/1.png")) == [
            (
                "1.pdf: is 150 × 100 mm, but a page is 100 × 150 mm: it lies on its side; "
                "turn it by 90 degrees and export it again"
            ),
            (
                "yellow/1.png: is 1500 × 1000 px without a resolution, which has not the proportions of a page, "
                "100 × 150 mm: it lies on its side; turn it by 90 degrees and export it again"
            ),
        ]

    @pytest.mark.parametrize("size", [(200, 150), (206, 156), (212, 156)])
    def test_spreads(self, tmp_path, size):
        pdf(tmp_path, "02-03.pdf", size=size)
        (fault,) = faults_of(job_in(tmp_path, "02-03.pdf", bleed=3))
        assert fault == (
            f"02-03.pdf: is {size[0]} × {size[1]} mm, but a page is 100 × 150 mm (106 × 156 mm with bleed): "
            "it seems to be a spread of two pages; export single pages, not spreads"
        )

    def test_a_trim_box_of_another_size(self, tmp_path):
        pdf(tmp_path, "1.pdf", size=(130, 180), trim=(10, 10, 109, 160))
        assert faults_of(job_in(tmp_path, "1.pdf")) == [
            (
                "1.pdf: has a trim box of 99 × 150 mm, but a page is 100 × 150 mm; "
                'export it at that size, or set [page] fit = "scale" or "centre"'
            )
        ]

    def test_a_picture_without_resolution_of_other_proportions(self, tmp_path):
        picture(tmp_path, "1.png", pixels=(1000, 1100), stated=False)
        for fit in ("exact", "centre"):
            assert faults_of(job_in(tmp_path, "1.png", fit=fit)) == [
                (
                    "1.png: is 1000 × 1100 px without a resolution, which has not the proportions of a page, "
                    "100 × 150 mm; export it at the size of the page, with its resolution"
                )
            ]


class TestTwoFilesForOneCell:
    @pytest.mark.parametrize("names", [("p1.png", "p01.png"), ("1.png", "1.tif"), ("BLUE 1.png", "blue 1.png")])
    def test_is_refused(self, tmp_path, names):
        for name in names:
            picture(tmp_path, name)
        (fault,) = faults_of(job_in(tmp_path, "*"))
        assert fault.startswith("JOB/job.toml: ink[1].pages: page 1 has 2 files, ")
        assert all(name in fault for name in names)
        assert fault.endswith("; keep one, or give each a page number of its own")

    def test_one_file_matched_twice_is_one_file(self, tmp_path):
        picture(tmp_path, "1.png")
        assert find_pages(job_in(tmp_path, ["1.png", "*.png"])).pages == 1


class TestPatterns:
    def test_a_file_of_just_that_name_comes_first(self, tmp_path):
        picture(tmp_path, "[zine] 1.png")
        picture(tmp_path, "z 1.png")
        assert sources(find_pages(job_in(tmp_path, "[zine] 1.png"))) == {(1, "lamp black"): "[zine] 1.png"}

    def test_folders_within_folders(self, tmp_path):
        picture(tmp_path, "a/b/1.png")
        picture(tmp_path, "a/2.png")
        assert len(find_pages(job_in(tmp_path, "**/*.png")).cells) == 2

    def test_litter_is_passed_over(self, tmp_path):
        picture(tmp_path, "black/1.png")
        for name in (".DS_Store", "Thumbs.db", "desktop.ini", ".hidden.png", "__MACOSX/._1.png", ".git/2.png"):
            file = tmp_path / "black" / name
            file.parent.mkdir(exist_ok=True)
            file.write_bytes(b"litter")
        assert sources(find_pages(job_in(tmp_path, "black/*"))) == {(1, "lamp black"): "black/1.png"}
        assert sources(find_pages(job_in(tmp_path, "**/*"))) == {(1, "lamp black"): "black/1.png"}

    def test_what_an_earlier_build_wrote_is_passed_over(self, tmp_path):
        pdf(tmp_path, "1.pdf")
        pdf(tmp_path, "out/masters/pass-1.pdf")
        (tmp_path / "out" / "plan.json").write_text("{}")
        assert sources(find_pages(job_in(tmp_path, "**/*.pdf"))) == {(1, "lamp black"): "1.pdf"}

    def test_a_file_that_is_no_art_is_refused_by_name(self, tmp_path):
        picture(tmp_path, "1.png")
        (tmp_path / "notes.txt").write_text("trim the cover")
        assert faults_of(job_in(tmp_path, "*.*")) == [
            "notes.txt: is not a PNG, JPEG, TIFF or PDF; export it as one of these"
        ]

    @pytest.mark.parametrize(
        ("pattern", "fault"),
        [
            ("balck/*.png", '"balck/*.png" matches no file; did you mean "black/*.png"?'),
            ("black/*.pgn", '"black/*.pgn" matches no file; did you mean "black/*.png"?'),
            ("black/01.pgn", '"black/01.pgn" matches no file; did you mean "black/01.png"?'),
            (
                "black/*.psd",
                '"black/*.psd" matches no file; "black" holds 01.png, 02.png, 03.png, 04.png and 1 more',
            ),
            ("turquoise.pdf", '"turquoise.pdf" matches no file; the job\'s folder holds black/, empty/, notes.txt'),
            ("empty/*.png", '"empty/*.png" matches no file; "empty" holds nothing'),
            ("black", '"black" is a folder, not files; write "black/*.png"'),
            ("bla?k", '"bla?k" matches folders alone; write "bla?k/*"'),
            ("../*.png", "\"../*.png\" is not a path inside the job's folder; copy the artwork into the job's folder"),
            ("/tmp/*", "\"/tmp/*\" is not a path inside the job's folder; copy the artwork into the job's folder"),
            ("", "\"\" is not a path inside the job's folder; copy the artwork into the job's folder"),
        ],
    )
    def test_nothing_matched(self, tmp_path, pattern, fault):
        for page in range(1, 6):
            picture(tmp_path, f"black/{page:02}.png")
        (tmp_path / "empty").mkdir()
        (tmp_path / "notes.txt").write_text("x")
        assert faults_of(job_in(tmp_path, pattern)) == [f"JOB/job.toml: ink[1].pages: {fault}"]

    def test_a_pattern_that_is_none(self, tmp_path):
        (fault,) = faults_of(job_in(tmp_path, "a**/*.png"))
        assert fault.startswith('JOB/job.toml: ink[1].pages: "a**/*.png" cannot be matched (')

    def test_a_very_long_name(self, tmp_path):
        (fault,) = faults_of(job_in(tmp_path, "x" * 5000))
        assert "\n" not in fault

    def test_faults_of_all_inks_come_together(self, tmp_path):
        (tmp_path / "broken.png").write_bytes(b"")
        assert faults_of(job_in(tmp_path, "broken.png", "gone.pdf")) == [
            "broken.png: is empty (0 bytes); export or copy it again",
            'JOB/job.toml: ink[2].pages: "gone.pdf" matches no file; the job\'s folder holds broken.png',
        ]


class TestNames:
    @pytest.mark.parametrize(
        "name", ["Été nº1.png", "🌙 1.png", "a 1 b.png", "1'\".png", "1" + "é" * 60 + ".png", "two\nlines 1.png"]
    )
    def test_of_every_kind(self, tmp_path, name):
        picture(tmp_path, name)
        table = find_pages(job_in(tmp_path, "*.png"))
        assert sources(table) == {(1, "lamp black"): name}

    def test_a_new_line_in_a_name_stays_in_its_line(self, tmp_path):
        picture(tmp_path, "two\nlines 1.png", size=(10, 10))
        (fault,) = faults_of(job_in(tmp_path, "*.png"))
        assert fault.startswith("two\\nlines 1.png: is 9.91 × 9.91 mm, but")

    def test_that_differ_by_case_alone_are_two_files(self, tmp_path):
        picture(tmp_path, "a1.png")
        picture(tmp_path, "A2.png")
        assert [art.source.shown for art in find_pages(job_in(tmp_path, "*.png")).cells.values()] == [
            "a1.png", "A2.png",
        ]  # fmt: skip


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="there are no links here")
class TestLinks:
    def test_out_of_the_folder_are_refused(self, tmp_path):
        job = tmp_path / "job"
        job.mkdir()
        outside = picture(tmp_path, "1.png")
        (job / "1.png").symlink_to(outside)
        for pattern in ("1.png", "*.png"):
            assert faults_of(job_in(job, pattern)) == [
                (
                    "JOB/job.toml: ink[1].pages: "
                    '"1.png" is a link that leads out of the job\'s folder; put the file itself in its place'
                )
            ]

    def test_within_the_folder_are_fine(self, tmp_path):
        picture(tmp_path, "all/1.png")
        (tmp_path / "black").mkdir()
        (tmp_path / "black" / "2.png").symlink_to(tmp_path / "all" / "1.png")
        assert sources(find_pages(job_in(tmp_path, "black/*.png"))) == {(2, "lamp black"): "black/2.png"}

    def test_a_folder_that_holds_itself_ends(self, tmp_path):
        picture(tmp_path, "black/1.png")
        (tmp_path / "black" / "again").symlink_to(tmp_path / "black")
        assert len(find_pages(job_in(tmp_path, "**/*.png")).cells) == 1

    def test_a_job_folder_that_is_a_link_itself_is_fine(self, tmp_path):
        real = tmp_path / "real"
        picture(real, "1.png")
        (tmp_path / "job").symlink_to(real)
        assert find_pages(job_in(tmp_path / "job", "*.png")).pages == 1


def test_tones_and_table_agree_on_the_size(tmp_path):
    from imposer.pages.readers import reader_for

    picture(tmp_path, "1.png", ppi=300)
    art = find_pages(job_in(tmp_path, "1.png")).cells[1, "lamp black"]
    tones = reader_for(art.source.file, "1.png").tones(art.source, art.size, 300)
    assert tones.shape == (round(150 * 300 / MM), round(100 * 300 / MM))
    assert np.count_nonzero(tones) == 1
