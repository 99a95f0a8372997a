"""The text level of a circuit file: plain data with places, and every slip said at its place."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from netsolve import source
from netsolve.problems import CircuitError, Problem
from netsolve.source import Items, Node, Table, Text, cut_short, open_source, parse
from netsolve.text import page


@pytest.fixture(params=["C", "pure"])
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    if request.param == "pure":
        monkeypatch.setattr(source, "_LOADER", yaml.SafeLoader)


def problems(text: str | bytes) -> tuple[Problem, ...]:
    with pytest.raises(CircuitError) as caught:
        parse(text)
    return caught.value.problems


def places(text: str | bytes) -> list[tuple[str, int, int]]:
    return [(p.code, p.at.line, p.at.column) if p.at else (p.code, 0, 0) for p in problems(text)]


def only(text: str) -> Problem:
    (problem,) = problems(text)
    return problem


def at(table: Table, *path: str | int) -> Node:
    node: Node | None = table
    for step in path:
        if isinstance(step, int):
            assert isinstance(node, Items)
            node = node.values[step]
        else:
            assert isinstance(node, Table)
            node = node.get(step)
    assert node is not None
    return node


def text_at(table: Table, *path: str | int) -> Text:
    node = at(table, *path)
    assert isinstance(node, Text)
    return node


def marked(node: Node) -> str:
    """What the carets stand under."""
    span = node.span
    return span.text[span.column - 1 : span.column - 1 + span.width]


def plain(node: Node) -> object:
    if isinstance(node, Text):
        return node.value
    if isinstance(node, Items):
        return [plain(value) for value in node.values]
    return {key.value: plain(value) for key, value in node.entries}


class TestReading:
    pytestmark = pytest.mark.usefixtures("loader")

    def test_scalars_stay_the_text_that_was_typed(self) -> None:
        typed = {"a": "no", "b": "010", "c": "1e3", "d": "12:30", "e": "~", "f": "2024-01-01", "g": "-0.5 m"}
        text = "".join(f"{key}: {value}\n" for key, value in typed.items())
        assert plain(parse(text)) == typed

    def test_entries_keep_file_order_and_keys_are_compared_as_text(self) -> None:
        table = parse("b: 1\na: 2\nB: 3\n")
        assert [key.value for key, _ in table.entries] == ["b", "a", "B"]
        assert plain(at(table, "B")) == "3"
        assert table.get("c") is None

    def test_quotes_and_blocks_are_told_from_plain_text(self) -> None:
        table = parse("a: x\nb: 'x'\nc: \"x\"\nd: |\n  x\n  y\ne: >-\n  x\n  y\n")
        assert [text_at(table, key).quoted for key in "abcde"] == [False, True, True, True, True]
        assert text_at(table, "d").value == "x\ny\n"
        assert text_at(table, "e").value == "x y"

    def test_an_empty_value_is_an_empty_plain_text_right_after_its_colon(self) -> None:
        value = text_at(parse("a: 1\nblanked:   # later\n"), "blanked")
        assert (value.value, value.quoted) == ("", False)
        assert (value.span.line, value.span.column, value.span.width) == (2, 9, 1)

    def test_columns_count_characters_also_after_accents_and_emoji(self) -> None:
        table = parse("'é🚢 ü': {bore: 5 °C, длина: 3 m}\n", "boat.yaml")
        bore = text_at(table, "é🚢 ü", "bore")
        assert (bore.span.line, bore.span.column, bore.span.width) == (1, 16, 4)
        assert str(bore.span) == "boat.yaml:1:16"
        assert marked(bore) == "5 °C"
        assert marked(text_at(table, "é🚢 ü", "длина")) == "3 m"
        assert marked(table.entries[0][0]) == "'é🚢 ü'"

    @pytest.mark.parametrize("line_break", ["\n", "\r\n", "\r", "\x85", "\u2028"])
    def test_every_line_break_of_yaml_counts_as_one_line(self, line_break: str) -> None:
        table = parse(line_break.join(["a: 1", "# note", "", "b: 2 m", ""]))
        span = at(table, "b").span
        assert (span.line, span.column, span.text) == (4, 4, "b: 2 m")

    @pytest.mark.parametrize("text", ["\ufeffa: 1\n", b"\xef\xbb\xbfa: 1\n"])
    def test_a_byte_order_mark_changes_neither_the_name_nor_its_place(self, text: str | bytes) -> None:
        key = parse(text).entries[0][0]
        assert (key.value, key.span.column, key.span.text) == ("a", 1, "a: 1")

    def test_flow_style_may_spread_over_lines_with_comments(self) -> None:
        table = parse("a: {b: 1,  # one\n  c: [x,\n   y z]}\nd: 1\n")
        assert plain(table) == {"a": {"b": "1", "c": ["x", "y z"]}, "d": "1"}
        assert marked(at(table, "a", "c", 1)) == "y z"
        assert at(table, "a", "c", 1).span.line == 3

    def test_places_of_tables_and_lists_can_be_shown(self) -> None:
        table = parse("a: {b: [1, 2]}\nc:\n  dd: 1\n  e: 2\nf:\n  - 1\n")
        assert marked(at(table, "a")) == "{b: [1, 2]}"
        assert marked(at(table, "a", "b")) == "[1, 2]"
        assert marked(at(table, "c")) == "dd"
        assert (at(table, "f").span.line, marked(at(table, "f"))) == (6, "-")

    def test_what_goes_on_over_lines_is_marked_to_the_end_of_its_first_line(self) -> None:
        table = parse("a: x y\n  z\nb: |\n  x\n")
        assert plain(at(table, "a")) == "x y z"
        assert marked(at(table, "a")) == "x y"
        assert marked(at(table, "b")) == "|"

    def test_an_alias_repeats_what_was_marked(self) -> None:
        table = parse("a: &hose {bore: 38 mm}\nb: *hose\nc: &n name\nd: {*n : 1, x: [*n]}\n")
        assert plain(at(table, "b")) == {"bore": "38 mm"}
        assert plain(at(table, "d")) == {"name": "1", "x": ["name"]}

    def test_an_alias_of_a_text_is_placed_where_it_is_used(self) -> None:
        table = parse("a: &n name\n*n :\n")
        assert (table.entries[1][0].value, table.entries[1][0].span.line) == ("name", 2)

    def test_one_document_may_be_framed(self) -> None:
        assert plain(parse("---\na: 1\n...\n")) == {"a": "1"}

    def test_equal_content_is_equal_whatever_its_place(self) -> None:
        assert parse("a: {b: [1]}") == parse("a:\n  b:\n  - 1\n")
        assert parse("a: 1") != parse("a: '1'")


class TestRefusing:
    pytestmark = pytest.mark.usefixtures("loader")

    @pytest.mark.parametrize("text", ["", " \n\n", "# only this\n", "---\n", b"", b"\xef\xbb\xbf", "---\n...\n"])
    def test_nothing_is_empty(self, text: str | bytes) -> None:
        assert places(text) == [("empty", 1, 1)]

    @pytest.mark.parametrize("text", ["- a: 1\n", "[a]\n", "just words\n", "'a'\n", "''\n", "|\n a\n"])
    def test_a_top_level_without_names_is_refused(self, text: str) -> None:
        assert places(text) == [("not-a-mapping", 1, 1)]

    @pytest.mark.parametrize(
        ("data", "line", "column"),
        [
            (b"a: 1\nb: \x00\n", 2, 4),
            ("a: 1\n".encode("utf-16"), 1, 1),
            ("a: 1\n".encode("utf-16-le"), 1, 2),
            ("é: 1\nb: é".encode("latin-1"), 1, 1),
            ("é: 1\nb: é".encode() + b" \xe9x", 2, 6),
            (b"a: 1\r\nb: \x1b[31m\n", 2, 4),
            (b"\x89PNG\r\n", 1, 1),
        ],
    )
    def test_what_is_not_plain_text_is_refused_at_its_place(self, data: bytes, line: int, column: int) -> None:
        assert places(data) == [("not-text", line, column)]

    @pytest.mark.parametrize("text", ["a: \ud800\n", 'a: "\\0"\n', 'a: "\\e[31m"\n', "a: \ufeffb\n"])
    def test_no_control_character_gets_in_by_any_way(self, text: str) -> None:
        assert places(text) == [("not-text", 1, 4)]

    def test_a_key_given_twice_is_refused_with_both_places(self) -> None:
        problem = only("a: 1\nb: {c: 1, 'c': 2}\n")
        assert problem.code == "duplicate-key"
        assert problem.at is not None
        assert problem.also is not None
        assert (problem.at.line, problem.at.column, problem.at.width) == (2, 11, 3)
        assert (problem.also.line, problem.also.column) == (2, 5)

    def test_a_third_one_points_to_the_first_too(self) -> None:
        assert [p.also.line for p in problems("a: 1\na: 2\na: 3\n") if p.also] == [1, 1]

    @pytest.mark.parametrize("text", ["{x: 1}: 2\n", "? [a, b]\n: 2\n", "a: {{b}: 1}\n".replace("{b}", "[b]")])
    def test_a_name_that_is_no_text_is_refused(self, text: str) -> None:
        assert [p.code for p in problems(text)] == ["key-not-text"]

    def test_merging_is_refused(self) -> None:
        assert places("a: &x {b: 1}\nc:\n  <<: *x\n  d: 1\n") == [("merge-key", 3, 3)]
        assert plain(parse("'<<': 1\n")) == {"<<": "1"}

    @pytest.mark.parametrize(
        ("text", "column", "width"),
        [
            ("a: !x b\n", 4, 2),
            ("a: !!str 1\n", 4, 5),
            ("a: &n !x b\n", 7, 2),
            ("a: [!x, 1]\n", 5, 2),
            ("a: !x {b: 1}\n", 4, 2),
            ("a: ! b\n", 4, 1),
            ("a: !far!x b\n", 4, 6),
            ("!x a: 1\n", 1, 2),
        ],
    )
    def test_a_tag_is_refused_under_its_own_place(self, text: str, column: int, width: int) -> None:
        problem = only(text)
        assert (problem.code, problem.at and problem.at.column) == ("tag", column)
        assert problem.at is not None
        assert problem.at.width == width

    @pytest.mark.parametrize(("text", "line"), [("a: 1\n---\nb: 2\n", 2), ("a: 1\n...\nb: 2\n", 3), ("a: 1\n---\n", 2)])
    def test_a_second_document_is_refused(self, text: str, line: int) -> None:
        assert places(text) == [("second-document", line, 1)]

    @pytest.mark.parametrize("text", ["%YAML 1.1\n---\na: 1\n", "# x\r%TAG ! t\r---\ra: 1\n"])
    def test_orders_to_the_reader_are_refused(self, text: str) -> None:
        assert [p.code for p in problems(text)] == ["directive"]

    def test_an_alias_of_nothing_is_refused(self) -> None:
        assert places("a: *n\nb: [*m]\n") == [("unknown-alias", 1, 4), ("unknown-alias", 2, 5)]

    @pytest.mark.parametrize("text", ["a: &n {b: *n}\n", "a: &n [*n]\n", "&n a: &n [[*n]]\n"])
    def test_an_alias_inside_itself_is_refused(self, text: str) -> None:
        assert [p.code for p in problems(text)] == ["recursive-alias"]

    def test_all_problems_are_told_at_once_in_file_order(self) -> None:
        text = "a: !x 1\na: 2\nb:\n  <<: {c: 1}\n  [d]: 1\ne: *f\ng: {bore:38 mm, length 3 m}\n"
        assert places(text) == [
            ("tag", 1, 4),
            ("duplicate-key", 2, 1),
            ("merge-key", 4, 3),
            ("key-not-text", 5, 3),
            ("unknown-alias", 6, 4),
            ("missing-space", 7, 5),
            ("missing-colon", 7, 17),
        ]

    def test_what_came_before_a_slip_is_told_with_it(self) -> None:
        assert places("a: !x 1\na: 2\nb: @c\n") == [
            ("tag", 1, 4),
            ("duplicate-key", 2, 1),
            ("not-yaml", 3, 4),
        ]

    def test_a_slip_does_not_count_twice_on_its_line(self) -> None:
        assert places("a: {b: 1, hose #2, c: 3}\nd: 1\n") == [("not-yaml", 1, 16)]


SLIPS = [
    ("a:\n\tb: 1\n", 2, 1, "tab", "use spaces"),
    ("a:\n  b: 1\n\tc: 2\n", 3, 1, "tab", "use spaces"),
    ("a:\n  b: 1\n  \tc: 2\n", 3, 3, "tab", "use spaces"),
    ("a: 1\nb 2\nc: 3\n", 2, 1, "no colon after the name in 'b 2'", "write 'name: value'"),
    ("a:\n  b 2\n  c: 3\n", 2, 3, "no colon after the name in 'b 2'", "write 'name: value'"),
    ("a:\n  - b 2\n    c: 3\n", 2, 5, "no colon after the name in 'b 2'", "write 'name: value'"),
    ("a: 1\nb:2 m # x: y\nc: 3\n", 2, 1, "no space after the colon in 'b:2 m'", "write b: 2 m"),
    ("b:2\nc: 3\n", 1, 1, "no space after the colon in 'b:2'", "write b: 2"),
    ("a: {b: 1, c: 2", 1, 4, "the '{' opened here is never closed", "close it with '}'"),
    ("a: [b, c\n", 1, 4, "the '[' opened here is never closed", "close it with ']'"),
    (
        "a:\n  - h: {b: 1\n  - p: {b: 1}\n",
        3,
        6,
        "the '{' opened on line 2 is still open",
        "close it with '}'",
    ),
    ("a: {b: [1, 2}\n", 1, 13, "'}' does not close '['", "close it with ']'"),
    ("a: {b: {c: 1]}\n", 1, 13, "']' does not close '{'", "close it with '}'"),
    ("a: {b: 1}}\nc: 2\n", 1, 10, "this '}' closes nothing", "take it out"),
    ("a: {b: 1 c: 2}\n", 1, 11, "expected ',' or '}' before this", "put ',' between"),
    ('a: "b\nc: 3\n', 1, 4, 'the quote " opened here is never closed', 'close it with "'),
    ("a: 'b\nc: 3\n", 1, 4, "the quote ' opened here is never closed", "close it with '"),
    ('a: "5/8" in\nd: 1\n', 1, 10, "follows a closing quote", "put the whole value in quotes"),
    ("a:\n  hose #2: {x: 1}\n  b: 1\n", 2, 8, "' #' begins a comment here, so '#2'", "in quotes"),
    ("a: 1\n\nhose # 2: 3\n", 3, 6, "' #' begins a comment here, so '# 2'", "in quotes"),
    ("a: {b: hose #2, c: 3}\nd: 1\n", 1, 13, "' #' begins a comment here, so '#2'", "in quotes"),
    ("a: @b\n", 1, 4, "may not begin with '@'", "put it in quotes: '@b'"),
    ("a: {b: %b, c: 1}\n", 1, 8, "may not begin with '%'", "put it in quotes: '%b'"),
    ("a: `b's\n", 1, 4, "may not begin with '`'", "put it in quotes: '`b''s'"),
    ("a: >5 m\n", 1, 4, "may not begin with '>'", "put it in quotes: '>5 m'"),
    ("a: | b\n", 1, 4, "may not begin with '|'", "put it in quotes: '| b'"),
    ("a: * b\n", 1, 4, "may not begin with '*'", "put it in quotes: '* b'"),
    ("a: & b\n", 1, 4, "may not begin with '&'", "put it in quotes: '& b'"),
    ("a: ? b\n", 1, 4, "may not begin with '?'", "put it in quotes: '? b'"),
    ("a: - b\n", 1, 4, "'- ' does not begin a list", "on a line of its own"),
    ("a: b: c\n", 1, 5, "a second ': ' on one line", "put the value in quotes: 'b: c'"),
    ("a:\n    b: 1\n  c: 2\n", 3, 3, "does not line up", "begin it under"),
    ("a: 1\n  b: 2\n", 2, 3, "does not line up", "begin it under"),
    ("a:\n  - b\n - c\n", 3, 2, "does not line up", "begin it under"),
    (": x\n", 1, 1, "no name before the colon", "write 'name: value'"),
    ("c: ]\n", 1, 4, "expected a name or a value before ']'", "take the mark out"),
    ("x" * 2000 + ": 1\n", 1, 2001, "longer than 1024 characters", "use a short name"),
]


class TestSlips:
    pytestmark = pytest.mark.usefixtures("loader")

    @pytest.mark.parametrize(("text", "line", "column", "words", "cure"), SLIPS, ids=[s[0][:30] for s in SLIPS])
    def test_a_slip_is_said_in_plain_words_at_its_place_with_its_cure(
        self, text: str, line: int, column: int, words: str, cure: str
    ) -> None:
        problem = only(text)
        assert places(text) == [("not-yaml", line, column)]
        assert words in problem.message
        assert cure in problem.help

    def test_the_opening_bracket_is_shown_too(self) -> None:
        problem = only("a: {b: 1\nc: 2\n")
        assert problem.also is not None
        assert (problem.also.line, problem.also.column) == (1, 4)

    def test_no_message_begins_with_a_capital_or_ends_with_a_full_stop(self) -> None:
        said = [only(text) for text, *_ in SLIPS]
        assert [p.message for p in said if p.message[:1].isupper() or p.message.endswith(".")] == []
        assert [p.message for p in said if not p.help] == []

    @pytest.mark.parametrize("comment", [" #inner", " # inner: 38", " # see {1}", ""])
    def test_an_honest_comment_is_not_blamed(self, comment: str) -> None:
        assert places(f"a: {{b: 1,{comment}\n  c: 2}}{comment}\nd: @\n") == [("not-yaml", 3, 4)]


def test_unknown_escapes_are_refused_by_both_readers(loader: None) -> None:
    for text in ('a: "\\q"\n', 'a: "\\U99999999"\n', 'a: "\\xzz"\n'):
        assert [p.code for p in problems(text)] == ["not-yaml"]


@pytest.mark.parametrize(
    ("text", "rest"),
    [
        ("a:\n  - hose #2: {type: hose}\n", "#2"),
        ("a:\n  - hose # 2: {type: hose}\n", "# 2"),
        ("a:\n  - hose #starboard side\n", "#starboard side"),
        ("a:\n  - hose # 2\n", "# 2"),
        ("a:\n  - hose\n    long #2\n", "#2"),
        ("a:\n  - hose # the 2nd: old\n", None),
        ("a:\n  - hose # 2 years old\n", None),
        ("a:\n  - 'hose' #2\n", None),
        ("a:\n  - hose#2\n", None),
        ("a:\n  - hose   # ----\n", None),
        ("a: [hose]\n", None),
    ],
)
def test_what_a_comment_cut_off_is_given_back(text: str, rest: str | None) -> None:
    assert cut_short(text_at(parse(text), "a", 0)) == rest


class TestFiles:
    def test_a_file_is_read_with_its_name_in_every_place(self, tmp_path: Path) -> None:
        path = tmp_path / "boat.yaml"
        path.write_bytes("é: 1\r\n".encode())
        table = open_source(path)
        assert plain(table) == {"é": "1"}
        assert at(table, "é").span.file == str(path)

    @pytest.mark.parametrize(
        ("name", "code"),
        [
            ("none.yaml", "no-such-file"),
            ("", "unreadable"),
            ("a\0b", "unreadable"),
            ("x" * 5000, "unreadable"),
        ],
    )
    def test_a_file_that_cannot_be_read_is_a_problem(self, tmp_path: Path, name: str, code: str) -> None:
        with pytest.raises(CircuitError) as caught:
            open_source(f"{tmp_path}/{name}")
        assert [p.code for p in caught.value.problems] == [code]

    def test_a_large_file_is_refused_unread(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(source, "MAX_BYTES", 100)
        monkeypatch.setattr(page, "MAX_BYTES", 100)
        path = tmp_path / "big.yaml"
        path.write_text("a: " + "x" * 98)
        with pytest.raises(CircuitError) as caught:
            open_source(path)
        assert [p.code for p in caught.value.problems] == ["too-large"]


@contextmanager
def at_most(seconds: float) -> Iterator[None]:
    """Fail when the body takes longer; what other tests left in memory is kept out of the count."""
    gc.collect()
    gc.freeze()
    start = time.process_time()
    yield
    spent = time.process_time() - start
    gc.unfreeze()
    assert spent < seconds


def nested_aliases(levels: int, width: int) -> str:
    lines = ["a0: &a0 [x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * width)}]" for i in range(1, levels)]
    return "\n".join(lines) + "\n"


HOSTILE: list[tuple[str, Callable[[], str], str]] = [
    ("brackets", lambda: "a: " + "[" * 100_000, "too-deep"),
    ("braces", lambda: "{" * 100_000, "too-deep"),
    ("closed brackets", lambda: "a: " + "[" * 100_000 + "]" * 100_000, "too-deep"),
    ("dashes", lambda: "- " * 100_000, "too-deep"),
    ("question marks", lambda: "? " * 100_000, "too-deep"),
    ("indents", lambda: "".join(" " * i + "a:\n" for i in range(2000)), "too-deep"),
    ("alias bomb", lambda: nested_aliases(15, 9), "too-many-aliases"),
    ("alias tower", lambda: nested_aliases(300, 1), "too-deep"),
    (
        "a huge key",
        lambda: "? " + "x" * 1_000_000 + "\n: 1\n? " + "x" * 1_000_000 + "\n: 2\n",
        "duplicate-key",
    ),
    ("a long line", lambda: "a: {" + ", ".join(f"b{i}" for i in range(300_000)) + "}", "missing-colon"),
    ("many values", lambda: "a: [" + "b," * 600_000 + "]", "too-large"),
    ("many duplicates", lambda: "a: 1\n" * 200_000, "duplicate-key"),
    ("many tags", lambda: "a: [" + "!x b," * 200_000 + "]", "tag"),
    ("many documents", lambda: "---\n" * 500_000, "second-document"),
    ("many orders", lambda: "%TAG !a! b\n" * 100_000 + "--- a", "directive"),
    ("unclosed", lambda: "a: {" + "".join(f"b{i}: 1,\n" for i in range(100_000)), "not-yaml"),
    ("unclosed quote", lambda: 'a: "' + "x \n" * 300_000, "not-yaml"),
    ("spaces before a comment", lambda: "a: {b" + " " * 1_000_000 + "#c}\n", "not-yaml"),
    ("too many bytes", lambda: "a: 1\n" * 2_100_000, "too-large"),
]


@pytest.mark.parametrize(("build", "code"), [h[1:] for h in HOSTILE], ids=[h[0] for h in HOSTILE])
def test_a_hostile_text_is_refused_in_time(build: Callable[[], str], code: str) -> None:
    text = build()
    with at_most(2.0):
        refused = problems(text)
    assert {p.code for p in refused} == {code}
    assert len(refused) <= source.MAX_PROBLEMS
    assert max(len(p.message) for p in refused) < 300


@pytest.mark.parametrize(
    "build",
    [
        lambda: "a: " + "x" * 1_000_000,
        lambda: "a: '" + "x " * 500_000 + "'",
        lambda: "".join(f"k{i}: &a{i} x\n" for i in range(50_000)),
        lambda: "a: {" + ", ".join(f"k{i}: " for i in range(50_000)) + "}",
        lambda: "#\n" * 500_000 + "a: 1\n",
        lambda: "a: &a x\nb: [" + "*a," * 50_000 + "]\n",
    ],
    ids=["long word", "long quote", "many anchors", "many empty values", "many comments", "many aliases"],
)
def test_an_odd_but_sound_text_is_read_in_time(build: Callable[[], str]) -> None:
    text = build()
    with at_most(2.0):
        table = parse(text)
    assert table.entries[0][0].value in ("a", "k0")


def test_depth_is_counted_to_the_limit_exactly() -> None:
    inside = source.MAX_DEPTH - 1  # the table at the top is the first level
    assert parse("a: " + "[" * inside + "]" * inside).get("a") is not None
    assert [p.code for p in problems("a: " + "[" * (inside + 1) + "]" * (inside + 1))] == ["too-deep"]


def test_ten_thousand_parts_are_read_in_time() -> None:
    part = "      - hose {}: {{type: hose, bore: 38 mm, length: 2 m, wire: yes}}\n"
    text = "runs:\n  main:\n    parts:\n" + "".join(part.format(i) for i in range(10_000))
    with at_most(1.5):
        table = parse(text)
    assert marked(text_at(table, "runs", "main", "parts", 9999, "hose 9999", "length")) == "2 m"


def texts_of(node: Node) -> Iterator[Text]:
    if isinstance(node, Text):
        yield node
    elif isinstance(node, Items):
        for value in node.values:
            yield from texts_of(value)
    else:
        for key, value in node.entries:
            yield key
            yield from texts_of(value)


SIGNS = st.sampled_from("a\n\t\r{}[],#'\"|>%@`🚢\\~\x85\u2028\ufeff\0\ud800")
PIECES = [
    "b: ",
    ": ",
    "- ",
    "\n  ",
    " #",
    "&a ",
    "*a",
    "!x ",
    "\n---\n",
    "\n...\n",
    "<<: ",
    "\r\n",
    "? ",
    "\\u12",
    " ",
]
SCRAPS = st.lists(st.one_of(SIGNS, st.sampled_from(PIECES)), max_size=40).map("".join)


class TestAnyText:
    @settings(max_examples=400, deadline=1000)
    @given(st.one_of(st.binary(max_size=200), st.text(max_size=200), SCRAPS))
    def test_nothing_but_a_circuit_error_is_ever_raised(self, text: str | bytes) -> None:
        self.check(text)

    @settings(max_examples=200, deadline=1000)
    @given(st.one_of(st.text(max_size=100), SCRAPS))
    def test_nor_by_the_reader_without_c(self, text: str) -> None:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(source, "_LOADER", yaml.SafeLoader)
            self.check(text)

    def check(self, text: str | bytes) -> None:
        try:
            table = parse(text, "f")
        except CircuitError as error:
            assert error.problems != ()
            spans = [span for p in error.problems for span in (p.at, p.also) if span]
        else:
            spans = [node.span for node in texts_of(table)]
        for span in spans:
            assert span.line >= 1
            assert 1 <= span.column <= len(span.text) + 1
            assert span.width >= 1

    @given(
        st.dictionaries(
            st.text("abcé🚢 ", min_size=1, max_size=8),
            st.text("ab:#'\"\\é🚢{}[],&*!|>%@ -", max_size=12),
            min_size=1,
        )
    )
    def test_what_another_writer_wrote_is_read_back_at_its_place(self, content: dict[str, str]) -> None:
        text = yaml.safe_dump(content, allow_unicode=True, default_flow_style=False, width=10_000)
        table = parse(text)
        assert plain(table) == content
        for key, value in table.entries:
            assert isinstance(value, Text)
            if not key.quoted:
                assert marked(key) == key.value
            if value.value and not value.quoted:
                assert marked(value) == value.value
