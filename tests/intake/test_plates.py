"""Deliveries in process and spot colours: their plates are told, the inks are proposed, and a person is asked."""

from __future__ import annotations

import tomllib

import pytest
from PIL import Image

from imposer import prepare
from imposer.cli import imposer as command_line
from imposer.errors import ImposerError
from imposer.intake.delivery import read_delivery
from imposer.intake.understand import understand
from imposer.job import load_job
from imposer.job.shop_file import load_shop
from imposer.limits import LIMITS
from tests.pages.plate_cells import page_of, separation
from tests.test_plates import page as process_page


def read(folder):
    return understand(read_delivery(folder, LIMITS), load_shop(None).inks)


def spots(file, names, pages=4):
    """A PDF of A6 pages with a square of each of these spot colours, in a column, and black type's place in K."""
    file.parent.mkdir(parents=True, exist_ok=True)
    with page_of("") as pdf:
        resources = pdf.pages[0].Resources
        for number, name in enumerate(names):
            resources.ColorSpace[f"/S{number}"] = separation(pdf, name)
        squares = " ".join(f"/S{i} cs 1 scn 60 {40 + 90 * i} 80 60 re f" for i in range(len(names)))
        pdf.pages[0].Contents = pdf.make_stream(f"{squares} 0 0 0 1 k 60 330 80 40 re f".encode())
        pdf.pages[0].MediaBox = [0, 0, 297.638, 419.528]
        for _ in range(pages - 1):
            pdf.pages.append(pdf.pages[0])
        pdf.save(file)


def test_plates_of_a_pdf_are_given_to_the_inks_they_are_called_by_and_asked_about(tmp_path):
    spots(tmp_path / "sent" / "zine.pdf", ("Harbour", "Rose"))
    found = read(tmp_path / "sent")
    assert found.inks == ("lamp black", "harbour", "rose")
    assert {(cell.ink, cell.plate) for cell in found.cells} == {
        ("lamp black", "black"), ("harbour", "Harbour"), ("rose", "Rose"),
    }  # fmt: skip
    assert [(cell.page, cell.index) for cell in found.cells if cell.ink == "rose"] == [(n + 1, n) for n in range(4)]
    (question,) = found.questions
    assert question.asks == (
        "zine.pdf has plates black, Harbour, Rose: do they stand for inks, black for lamp black, Harbour for harbour, "
        "Rose for rose? If not, it is a picture in full colour: ask for a gray file an ink"
    )
    assert "plate Rose is taken as rose: it is called so" in found.guesses


def test_only_plates_that_carry_ink_are_told(tmp_path):
    for number in (1, 2):
        art = process_page(number)
        art[..., 1] = 0
        Image.fromarray(art, "CMYK").save(tmp_path / f"zine {number}.tif", dpi=(100, 100))
    found = read(tmp_path)
    assert {cell.plate for cell in found.cells} == {"cyan", "black"}
    assert found.questions[0].asks.startswith("zine 1.tif and 1 more have plates cyan, black: do they stand for inks")


def test_a_spot_colour_of_an_unknown_name_is_a_question_of_its_own(tmp_path):
    spots(tmp_path / "zine.pdf", ("Zzyzx", "Rose"))
    found = read(tmp_path)
    assert found.inks == ("lamp black", "rose")
    asked = {question.asks: question.proposals for question in found.questions}
    proposals = asked["which ink is plate Zzyzx of zine.pdf? its name is none of the shop's"]
    (proposal,) = proposals
    assert '# or "marigold"' in proposal
    assert tomllib.loads(proposal)["ink"] == [{"name": "lamp black", "pages": "art/zine.pdf", "plate": "Zzyzx"}]


def test_two_plates_that_come_to_one_ink_are_asked_about(tmp_path):
    spots(tmp_path / "zine.pdf", ("Rose", "Rose light"))
    found = read(tmp_path)
    assert "rose" not in found.inks
    assert sum("both come nearest to rose" in question.asks for question in found.questions) == 2


@pytest.mark.parametrize("names", [("zine rose harbour.pdf",), ("harbour/a.pdf",)])
def test_plates_are_told_whatever_the_file_is_called(tmp_path, names):
    for name in names:
        spots(tmp_path / "sent" / name, ("Harbour", "Rose"))
    assert {cell.plate for cell in read(tmp_path / "sent").cells} == {"black", "Harbour", "Rose"}


def test_a_picture_in_light_is_refused_as_before(tmp_path):
    Image.new("RGB", (300, 400), (200, 40, 40)).save(tmp_path / "zine.png")
    found = read(tmp_path)
    assert found.cells == ()
    assert found.questions[0].asks == (
        "zine.png is a picture in colours, not the layer of one ink: ask for a gray file an ink"
    )


