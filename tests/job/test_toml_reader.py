"""One table being read: every fault is kept, with its dotted path, and reading goes on."""

from __future__ import annotations

from pathlib import Path

from imposer.job.toml_reader import TomlTable
from imposer.job.values import text, whole

NAME = text(20)
COUNT = whole(1, 99)


def reading(table):
    return TomlTable(table, file=Path("job.toml"))


def lines(table):
    table.done()
    return list(map(str, table.faults))


def test_values_left_out_are_their_defaults():
    root = reading({})
    assert root.get("copies", COUNT, 7) == 7
    assert root.table("page").get("trim", NAME, "A6") == "A6"
    assert lines(root) == []


def test_values_at_fault_are_their_stand_ins_and_all_are_told():
    root = reading({"copies": 0, "title": 5})
    assert root.get("copies", COUNT, 7) == 7
    assert root.need("title", NAME, "") == ""
    assert lines(root) == [
        "job.toml: copies: 0 is too small: the least is 1",
        "job.toml: title: 5 is not text; put text in quotes",
    ]


def test_needed_keys_left_out_are_told_with_what_to_give():
    root = reading({})
    assert root.need("title", NAME, "", "give the title in quotes") == ""
    assert lines(root) == ["job.toml: title: missing; give the title in quotes"]


def test_unknown_keys_name_the_nearest_known_one_or_all():
    root = reading({"pages": {"trimm": "A6", "bleed": 1, "bleeed": 2}, "zzz": 1})
    page = root.table("pages")
    page.get("trim", NAME, ""), page.get("bleed", COUNT, 0)
    assert lines(root) == [
        "job.toml: zzz: unknown key; the keys known here are pages",
        'job.toml: pages.trimm: unknown key; did you mean "trim"?',
        'job.toml: pages.bleeed: unknown key; did you mean "bleed"?',
    ]


def test_a_needed_key_misspelt_is_told_once():
    root = reading({"titel": "Moth Hours"})
    root.need("title", NAME, "", "give the title in quotes")
    root.get("copies", COUNT, 1)
    assert lines(root) == ['job.toml: titel: unknown key; did you mean "title"?']


def test_lists_of_tables_are_counted_from_one():
    root = reading({"ink": [{"name": "k"}, {"name": 3}, {"nmae": "k"}]})
    for table in root.tables("ink", "give at least one [[ink]]"):
        table.need("name", NAME, "")
    assert lines(root) == [
        "job.toml: ink[2].name: 3 is not text; put text in quotes",
        'job.toml: ink[3].nmae: unknown key; did you mean "name"?',
    ]


def test_what_is_no_list_of_tables_is_told():
    mend = "give at least one [[ink]]"
    for value, line in [
        ([], f"job.toml: ink: missing; {mend}"),
        ("k", f'job.toml: ink: "k" is not a list of tables; {mend}'),
        ({"name": "k"}, "job.toml: ink: this is one table, not a list of tables; write [[ink]] with two brackets"),
        ([1], f"job.toml: ink[1]: 1 is not a table; {mend}"),
    ]:
        root = reading({"ink": value})
        assert root.tables("ink", mend) == ()
        assert lines(root) == [line]


def test_what_is_no_table_is_told():
    root = reading({"page": "A6"})
    root.table("page").get("trim", NAME, "")
    assert lines(root) == ['job.toml: page: "A6" is not a table; write it under [page]']


def test_keys_that_are_names_are_all_known_and_quoted_in_the_path():
    root = reading({"sizes": {"A3": 1, "13 x 19 in": 0}})
    table = root.table("sizes")
    assert table.names() == ("A3", "13 x 19 in")
    for key in table.names():
        table.get(key, COUNT, 1)
    assert lines(root) == ['job.toml: sizes."13 x 19 in": 0 is too small: the least is 1']


def test_control_characters_of_keys_are_shown_not_obeyed():
    assert lines(reading({"a\x1b[31m\nb": 1})) == ['job.toml: "a\\x1b[31m\\nb": unknown key; no key is known here']
