"""The proof page in the hand: by keyboard, on a phone, read from the right, and told to who cannot see it."""

from __future__ import annotations

import pytest

from imposer.main_job import prepare
from imposer.write.proof import write_proof
from tests.browser import CHROMIUM, WHY_SKIPPED, Browser
from tests.write.proof.jobs import grain, job_of, kiss_fit, proof_of
from tests.write.proof.pages import choose, words

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason=WHY_SKIPPED)

CODE = "ABCD-EFGH-JKLM"
LONG = "A rather long title that goes on and on, Unbrokenlyandwithoutanyendinsightforasingleword, and on again"


@pytest.fixture(scope="module")
def browser():
    with Browser() as opened:
        yield opened


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    """Eight pages in two inks with things to find fault with, and a proof code."""
    field, square = kiss_fit()
    folder = tmp_path_factory.mktemp("controls")
    inks = {"lamp black": [field] * 4 + [grain(1)] * 4, "rose": [square] * 4 + [grain(2)] * 4}
    file = folder / "proof.html"
    write_proof(file, prepare(job_of(folder, inks, title=LONG)), code=CODE)
    return file


@pytest.fixture
def page(browser, file):
    browser.open(file)
    return browser


FOCUS = "(document.activeElement.getAttribute('aria-label') ?? document.activeElement.closest('label')?.textContent)"


@pytest.mark.parametrize("width", [320, 390, 1400])
def test_the_proof_code_can_be_read_in_full(file, width):
    with Browser(width, 844, mobile=width < 800, density=2 if width < 800 else 1) as window:
        window.open(file)
        assert window.run("document.documentElement.scrollWidth") == width
        shown = window.run(
            "(() => { const it = document.querySelector('.top .code'), words = document.createRange();"
            " words.selectNodeContents(it); const box = words.getBoundingClientRect();"
            " const hit = (x) => document.elementFromPoint(x, (box.top + box.bottom) / 2) === it;"
            " return [it.textContent, box.left >= 0, box.right <= innerWidth, it.scrollWidth <= it.clientWidth,"
            " hit(box.left + 2), hit(box.right - 2)]; })()"
        )
        assert shown == [f"proof code {CODE}", True, True, True, True, True]
        assert CODE in words(window, "#about")
        assert LONG in words(window, "#about")


@pytest.mark.parametrize("control", [
    "#inks .ink:nth-child(2) button", "#inks .ink:nth-child(2) input", "#inks input[name=paper]:not(:checked)",
    "#inks .ink:first-child select", "input[name=side]:not(:checked)", "input[name=pass]:not(:checked)", "#worst",
])  # fmt: skip
def test_what_is_pressed_keeps_the_focus(page, control):
    page.click("#show-sheets")
    named = page.run(f"(() => {{ document.querySelector({control!r}).focus(); return {FOCUS} || 'worst'; }})()")
    if "select" in control:
        page.run("document.activeElement.selectedIndex = 1; document.activeElement.dispatchEvent(new Event('change'))")
    else:
        page.run("document.activeElement.click()")
    page.settle()
    page.wait("!document.getElementById('worst').disabled")
    assert page.run(f"{FOCUS} || document.activeElement.id") == named


def test_the_picture_hides_nothing_that_has_the_focus(file):
    with Browser(390, 844, mobile=True, density=2) as phone:
        phone.open(file)
        hidden = phone.run(
            "(async () => { document.querySelectorAll('details').forEach((it) => { it.open = true; });"
            " const all = [...document.querySelectorAll('.panel :is(a, button, input, select, summary)')]"
            ".filter((it) => it.offsetParent);"
            " const hidden = []; const frame = () => new Promise(requestAnimationFrame);"
            " for (const it of [...all, ...all.reverse()]) { it.focus(); await frame();"
            "  const bottom = document.querySelector('.table').getBoundingClientRect().bottom;"
            "  const box = it.getBoundingClientRect();"
            "  if (box.top < bottom || box.top > innerHeight - 20) hidden.push([it.textContent || it.id || it.name,"
            "   box.top, bottom]); }"
            " document.querySelector('.simulation a').click(); await frame(); await frame();"
            " const boxOf = (it) => document.querySelector(it).getBoundingClientRect();"
            " const [table, about] = ['.table', '#about'].map(boxOf);"
            " if (about.top < table.bottom) hidden.push(['about', about.top]);"
            " return all.length > 20 ? hidden : ['too few controls']; })()"
        )
        assert hidden == []