def test_layers_in_gray_beside_a_file_of_plates_are_still_read_by_their_names(tmp_path):
    spots(tmp_path / "inside.pdf", ("Harbour", "Rose"), pages=2)
    Image.new("L", (413, 583), 90).save(tmp_path / "marigold 1.png", dpi=(100, 100))
    Image.new("L", (413, 583), 90).save(tmp_path / "marigold 2.png", dpi=(100, 100))
    found = read(tmp_path)
    assert {cell.place for cell in found.cells if cell.ink == "marigold"} == {"marigold 1.png", "marigold 2.png"}


def test_once_the_question_is_answered_the_job_builds_from_its_plates(tmp_path, capsys):
    spots(tmp_path / "sent" / "zine.pdf", ("Harbour", "Rose"))
    job = tmp_path / "job"
    called = ["new", str(job), "--from", str(tmp_path / "sent"), "--copies", "20"]
    assert command_line.main(called, standalone_mode=False) == 1
    assert "do they stand for inks" in capsys.readouterr().out
    assert (job / "intake.html").read_text(encoding="utf-8").count("data:image/png;base64,") == 12
    with pytest.raises(ImposerError, match="do they stand for inks"):
        load_job(job)
    text = (job / "job.toml").read_text(encoding="utf-8")
    assert [ink["plate"] for ink in tomllib.loads(text)["ink"]] == ["black", "Harbour", "Rose"]
    start, end = text.index("open_questions"), text.index("[page]")
    (job / "job.toml").write_text(text[:start] + text[end:], encoding="utf-8")
    prepared = prepare(job)
    (part,) = prepared.parts
    square = 80 * 60 / (297.638 * 419.528)
    coverage = {ink: part.measured[1, ink].coverage for ink in ("harbour", "rose", "lamp black")}
    assert coverage == pytest.approx({"harbour": square, "rose": square, "lamp black": square * 2 / 3}, rel=0.01)
    assert command_line.main(["build", str(job), "-q"], standalone_mode=False) == 0


def test_answers_for_files_of_plates_name_the_plate(tmp_path):
    spots(tmp_path / "cover.pdf", ("Harbour", "Rose"), pages=4)
    spots(tmp_path / "inside.pdf", ("Harbour", "Rose"), pages=4)
    found = read(tmp_path)
    asked = [question for question in found.questions if "comes in several files" in question.asks]
    assert len(asked) == 3
    inks = [tomllib.loads(question.proposals[0])["ink"][0] for question in asked]
    assert {(ink["name"], ink["plate"]) for ink in inks} == {
        ("lamp black", "black"), ("harbour", "Harbour"), ("rose", "Rose"),
    }  # fmt: skip
    assert all(ink["pages"]["3"] == "art/inside.pdf, page 1" for ink in inks)


def test_a_double_page_of_plates_is_proposed_with_its_plate(tmp_path):
    for number in (1, 2):
        Image.fromarray(process_page(number), "CMYK").rotate(90, expand=True).save(
            tmp_path / f"{number}.tif", dpi=(100, 100)
        )
    proposals = [way for question in read(tmp_path).questions for way in question.proposals if "art =" in way]
    assert proposals
    assert all("plate" in ink for way in proposals for ink in tomllib.loads(way)["ink"])


def plate_alone(file, plate, number=1):
    """A CMYK picture with art on one plate."""
    art = process_page(number)
    art[..., [other for other in range(4) if other != plate]] = 0
    Image.fromarray(art, "CMYK").save(file, dpi=(100, 100))


def test_a_layer_drawn_in_one_process_colour_is_taken_by_its_plate_and_told(tmp_path):
    for number in (1, 2):
        plate_alone(tmp_path / f"{number} pink.tif", 1, number)
        Image.fromarray(process_page(number)[..., 3]).save(tmp_path / f"{number} black.tif", dpi=(100, 100))
    found = read(tmp_path)
    assert not found.questions
    assert {(cell.ink, cell.plate) for cell in found.cells} == {("rose", "magenta"), ("lamp black", None)}
    assert "all art of rose is on plate magenta: it is taken, so that it prints at full tone" in found.guesses


@pytest.mark.parametrize("plated", ["cyan", "black"])
def test_gray_files_are_no_pages_of_an_ink_that_is_another_plate(plated, tmp_path):
    art = process_page(1)
    art[..., 1:3] = 0
    Image.fromarray(art, "CMYK").save(tmp_path / "zine 1.tif", dpi=(100, 100))
    word = {"cyan": "blue", "black": "black"}[plated]
    Image.new("L", (413, 583), 90).save(tmp_path / f"zine 2 {word}.tif", dpi=(100, 100))
    found = read(tmp_path)
    asked = [question.asks for question in found.questions if "takes one plate" in question.asks]
    assert len(asked) == (plated == "cyan")
    assert (f"zine 2 {word}.tif" in {cell.place for cell in found.cells}) == (plated == "black")
