"""How laws are tried here: the same examples every time, without a clock."""

from hypothesis import settings

law = settings(max_examples=60, deadline=None, derandomize=True)
