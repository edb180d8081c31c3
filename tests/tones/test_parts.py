import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from imposer.tones.parts import find_parts


def _flooded(mask: np.ndarray) -> np.ndarray:
    labels = np.full(mask.shape, -1)
    count = 0
    for place in zip(*np.nonzero(mask), strict=True):
        if labels[place] >= 0:
            continue
        waiting = [place]
        labels[place] = count
        while waiting:
            row, column = waiting.pop()
            for y in range(max(row - 1, 0), min(row + 2, mask.shape[0])):
                for x in range(max(column - 1, 0), min(column + 2, mask.shape[1])):
                    if mask[y, x] and labels[y, x] < 0:
                        labels[y, x] = count
                        waiting.append((y, x))
        count += 1
    return labels


@given(st.integers(1, 25), st.integers(1, 25), st.floats(0, 1), st.integers(0, 2**32 - 1))
@settings(max_examples=80, deadline=None, derandomize=True)
def test_parts_are_what_flooding_finds(height, width, share, seed):
    mask = np.random.default_rng(seed).random((height, width)) < share
    labels, parts = _flooded(mask), find_parts(mask)
    assert np.array_equal(parts.labels, labels)
    assert len(parts) == labels.max() + 1
    for part in range(len(parts)):
        rows, columns = np.nonzero(labels == part)
        assert parts.pixels[part] == len(rows)
        assert (parts.top[part], parts.bottom[part]) == (rows.min(), rows.max() + 1)
        assert (parts.left[part], parts.right[part]) == (columns.min(), columns.max() + 1)


def test_a_spiral_is_one_part():
    mask = np.ones((9, 9), dtype=bool)
    mask[1, 1:] = mask[1:8, 7] = mask[7, 2:8] = mask[3:8, 2] = mask[3, 2:6] = False
    assert len(find_parts(mask)) == 1
