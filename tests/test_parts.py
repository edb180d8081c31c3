"""Jobs in parts: a cover apart, an insert, each with its own paper and inks; page numbers stay the reader's."""

from __future__ import annotations

import json

import numpy as np
import pypdf
import pytest

from imposer import build, prepare
from imposer.cli import imposer as command_line
from imposer.errors import ImposerError
from imposer.job import load_job
from imposer.job.parts import part_pages
from imposer.job.values import BadValue
from tests.folders import write_png, write_vector_pdf

_HEAD = 'title = "Parts"\ncopies = 30\n[page]\ntrim = [60, 80]\n[sheet]\nsize = "A4"\n'
_INK = '[[ink]]\nname = "k"\npages = "black.pdf"\n'
_SPOT = '[[ink]]\nname = "marigold"\npages = "marigold.pdf"\n'
_COVER = '[[part]]\nname = "cover"\npages = "outer 4"\n[part.sheet]\nsize = "A3"\n'
_BODY = '[[part]]\nname = "body"\npages = "rest"\n'


def _job(folder, *tables, pages=16):
    folder.mkdir()
    write_vector_pdf(folder / "black.pdf", list(range(1, pages + 1)))
    write_vector_pdf(folder / "marigold.pdf", [1, *[None] * (pages - 2), pages])
    (folder / "job.toml").write_text(_HEAD + "".join(tables), encoding="utf-8")
    return folder


def _pages(side):
    return [panel.page for panel in side.panels]


def _refused(folder):
    with pytest.raises(ImposerError) as error:
        prepare(folder)
    return str(error.value)


def test_a_cover_apart_takes_the_outer_pages_and_the_body_the_rest(tmp_path):
    prepared = prepare(_job(tmp_path / "job", _INK, _SPOT, _COVER, _BODY, '[[part.ink]]\nname = "k"\n'))
    cover, body = prepared.parts
    assert (cover.pages, body.pages) == ((1, 2, 15, 16), tuple(range(3, 15)))
    assert (prepared.pages, prepared.sheets) == (16, 2)
    # The cover is one fold: 16 beside 1 outside, 2 beside 15 inside (a four-page folder, any textbook).
    assert set(_pages(cover.imposition.sheets[0].front)) == {1, 16}
    assert set(_pages(cover.imposition.sheets[0].back)) == {2, 15}
    assert cover.imposition.layout.stock.name == "A3"
    assert body.imposition.layout.stock.name == "A4"
    assert {page for sheet in body.imposition.sheets for page in _pages(sheet.front) + _pages(sheet.back)} - {None} == {
        *range(3, 15)
    }
    assert cover.job.ink_names == ("lamp black", "marigold")
    assert body.job.ink_names == ("lamp black",)


def test_sheets_and_passes_are_counted_over_the_whole_job(tmp_path):
    folder = _job(tmp_path / "job", _INK, _SPOT, _COVER, _BODY)
    out = build(folder).folder
    plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    assert [sheet["number"] for sheet in plan["sheets"]] == [1, 2]
    assert [p["number"] for p in plan["passes"]] == [1, 2, 3, 4]
    assert [part["name"] for part in plan["parts"]] == ["cover", "body"]
    assert [part["passes"] for part in plan["parts"]] == [[1, 2], [3, 4]]
    assert plan["parts"][0]["sheet"]["width"] == 420.0
    assert plan["sheet"] is None
    assert plan["counts"]["masters"] == sum(part["counts"]["masters"] for part in plan["parts"])
    files = [master["file"] for p in plan["passes"] for master in p["masters"]]
    assert len(set(files)) == len(files)
    for file in files:
        text = pypdf.PdfReader(out / file).pages[0].extract_text()
        assert "of 2 · " in text


def test_the_cover_pushes_the_body_out_by_its_own_thickness(tmp_path):
    """Flat model: every leaf outside adds its caliper (geometry): 0.1 mm of a cover, then 0.1 mm a leaf of the body."""
    alone = prepare(_job(tmp_path / "alone", _INK)).parts[0].imposition
    apart = prepare(_job(tmp_path / "apart", _INK, _COVER, _BODY)).parts[1].imposition
    creep = {p.page: p.creep for s in alone.sheets for side in (s.front, s.back) for p in side.panels}
    nested = {p.page: p.creep for s in apart.sheets for side in (s.front, s.back) for p in side.panels}
    assert creep[3] > 0
    assert nested[3] == pytest.approx(creep[3])
    assert nested[8] == pytest.approx(creep[8])


