"""Staples, stations and holes by their rules, and the marks for them measured on the sheet."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.fold.booklet import fold_booklet, read_booklet, signature_sizes
from imposer.geometry import Size
from imposer.job.binding import fold_by_id
from imposer.job.model import BindingSpec, StitchSpec
from imposer.sheet.frames import draw_frames
from imposer.sheet.impose import impose
from imposer.sheet.model import Patch, Stroke
from imposer.sheet.stitches import sewing_stations, stab_holes, stitching_of
from tests.jobs import a_job


def held(kind, trim=(140, 200), **spec):
    return stitching_of(BindingSpec(style="gathered", stitching=StitchSpec(kind=kind, **spec)), Size(*trim))


class TestPlaces:
    """All by the rules of the module: common practice, no source."""

    def test_side_stitch(self):
        found = held("side")
        assert (found.places, found.from_spine, found.margin) == ((50, 150), 6, 12)

    def test_stab_with_four_and_five_holes(self):
        assert held("stab").places == (10, 70, 130, 190)
        assert held("stab", holes=5).places == (10, 55, 100, 145, 190)
        assert (held("stab").from_spine, held("stab").margin) == (10, 20)

    def test_small_pages_have_their_holes_nearer_to_the_spine(self):
        assert (held("stab", (48, 70)).from_spine, held("stab", (48, 70)).margin) == (6, 12)

    def test_a_job_may_set_the_line_and_the_margin(self):
        found = held("stab", line=15.0)
        assert (found.from_spine, found.margin, found.places[0]) == (15, 30, 15)
        assert held("side", margin=14.0).margin == 14

    def test_stations_of_a_sewn_signature(self):
        assert held("sewn").places == pytest.approx((12, 47.2, 82.4, 117.6, 152.8, 188))
        assert (held("sewn").from_spine, held("sewn").margin) == (0, 0)
        assert len(held("sewn", holes=4).places) == 4

    def test_saddle_has_its_staples_in_the_fold(self):
        found = stitching_of(BindingSpec(), Size(140, 200))
        assert (found.kind, found.places, found.from_spine, found.margin) == ("saddle", (50, 150), 0, 0)

    @settings(max_examples=60, deadline=None, derandomize=True)
    @given(st.floats(40, 420), st.sampled_from([None, 4, 6, 8]))
    def test_stations_are_even_and_mirror_each_other(self, height, holes):
        places = sewing_stations(height, holes)
        gaps = [b - a for a, b in itertools.pairwise(places)]
        assert len(places) % 2 == 0
        assert max(gaps) - min(gaps) < 0.01
        assert places[0] == pytest.approx(height - places[-1], abs=0.01)
        assert 0 < places[0] <= 12
        if holes is None:
            assert max(gaps) <= 45.001

    @settings(max_examples=60, deadline=None, derandomize=True)
    @given(st.floats(40, 420), st.sampled_from([4, 5]), st.floats(3, 60))
    def test_stab_holes_lie_on_the_page(self, height, holes, line):
        places = stab_holes(height, holes, line)
        assert len(places) == holes
        assert list(places) == sorted(places)
        assert places[0] > 0
        assert places[-1] < height


def frames_of(pages, **asked):
    job = a_job(style="gathered", **asked)
    return job, impose(job, pages), draw_frames(job, impose(job, pages))


def marks(frames):
    return {key: [m for m in f.marks if isinstance(m, Stroke) and m.kind == "holes"] for key, f in frames.sides.items()}


SHAPES = {
    "single folds": (36, {"per_signature": 2}),
    "tumbled": (36, {"per_signature": 2, "turn": "tumble"}),
    "the long edge leads": (24, {"per_signature": 1, "trim": (105, 148), "lead": "long edge"}),
    "landscape": (24, {"per_signature": 2, "trim": (148, 105)}),
    "right to left": (36, {"per_signature": 2, "reading": "right-to-left"}),
    "16-page signatures": (64, {"per_signature": 1, "trim": (70, 100), "binding": {"scheme": fold_by_id("F16-6")}}),
    "12-page signatures": (36, {"per_signature": 1, "trim": (80, 105), "binding": {"scheme": fold_by_id("F12-7")}}),
}


def asked_with(kind, name, **spec):
    pages, asked = SHAPES[name]
    binding = {**asked.get("binding", {}), "stitching": StitchSpec(kind=kind, **spec)}
    return pages, {**asked, "binding": binding}


class TestMarks:
    @pytest.mark.parametrize("name", SHAPES)
    def test_sewing_marks_lie_on_the_fold_of_the_middle_pages(self, name):
        """Measured on the panels: every mark is on the border of the signature's two middle pages, at its station."""
        pages, asked = asked_with("sewn", name)
        job, imposition, frames = frames_of(pages, **asked)
        stations = stitching_of(job.binding, job.page.trim).places
        middles = set()
        for signature in range(1, imposition.booklet.signatures + 1):
            held = sorted(p for piece in imposition.booklet.pieces if piece.signature == signature for p in piece.pages)
            middles.add(frozenset(held[len(held) // 2 - 1 : len(held) // 2 + 1]))
        found = 0
        for (sheet, side), strokes in marks(frames).items():
            panels = next(s for s in imposition.sheets if s.number == sheet).face(side).panels
            for stroke in strokes:
                x, y = (stroke.x0 + stroke.x1) / 2, (stroke.y0 + stroke.y1) / 2
                touching = [p for p in panels if p.page and p.trim.grown(0.01).contains(point(x, y))]
                assert frozenset(p.page for p in touching) in middles
                assert any(abs(from_head(touching[0], x, y) - s) < 0.01 for s in stations)
                # Along the fold, so nothing of it lies in the art.
                along_y = touching[0].rotation in (0, 180)
                assert (stroke.x0 == stroke.x1) == along_y
                found += 1
        assert found == len(stations) * len(middles) * imposition.copies_per_set
        assert not frames.findings or all("holes" not in f.message for f in frames.findings)

    @pytest.mark.parametrize("name", SHAPES)
    @pytest.mark.parametrize("kind", ["side", "stab"])
    def test_ticks_cross_the_outer_fold_of_every_signature(self, kind, name):
        pages, asked = asked_with(kind, name)
        job, imposition, frames = frames_of(pages, marks={"holes"}, **asked)
        places = stitching_of(job.binding, job.page.trim).places
        ticked = {}
        for (sheet, side), strokes in marks(frames).items():
            panels = next(s for s in imposition.sheets if s.number == sheet).face(side).panels
            for stroke in strokes:
                x, y = (stroke.x0 + stroke.x1) / 2, (stroke.y0 + stroke.y1) / 2
                touching = [p for p in panels if p.page and p.trim.grown(0.01).contains(point(x, y))]
                # They stay within 0.4 mm of the fold, which the fold hides.
                assert abs(stroke.x1 - stroke.x0) + abs(stroke.y1 - stroke.y0) == pytest.approx(0.8)
                (signature,) = {p.signature for p in touching}
                held = [q for piece in imposition.booklet.pieces if piece.signature == signature for q in piece.pages]
                assert {p.page for p in touching} == {min(held), max(held)}
                ticked.setdefault(signature, set()).add(round(from_head(touching[0], x, y), 2))
        assert set(ticked) == set(range(1, imposition.booklet.signatures + 1))
        assert all(sorted(downs) == pytest.approx(places, abs=0.01) for downs in ticked.values())

    def test_ticks_keep_off_the_staircase(self):
        pages, asked = asked_with("stab", "single folds")
        _, _, frames = frames_of(pages, **asked)
        for frame in frames.sides.values():
            bars = [m.box for m in frame.marks if isinstance(m, Patch) and m.kind == "steps"]
            for stroke in (m for m in frame.marks if isinstance(m, Stroke) and m.kind == "holes"):
                box = point((stroke.x0 + stroke.x1) / 2, (stroke.y0 + stroke.y1) / 2)
                assert not any(bar.meets(box) for bar in bars)

    @pytest.mark.parametrize("asked", [{}, {"marks": set(), "binding": {"stitching": StitchSpec(kind="sewn")}}])
    def test_none_where_no_stitch_is_named_or_marks_are_switched_off(self, asked):
        _, _, frames = frames_of(36, per_signature=2, **asked)
        assert not any(marks(frames).values())


def point(x, y):
    from imposer.geometry import Box

    return Box.around(x, y, 0.004, 0.004)


def from_head(panel, x, y):
    trim = panel.trim
    return {0: trim.y1 - y, 90: x - trim.x0, 180: y - trim.y0, 270: trim.x1 - x}[panel.rotation]


class TestShortSignature:
    """A short signature stands second from the end: common practice, no source."""

    @pytest.mark.parametrize(
        ("pieces", "nested", "sizes"),
        [(5, 2, (2, 1, 2)), (9, 4, (4, 1, 4)), (8, 4, (4, 4)), (3, 2, (2, 1)), (2, 4, (2,)), (11, 4, (4, 3, 4))],
    )
    def test_sizes(self, pieces, nested, sizes):
        assert signature_sizes(pieces, nested, short_inside=True) == sizes

    @settings(max_examples=60, deadline=None, derandomize=True)
    @given(st.integers(1, 40), st.integers(1, 6), st.booleans())
    def test_the_book_still_reads_from_first_to_last(self, pieces, nested, right_to_left):
        booklet = fold_booklet(4 * pieces, pieces_per_signature=nested, right_to_left=right_to_left, short_inside=True)
        read = read_booklet(booklet.pieces, booklet.scheme, right_to_left=right_to_left)
        assert read == tuple(range(1, 4 * pieces + 1))

    @pytest.mark.parametrize("reading", ["left-to-right", "right-to-left"])
    def test_a_sewn_job_has_it_there_as_the_reader_counts(self, reading):
        job = a_job(style="gathered", per_signature=2, reading=reading, binding={"stitching": StitchSpec(kind="sewn")})
        pieces = impose(job, 36).booklet.pieces
        counted = [sum(piece.signature == s for piece in pieces) for s in range(1, 6)]
        assert counted == [2, 2, 2, 1, 2]
        assert min(pieces[0].pages) == 1


class TestCreepOfSignatures:
    """A 16-page right-angle signature counts as four nested sheets: flat model, geometry."""

    @pytest.mark.parametrize(
        ("pages", "nested", "caliper", "total"),
        # Totals of the flat model, (S - 1) t with S = 4 sheets a signature: 16 pages 0.3, 32 pages 0.7 at 0.1 mm;
        # 16 pages 0.39, 32 pages 0.91 at 0.13 mm.
        [(16, 1, 0.1, 0.3), (32, 2, 0.1, 0.7), (16, 1, 0.13, 0.39), (32, 2, 0.13, 0.91)],
    )
    def test_flat_totals(self, pages, nested, caliper, total):
        job = a_job(
            trim=(70, 100), style="gathered", per_signature=nested, caliper=caliper,
            binding={"scheme": fold_by_id("F16-6")},
        )  # fmt: skip
        imposition = impose(job, pages)
        assert imposition.creep == pytest.approx(total)
        creeps = {p.page: p.creep for sheet in imposition.sheets for f in (sheet.front, sheet.back) for p in f.panels}
        for page in range(1, pages + 1):
            depth = min((page - 1) // 2, (pages - page) // 2)
            assert creeps[page] == pytest.approx(depth * caliper)

    def test_round_total(self):
        """(S - 1) π t / 2: 0.4712 mm for 16 pages at 0.1 mm."""
        job = a_job(trim=(70, 100), caliper=0.1, creep="round", binding={"scheme": fold_by_id("F16-6")})
        assert impose(job, 16).creep == pytest.approx(0.4712, abs=5e-5)

    def test_gathered_signatures_creep_each_by_itself(self):
        job = a_job(
            trim=(70, 100), style="gathered", per_signature=1, caliper=0.1, binding={"scheme": fold_by_id("F16-6")}
        )
        assert impose(job, 64).creep == pytest.approx(0.3)
