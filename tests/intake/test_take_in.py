"""A delivery made into a job folder from the command line: copied, explained, and built once nothing is open."""

from __future__ import annotations

import re
import tomllib

import pytest
from PIL import Image

from imposer.cli import imposer as command_line
from imposer.errors import ImposerError
from imposer.job import load_job
from tests.folders import page_tones, write_png, write_vector_pdf


def _run(*words):
    return command_line.main([str(word) for word in words], standalone_mode=False)


def _delivery(folder, pages=8):
    for page in range(1, pages + 1):
        write_png(folder / "Black" / f"zine_v3_p{page:02d}_FINAL.png", page_tones(page, ppi=100), 100)
    write_vector_pdf(folder / "zine marigold.pdf", range(1, pages + 1))
    (folder / "Thumbs.db").write_bytes(b"litter")
    (folder / "__MACOSX").mkdir()
    (folder / "__MACOSX" / "._p01.png").write_bytes(b"litter")
    (folder / "letter.txt").write_text("the yellow is marigold", encoding="utf-8")
    return folder


def test_a_delivery_becomes_a_job_that_builds(tmp_path, capsys):
    sent, job = _delivery(tmp_path / "sent"), tmp_path / "job"
    before = sorted(p.relative_to(sent) for p in sent.rglob("*"))
    assert _run("new", job, "--from", sent, "--copies", 30, "--title", "Zine <3") == 0
    said = capsys.readouterr().out
    assert "8 pages in lamp black, marigold" in said
    assert "question" not in said
    assert sorted(p.relative_to(sent) for p in sent.rglob("*")) == before
    text = (job / "job.toml").read_text(encoding="utf-8")
    assert tomllib.loads(text)["title"] == "Zine <3"
    assert re.search(r"# 3 +Black/zine_v3_p03_FINAL.png +zine marigold.pdf, page 3", text)
    assert load_job(job).copies == 30
    page = (job / "intake.html").read_text(encoding="utf-8")
    assert "Zine &lt;3" in page
    assert page.count("data:image/png;base64,") == 16
    assert "http://" not in page
    assert "https://" not in page
    assert _run("build", job, "-q", "-o", tmp_path / "out") == 0


def test_nothing_is_built_while_a_question_is_open(tmp_path, capsys):
    sent, job = _delivery(tmp_path / "sent"), tmp_path / "job"
    Image.new("L", (30, 40)).save(sent / "extra.gif")
    write_png(sent / "Black" / "p03 black (1).png", page_tones(3, ppi=100), 100)
    assert _run("new", job, "--from", sent, "--copies", 20) == 1
    said = capsys.readouterr().out
    assert "extra.gif is a picture (GIF), which is not read here: save it as PNG or TIFF" in said
    with pytest.raises(ImposerError) as error:
        load_job(job)
    places = {fault.place for fault in error.value.faults}
    assert places == {"open_questions"}
    text = (job / "job.toml").read_text(encoding="utf-8")
    closed = re.sub(r"open_questions = \[.*?\n\]", "", text, flags=re.DOTALL)
    (job / "job.toml").write_text(closed, encoding="utf-8")
    assert load_job(job).title == "sent"


@pytest.mark.parametrize("name", ["line\nbreak 1 black.png", "tab\t1 black.png", 'quote " 1 black.png'])
def test_a_name_that_no_job_file_can_hold_is_copied_under_one_that_it_can(name, tmp_path):
    write_png(tmp_path / "sent" / name, page_tones(1, ppi=100), 100)
    assert _run("new", tmp_path / "job", "--from", tmp_path / "sent", "--trim", "60 x 80 mm", "--copies", 5, "-q") == 0
    assert _run("plan", tmp_path / "job", "--pages") == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--from", "nowhere"], "there is no such folder or file"),
        (["--from", "empty"], "holds no files"),
    ],
)
def test_a_delivery_that_is_not_there_is_refused(words, said, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "empty").mkdir()
    with pytest.raises(ImposerError, match=said):
        _run("new", "job", *words)
    assert not (tmp_path / "job").exists()