@pytest.mark.parametrize("numbers", [range(3, 15), range(1, 13)])
def test_art_of_a_part_is_numbered_by_the_reader_or_within_the_part(numbers, tmp_path):
    folder = _job(tmp_path / "job", _COVER, '[[part.ink]]\nname = "k"\npages = "c/*.pdf"\n', _BODY,
                  '[[part.ink]]\nname = "k"\npages = "b/*.pdf"\n')  # fmt: skip
    for page in (1, 2, 15, 16):
        write_vector_pdf(folder / "c" / f"{page}.pdf", [page])
    for page in numbers:
        write_vector_pdf(folder / "b" / f"{page}.pdf", [page])
    cover, body = prepare(folder).parts
    assert sorted(page for page, _ in cover.table.cells) == [1, 2, 15, 16]
    assert {page: art.source.shown for (page, _), art in body.table.cells.items()} == {
        page: f"b/{number}.pdf" for page, number in zip(range(3, 15), numbers, strict=True)
    }


def test_blanks_in_the_middle_are_for_the_artist_to_place(tmp_path):
    said = _refused(_job(tmp_path / "job", _INK, _COVER, _BODY, pages=14))
    assert "body has 10 pages (3–12), which do not fill its pieces (12), and page 13 follows" in said
    assert "leave 2 pages blank before page 13" in said


@pytest.mark.parametrize(("pages", "states"), [(14, 2), (18, 6)])
def test_a_folded_cover_has_a_page_for_each_of_its_places(pages, states, tmp_path):
    """Of a cover of one or two folded pieces the blanks would lie inside it, and the last page with them."""
    folder = _job(tmp_path / "job", _INK, _COVER.replace("outer 4", f"outer {states}"), _BODY, pages=pages)
    said = _refused(folder)
    assert "cover has" in said
    assert f'write "outer {states + 2}"' in said


def test_an_extra_has_pages_that_no_reader_counts(tmp_path):
    folder = _job(
        tmp_path / "job", _INK, '[[part]]\nname = "body"\npages = "rest"\n[[part]]\nname = "poster"\npages = "extra"\n'
        '[part.page]\ntrim = [120, 160]\n[[part.ink]]\nname = "k"\npages = "poster.pdf"\n'
    )  # fmt: skip
    write_vector_pdf(folder / "poster.pdf", ["A", "B"], trim=(120, 160))
    prepared = prepare(folder)
    assert prepared.pages == 16
    assert prepared.parts[1].extra
    assert prepared.parts[1].pages == (17, 18, 19, 20)
    assert sorted(prepared.parts[1].table.cells) == [(17, "lamp black"), (18, "lamp black")]


def test_art_in_an_ink_that_the_part_is_not_printed_in_is_told(tmp_path):
    folder = _job(tmp_path / "job", _INK, _SPOT, _COVER, '[[part.ink]]\nname = "k"\n', _BODY)
    (found,) = [f for f in prepare(folder).findings if f.rule == "unprinted-art"]
    assert (found.ink, found.page, found.level) == ("marigold", 1, "warning")
    assert "pages 1, 16" in found.message


def _heavy_job(folder, heavy, bare=()):
    """Sixteen pages in two inks, apart cover and body; both inks stand heavily near the spine of the heavy pages."""
    _job(folder, _INK.replace("black.pdf", "k/*.png"), _SPOT.replace("marigold.pdf", "m/*.png"), _COVER, _BODY)
    for page in range(1, 17):
        tones = np.full((320, 240), 255, np.uint8)
        if page not in bare:
            tones[:40] = 128
        if page in heavy:
            left = 180 if page % 2 == 0 else 20
            tones[100:180, left : left + 40] = 20
        write_png(folder / "k" / f"{page}.png", tones, 101.6)
        write_png(folder / "m" / f"{page}.png", tones, 101.6)
    return folder


@pytest.mark.parametrize("bare", [(), (2, 15)], ids=["printed", "bare"])
def test_cover_and_body_are_looked_at_where_they_lie_on_each_other(bare, tmp_path):
    prepared = prepare(_heavy_job(tmp_path / "job", heavy=(3, 14), bare=bare))
    told = [f for f in prepared.findings if f.rule == "set-off"]
    assert [(f.page, f.other_page, f.level) for f in told] == [(3, 2, "warning"), (14, 15, "warning")]
    assert "will mark bare page 2 facing it" in told[0].message
    # 5 mm from the spine of a page of 60 mm: the mark stands as near to it on the other.
    assert told[0].box.x0 == pytest.approx(60 - told[0].other_box.x1)
    assert told[0].other_box.x1 > 50


