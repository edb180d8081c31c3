"""The functions of PDFs against worked examples and against the standard's formulas written out once more."""

from __future__ import annotations

import numpy as np
import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Array, Dictionary

from imposer.pages.calculator import calculator
from imposer.pages.pdf_functions import FunctionError, read_function, unpack

#: Operators with their results: the examples of the PostScript Language Reference, third edition, chapter 8, from
#: memory; truth values are 1 and 0.
EXAMPLES = {
    "3 4 add": [7], "9.9 1.1 sub": [8.8], "2 3 mul": [6], "3 2 div": [1.5], "3 2 idiv": [1], "-5 2 idiv": [-2],
    "5 3 mod": [2], "-5 3 mod": [-2], "-3 abs": [3], "4.5 neg": [-4.5], "3.2 ceiling": [4], "-4.8 ceiling": [-4],
    "3.2 floor": [3], "-4.8 floor": [-5], "6.5 round": [7], "-6.5 round": [-6], "-4.8 truncate": [-4],
    "9 0.5 exp": [3], "100 log": [2], "2 sqrt": [2**0.5], "30 sin": [0.5], "90 sin": [1], "60 cos": [0.5],
    "0 1 atan": [0], "1 0 atan": [90], "-100 0 atan": [270], "4 4 atan": [45], "7 3 bitshift": [56],
    "142 -3 bitshift": [17], "99 1 and": [1], "17 5 or": [21], "7 3 xor": [4], "1 2 3 3 copy": [1, 2, 3, 1, 2, 3],
    "1 2 3 0 index": [1, 2, 3, 3], "1 2 3 2 index": [1, 2, 3, 1], "1 2 3 3 -1 roll": [2, 3, 1],
    "1 2 3 3 1 roll": [3, 1, 2], "1 2 3 3 0 roll": [1, 2, 3], "1 2 exch": [2, 1], "1 2 pop": [1], "1 dup": [1, 1],
    "3 4 lt": [1], "4 4 le": [1], "4 4 gt": [0], "4 4 ge": [1], "1 2 eq": [0], "1 2 ne": [1], "true": [1],
    "false not": [1], "3 4 lt {1} {2} ifelse": [1], "9 4 3 lt {pop 1} if": [9], "47.6 cvi": [47],
    "1 % a remark\n2": [1, 2],
}  # fmt: skip


@pytest.mark.parametrize("program", EXAMPLES)
def test_every_operator(program):
    found = calculator(b"{pop " + program.encode() + b"}")(np.zeros((2, 1)))
    assert found.tolist() == pytest.approx(np.array([EXAMPLES[program]] * 2))


@pytest.mark.parametrize(
    "program",
    [b"", b"{", b"}", b"{1", b"{pop pop}", b"{if}", b"{1 {1} ifelse}", b"{nonsense}", b"{9 copy}", b"{1 -5 index}"],
)
def test_what_is_damaged_is_said(program):
    with pytest.raises(ValueError, match="calculator"):
        calculator(program)(np.zeros((1, 1)))


def test_a_condition_holds_for_each_point():
    run = calculator(b"{dup 0.5 gt {0.5 sub 2 mul} {2 mul} ifelse}")
    assert run(np.array([[0.25], [0.75], [0.5]]))[:, 0].tolist() == [0.5, 0.5, 1.0]


@settings(max_examples=50, deadline=None, derandomize=True)
@given(bits=st.sampled_from([1, 2, 4, 8, 12, 16, 24, 32]), values=st.lists(st.integers(0, 2**32 - 1), min_size=1))
def test_numbers_of_any_length_are_unpacked(bits, values):
    cut = [value % 2**bits for value in values]
    text = "".join(f"{value:0{bits}b}" for value in cut)
    text += "0" * (-len(text) % 8)
    assert unpack(int(text, 2).to_bytes(len(text) // 8), bits, len(cut)).tolist() == cut


def _sampled(size, outputs, values, **entries):
    pdf = pikepdf.Pdf.new()
    made = pdf.make_stream(bytes(values))
    made.FunctionType, made.BitsPerSample, made.Size = 0, 8, Array(size)
    made.Domain, made.Range = Array([0, 1] * len(size)), Array([0, 1] * outputs)
    for key, value in entries.items():
        made["/" + key] = value
    return pdf, made


def test_samples_lie_with_the_first_input_varying_fastest():
    _pdf, made = _sampled([2, 3], 1, [0, 51, 102, 153, 204, 255])
    run = read_function(made)
    corners = np.array([[0, 0], [1, 0], [0, 0.5], [1, 0.5], [0, 1], [1, 1]], dtype=float)
    assert run(corners)[:, 0].tolist() == pytest.approx([0, 0.2, 0.4, 0.6, 0.8, 1])
    assert run(np.array([[0.5, 0.25]]))[0, 0] == pytest.approx((0 + 0.2 + 0.4 + 0.6) / 4)


def test_samples_are_encoded_and_decoded():
    _pdf, made = _sampled([3], 2, [0, 255, 128, 0, 255, 255], Encode=Array([2, 0]), Decode=Array([1, 0, 0, 0.5]))
    run = read_function(made)
    assert run(np.array([[0.0], [1.0]])).tolist() == [pytest.approx([0, 0.5]), pytest.approx([1, 0.5])]


def test_stitching_bounds_encodes_and_keeps_its_edges():
    part = Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=Array([0]), C1=Array([1]), N=1)
    made = Dictionary(
        FunctionType=3,
        Domain=Array([0, 1]),
        Functions=Array([part, part]),
        Bounds=Array([0.4]),
        Encode=Array([0, 1, 1, 0]),
    )
    run = read_function(made)
    points = np.array([[0.0], [0.2], [0.399999], [0.4], [0.7], [1.0], [7.0], [-3.0]])
    assert run(points)[:, 0].tolist() == pytest.approx([0, 0.5, 1, 1, 0.5, 0, 0, 0], abs=1e-5)


def test_functions_in_one_another_without_end():
    made = Dictionary(FunctionType=3, Domain=Array([0, 1]), Bounds=Array([]), Encode=Array([0, 1]))
    pdf = pikepdf.Pdf.new()
    held = pdf.make_indirect(made)
    held.Functions = Array([held])
    with pytest.raises(FunctionError, match="too deep"):
        read_function(held)


@pytest.mark.parametrize("size", [[70_000, 70_000], [2] * 40, [0], [-3]])
def test_samples_without_number_are_not_unpacked(size):
    _pdf, made = _sampled([2], 1, [0, 255])
    made.Size, made.Domain = Array(size), Array([0, 1] * len(size))
    with pytest.raises(FunctionError):
        read_function(made)