def test_a_hand_shifts_no_further_than_the_sliders_say(page):
    page.run("start.gestures.push(2065, -2065, [10, 10])")
    page.settle()
    assert page.run("register.byHand(Object.keys(Object.fromEntries(register.hand))[0])") == {
        "x": 5,
        "y": -5,
        "turn": 0,
    }
    told = page.run("[...document.querySelectorAll('#sliders input')].map((it) => Number(it.value))")
    assert told[:2] == [5, -5]
    choose(page, "#sliders input", "-3")
    page.run("start.gestures.push(-1, 0.5, [10, 10])")
    assert page.run("[...register.hand.values()][0]") == {"x": -4, "y": -4.5, "turn": 0}


def test_the_worst_stays_while_prints_were_being_drawn(page):
    page.click("#again")
    assert page.run("document.getElementById('again').getAttribute('aria-pressed')") == "true"
    page.run("document.getElementById('worst').click()")
    assert page.run("[document.getElementById('again').getAttribute('aria-pressed'),"
                    " document.getElementById('again').disabled]") == ["false", True]  # fmt: skip
    page.wait("!document.getElementById('worst').disabled")
    found = page.run("register.draw")
    assert f"print {found}." in words(page, "#register-told")
    page.run("new Promise((done) => setTimeout(done, 1500))")
    assert page.run("register.draw") == found


def test_from_the_right_all_ways_on_agree(browser, tmp_path):
    _, file = proof_of(tmp_path, {"lamp black": [grain(1)] * 8}, binding='style = "saddle"\nreading = "right-to-left"')
    browser.open(file)
    places = browser.run(
        "['back', 'place', 'forward'].map((id) => document.getElementById(id).getBoundingClientRect().x)"
    )
    assert places[2] < places[1] < places[0], "the button that goes on is not at the left"
    browser.key("ArrowLeft")
    assert browser.run("state.opening") == 1
    browser.click("#forward")
    assert browser.run("state.opening") == 2
    browser.run("document.getElementById('place').focus()")
    for kind in ("rawKeyDown", "keyUp"):
        browser.call("Input.dispatchKeyEvent", type=kind, key="ArrowLeft", code="ArrowLeft", windowsVirtualKeyCode=37)
    browser.settle()
    assert browser.run("state.opening") == 3
    browser.click("#back")
    assert browser.run("state.opening") == 2
    browser.click("#show-sheets")
    places = browser.run(
        "['back', 'place', 'forward'].map((id) => document.getElementById(id).getBoundingClientRect().x)"
    )
    assert places[0] < places[1] < places[2], "press sheets are not read from the right"


def test_escape_closes_a_card_and_gives_the_focus_back(page):
    page.run("(() => { const it = document.getElementById('finding-0'); it.focus(); it.click(); })()")
    page.settle()
    assert not page.run("document.getElementById('card').hidden")
    page.run("document.querySelector('#card .close').focus()")
    page.key("Escape")
    assert page.run("[document.getElementById('card').hidden, document.activeElement.id]") == [True, "finding-0"]
    page.run("(() => { const it = document.querySelector('.pin'); it.focus(); it.click(); })()")
    page.settle()
    pin = page.run("document.activeElement.dataset.finding")
    page.run("document.querySelector('#card .close').focus()")
    page.run("document.querySelector('#card .close').click()")
    page.settle()
    assert page.run("document.activeElement.className").startswith("pin ")
    assert page.run("document.activeElement.dataset.finding") == pin


def test_places_and_the_picture_are_told_in_words(page):
    name = "document.getElementById('stage').getAttribute('aria-label')"
    assert page.run("document.getElementById('place').getAttribute('aria-valuetext')") == "Front cover, page 1 of 8"
    page.click("#forward")
    assert page.run("document.getElementById('place').getAttribute('aria-valuetext')") == "pages 2 and 3 of 8"
    assert page.run(name) == "Pages 2 and 3, as planned; a simulation"
    page.run("document.querySelectorAll('#inks .line input')[1].click()")
    page.settle()
    assert page.run(name) == "Pages 2 and 3, without rose; a simulation"
    page.run("document.querySelectorAll('#inks .small')[1].click()")
    page.settle()
    assert page.run(name) == "Pages 2 and 3, rose alone, as its gray master; a simulation"
    shown = "[...document.querySelectorAll('#inks .line input')].map((it) => it.checked)"
    assert page.run(shown) == [False, True]
    page.run("document.querySelectorAll('#inks .line input')[0].click()")
    page.settle()
    assert page.run(shown) == [True, True]
    assert page.run("state.alone") is None


def test_near_to_arrows_move_the_view(page):
    page.click("#forward")
    page.run("start.gestures.zoom(4)")
    page.settle()
    before = page.run("[view.x, view.y]")
    for key in ("ArrowRight", "ArrowDown"):
        page.key(key)
    x, y = page.run("[view.x, view.y]")
    assert x > before[0]
    assert y < before[1]
    assert page.run("state.opening") == 1
    page.click("#whole")
    page.key("ArrowRight")
    assert page.run("state.opening") == 2