def test_what_the_cover_prints_itself_hides_the_mark_of_the_body(tmp_path):
    told = [f for f in prepare(_heavy_job(tmp_path / "job", heavy=(2, 3, 14, 15))).findings if f.rule == "set-off"]
    assert [(f.page, f.level) for f in told] == [(2, "note"), (3, "note"), (14, "note"), (15, "note")]


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ('[[part]]\nname = "a"\npages = "1-8"\n', "pages 9–16 belong to no part"),
        ('[[part]]\nname = "a"\npages = "1-8"\n[[part]]\nname = "b"\npages = "8-16"\n', "pages 8 belong to another"),
        ('[[part]]\nname = "a"\npages = "30-33"\n[[part.ink]]\nname = "k"\npages = "black.pdf"\n' + _BODY,
         "pages 30–33 lie beyond the last, 20"),
        (_COVER + _COVER + _BODY, '"cover" is the name of an earlier part'),
        (_BODY + '[[part]]\nname = "b"\npages = "rest"\n', "an earlier part has the rest pages already"),
        ('[[part]]\nname = "a"\npages = "outer 3"\n', "as many lie in front as behind"),
        ('[[part]]\nname = "a"\npages = "extra"\n' + _BODY, "an extra has art of its own"),
        (_COVER + '[part.page]\ntrim = "A6"\n' + _BODY, "a page of another kind needs art of its own"),
        (_COVER + '[[part.ink]]\nname = "fern"\n' + _BODY, "names no pages, and the job has none for it"),
        (_COVER + '[part.shet]\n' + _BODY, 'did you mean "sheet"?'),
    ],
)  # fmt: skip
def test_parts_that_cannot_be_are_refused_in_a_line(parts, said, tmp_path):
    assert said in _refused(_job(tmp_path / "job", _INK, _SPOT, parts))


def test_a_fault_of_the_job_is_told_once_however_many_parts_take_it_over(tmp_path):
    folder = _job(tmp_path / "job", _INK, _COVER, _BODY)
    text = (folder / "job.toml").read_text(encoding="utf-8").replace('size = "A4"', 'size = "A4"\npaper = "gold leaf"')
    (folder / "job.toml").write_text(text, encoding="utf-8")
    with pytest.raises(ImposerError) as error:
        load_job(folder)
    assert [fault.place for fault in error.value.faults] == ["sheet.paper"]


@pytest.mark.parametrize("value", ["outer", "outer 0", "5-3", "0", "a", "", 3, [1, 1], "1-9999"])
def test_pages_that_name_none_are_refused(value):
    with pytest.raises(BadValue):
        part_pages(value)


def test_the_screen_shows_every_part(tmp_path, capsys):
    folder = _job(tmp_path / "job", _INK, _SPOT, _COVER, _BODY)
    command_line.main(["plan", str(folder)], standalone_mode=False)
    shown = capsys.readouterr().out
    assert "16 pages in 2 parts (cover, body), 30 copies" in shown
    assert "In all:" in shown
    command_line.main(["plan", str(folder), "--pages"], standalone_mode=False)
    shown = capsys.readouterr().out
    assert "cover: pages 1, 2, 15, 16" in shown


_WRAPPED = '[[part]]\nname = "cover"\npages = "outer 4"\n[part.binding]\nstyle = "saddle"\nspine = "auto"\n'


def test_a_wrapped_cover_has_a_spine_as_thick_as_its_block_scored_at_both_edges(tmp_path):
    """Caliper × leaves: 12 pages are 6 leaves of 0.1 mm (white 80 of the example shop), 0.6 mm."""
    block = '[[part]]\nname = "block"\npages = "rest"\n[part.binding]\nstyle = "gathered"\n'
    out = build(_job(tmp_path / "job", _INK, _WRAPPED, block)).folder
    plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    cover, body = plan["parts"]
    assert cover["spine"] == pytest.approx(0.6)
    assert body["creep"] == 0
    front = {panel["page"]: panel["trim"] for panel in plan["sheets"][0]["front"] if panel["copy"] == 1}
    spans = sorted(((box[0], box[2]) for box in front.values()), key=min)
    across = sorted(((box[1], box[3]) for box in front.values()), key=min)
    gaps = [pair[1][0] - pair[0][1] for pair in (spans, across)]
    assert any(gap == pytest.approx(0.6, abs=0.001) for gap in gaps)