def test_a_taken_folder_is_left_alone(tmp_path):
    sent, job = _delivery(tmp_path / "sent"), tmp_path / "job"
    job.mkdir()
    (job / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(ImposerError, match="is there already and not empty"):
        _run("new", job, "--from", sent)
    assert (job / "mine.txt").read_text(encoding="utf-8") == "mine"


def test_words_from_files_are_text_in_the_overview(tmp_path):
    write_png(tmp_path / "sent" / "<img src=x onerror=alert(1)> 1 black.png", page_tones(1, ppi=100), 100)
    _run("new", tmp_path / "job", "--from", tmp_path / "sent", "--trim", "60 x 80 mm", "-q")
    assert "<img src=x" not in (tmp_path / "job" / "intake.html").read_text(encoding="utf-8")


def test_the_overview_shows_what_is_contested_unplaced_and_not_there(tmp_path):
    sent, job = tmp_path / "sent", tmp_path / "job"
    for page in range(1, 9):
        write_png(sent / f"black_{page}.png", page_tones(page, ppi=100), 100)
        if page != 5:
            write_png(sent / f"marigold_{page}.png", page_tones(page, ppi=100), 100)
    write_png(sent / "black_3 final2.png", page_tones(3, ppi=100), 100)
    write_png(sent / "moth.png", page_tones(3, ppi=100), 100)
    _run("new", job, "--from", sent, "--copies", 20)
    page = (job / "intake.html").read_text(encoding="utf-8")
    assert '<td class="hole">no file</td>' in page
    (contested,) = re.findall(r'<td class="hole">2 files, one is right.*?</td>', page)
    assert contested.count("<img") == 2
    assert "black_3 final2.png" in contested
    unplaced = page[page.index("Not placed yet") : page.index("</section>", page.index("Not placed yet"))]
    assert unplaced.count("<img") == 1
    assert "moth.png" in unplaced
    assert "#   marigold has no file for page 5: nothing of it prints there" in (job / "job.toml").read_text("utf-8")


def test_a_job_is_not_made_inside_the_delivery(tmp_path):
    sent = _delivery(tmp_path / "sent")
    before = sorted(path.name for path in sent.rglob("*"))
    with pytest.raises(ImposerError, match="lies in the delivery; name a folder beside it"):
        _run("new", sent / "job", "--from", sent)
    assert sorted(path.name for path in sent.rglob("*")) == before


def test_what_programs_leave_behind_is_no_question(tmp_path, capsys):
    sent = _delivery(tmp_path / "sent")
    for litter in ("~$notes.docx", "Black/zine_v3_p01_FINAL.png~"):
        (sent / litter).write_bytes(b"litter")
    for told in ("fonts/Zzyzx.ttf", "gray.icc", "export.log"):
        (sent / told).parent.mkdir(exist_ok=True)
        (sent / told).write_bytes(b"along")
    assert _run("new", tmp_path / "job", "--from", sent, "--copies", 20) == 0
    said = capsys.readouterr().out
    assert "not used fonts/Zzyzx.ttf is a font, not a page" in said
    assert "~" not in said


def test_files_that_claim_one_page_stand_in_the_table_to_choose_from(tmp_path):
    sent, job = _delivery(tmp_path / "sent"), tmp_path / "job"
    write_png(sent / "Black" / "zine_v3_p03_FINAL_real.png", page_tones(4, ppi=100), 100)
    assert _run("new", job, "--from", sent, "--copies", 20) == 1
    text = (job / "job.toml").read_text(encoding="utf-8")
    assert "# 3     ? Black/zine_v3_p03_FINAL.png or Black/zine_v3_p03_FINAL_real.png" in text
    line = '# 3 = "art/Black/zine_v3_p03_FINAL_real.png"   # one of 2: take the first # away from the right one'
    assert line in text.splitlines()
    answered = re.sub(r"open_questions = \[.*?\n\]", "", text, flags=re.DOTALL).replace(line, line[2:])
    (job / "job.toml").write_text(answered, encoding="utf-8")
    black = next(ink for ink in load_job(job).inks if ink.ink.name == "lamp black")
    assert (3, "art/Black/zine_v3_p03_FINAL_real.png") in black.placed
    assert len(black.placed) == 8


def test_spreads_show_no_order_before_it_is_known(tmp_path, capsys):
    write_vector_pdf(tmp_path / "sent" / "black.pdf", range(1, 4), (120, 80))
    called = ("new", tmp_path / "job", "--from", tmp_path / "sent", "--trim", "60 x 80 mm")
    assert _run(*called) == 1
    assert "job: pages not placed yet, in lamp black" in capsys.readouterr().out
    page = (tmp_path / "job" / "intake.html").read_text(encoding="utf-8")
    assert "Each grey box may be the answer" in page
    assert "in order" not in page
