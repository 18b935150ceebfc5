"""Addresses and absolute paths in texts, and what only looks like some."""

from __future__ import annotations

import time

import pytest

from analyzer.save.disclosure.addresses import find_addresses, may_hold_addresses
from analyzer.save.disclosure.disclosure import AddressKind

URL, EMAIL, PATH, IP = AddressKind.URL, AddressKind.EMAIL, AddressKind.PATH, AddressKind.IP


def found(text: str, *, versions: bool = False) -> list[tuple[AddressKind, str]]:
    addresses = list(find_addresses(text, versions=versions))
    # The quick look first, as readers of saves do.
    assert not addresses or may_hold_addresses(text.encode())
    return addresses


@pytest.mark.parametrize(
    ("text", "kind", "address"),
    [
        ("map at https://quay.example/map?x=1.", URL, "https://quay.example/map"),
        ("file:///C:/saves/quay", URL, "file:///C:/saves/quay"),
        ('{"text":"http://192.0.2.7:8123/"}', URL, "http://192.0.2.7:8123/"),
        ("ask mate@quay.example.org!", EMAIL, "mate@quay.example.org"),
        (r"C:\Users\mate\saves\quay", PATH, r"C:\Users\mate\saves\quay"),
        (r'{"path":"C:\\Users\\mate"}', PATH, r"C:\\Users\\mate"),
        ("D:/games/quay", PATH, "D:/games/quay"),
        (r"\\boathouse\share\quay", PATH, r"\\boathouse\share\quay"),
        ("in /home/mate/.saves, see", PATH, "/home/mate/.saves"),
        ("/Users/mate/Library", PATH, "/Users/mate/Library"),
        ("join 192.0.2.7:25565", IP, "192.0.2.7"),
        ("join 2001:db8::7 now", IP, "2001:db8::7"),
    ],
)
def test_an_address_is_found_as_it_stands(text: str, kind: AddressKind, address: str) -> None:
    assert found(text) == [(kind, address)]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "minecraft:oak_planks",
        "quayworks:line_shaft[axis=x]",
        "quay/crane/arm",
        "/tp @s 1 64 2",
        "/execute in minecraft:overworld run tp @s 1 64 2",
        "/give @p quayworks:rope 1",
        "at 12:30:45",
        "1.20.1",
        "1.2.3.4.5",
        "300.1.2.3",
        "@here",
        "a@b",
        "ratio 3:2",
        "data/quayworks/loot",
        "./home/mate",
    ],
)
def test_what_only_looks_like_an_address_is_none(text: str) -> None:
    assert found(text) == []


def test_four_numbers_of_a_version_are_no_ip_address() -> None:
    assert found("14.23.5.2") == [(IP, "14.23.5.2")]
    assert found("14.23.5.2", versions=True) == []


def test_an_address_within_another_is_told_once() -> None:
    assert [text for _, text in found("http://mate@192.0.2.7/home/mate/x")] == [
        "http://mate@192.0.2.7/home/mate/x"
    ]


def test_no_more_than_twenty_are_told_of_one_text_and_of_long_ones_the_beginning() -> None:
    assert len(found("192.0.2.7 " * 100)) == 20
    ((_, address),) = found("http://" + "x" * 5000)
    assert len(address) == 200


@pytest.mark.parametrize(
    "piece",
    [
        "a",
        "a.",
        "a@",
        "1.",
        "1.1.1.1",
        ":",
        "a:",
        "//",
        "\\",
        "C:\\",
        "/home",
        "/home/",
        "://",
        "::1",
    ],
)
def test_the_longest_text_of_anything_takes_no_time(piece: str) -> None:
    text = (piece * 65_535)[:65_535]
    begin = time.process_time()
    found(text)
    found(f"{text}@x.example")
    assert time.process_time() - begin < 2