@pytest.mark.parametrize(
    ("binding", "said"),
    [
        ('[binding]\nspine = "auto"\n', "there is nothing that it could be as thick as"),
        ('[binding]\nspine = 4\nfold = "F8-7"\n', "is folded at both its edges and nowhere else"),
        ("[binding]\nspine = 200\n", 'give a length such as "4 mm", or "auto"'),
    ],
)
def test_a_spine_that_cannot_be_is_refused(binding, said, tmp_path):
    assert said in _refused(_job(tmp_path / "job", _INK, binding))


def test_a_belly_band_and_a_poster_go_along_as_cards(tmp_path):
    """A band is a card printed on one side; so is a poster: extras of style flat, each with art and trim of its own."""
    flat = '[part.binding]\nstyle = "flat"\nsides = 1\n'
    folder = _job(
        tmp_path / "job", _INK, '[[part]]\nname = "body"\npages = "rest"\n',
        f'[[part]]\nname = "band"\npages = "extra"\n[part.page]\ntrim = [150, 30]\n{flat}'
        '[[part.ink]]\nname = "k"\npages = "band.pdf"\n',
        f'[[part]]\nname = "poster"\npages = "extra"\n[part.page]\ntrim = [250, 180]\n{flat}'
        '[[part.ink]]\nname = "k"\npages = "poster.pdf"\n',
    )  # fmt: skip
    write_vector_pdf(folder / "band.pdf", ["B"], trim=(150, 30))
    write_vector_pdf(folder / "poster.pdf", ["P"], trim=(250, 180))
    built = build(folder)
    body, band, poster = built.prepared.parts
    assert (body.pages[-1], band.pages, poster.pages) == (16, (17,), (18,))
    assert built.prepared.pages == 16
    assert not any(run.side == "back" for part in (band, poster) for run in part.plan.passes)
    assert (built.folder / "guide.pdf").is_file()


def test_a_dust_jacket_is_a_card_scored_at_its_flaps_and_spine(tmp_path):
    """Flaps of 20 mm, covers of 61 mm, a spine of 4 mm, by hand: scores at 20, 81, 85 and 146 of 166 mm."""
    folder = _job(
        tmp_path / "job", _INK, '[[part]]\nname = "body"\npages = "rest"\n[[part]]\nname = "jacket"\npages = "extra"\n'
        '[part.page]\ntrim = [166, 80]\n[part.binding]\nstyle = "flat"\nsides = 1\nscores = [20, 81, 85, 146]\n'
        '[[part.ink]]\nname = "k"\npages = "jacket.pdf"\n',
    )  # fmt: skip
    write_vector_pdf(folder / "jacket.pdf", ["J"], trim=(166, 80))
    built = build(folder)
    jacket = built.prepared.parts[1].imposition
    (panel, *_), folds = jacket.sheets[0].front.panels, jacket.sheets[0].front.folds
    across = [fold for fold in folds if panel.trim.x0 <= fold.x0 <= panel.trim.x1 or fold.y0 == fold.y1]
    if panel.rotation in (0, 180):
        places = sorted(fold.x0 - panel.trim.x0 for fold in across if panel.trim.y0 <= fold.y0 <= panel.trim.y1)
    else:
        places = sorted({fold.y0 - panel.trim.y0 for fold in across if panel.trim.x0 <= fold.x0 <= panel.trim.x1})
    assert places == pytest.approx([20, 81, 85, 146])


@pytest.mark.parametrize(
    ("scores", "said"),
    [("[20, 200]", "200 mm lies beyond the card"), ("[30, 20]", "is not in order"), ("20", "is not a list of places")],
)
def test_scores_that_cannot_be_are_refused(scores, said, tmp_path):
    folder = _job(tmp_path / "job", f'[binding]\nstyle = "flat"\nsides = 1\nscores = {scores}\n', _INK)
    assert said in _refused(folder)


def test_a_booklet_has_no_scores(tmp_path):
    folder = _job(tmp_path / "job", "[binding]\nscores = [20]\n", _INK)
    assert "is folded in its own way; leave it out; it is for flat" in _refused(folder)
