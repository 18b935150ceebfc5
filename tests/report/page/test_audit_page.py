"""The page as bytes: self-contained, the same every time, and safe whatever the save holds."""

from __future__ import annotations

import base64
import hashlib
import os
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest

from tests.report.page.carried import data_of, page_of
from tests.report.page.hostile import HOSTILE, hostile
from tests.support.audits import audited_text
from tests.support.demo import demo_audit, demo_save
from tests.support.saves import save_of
from tests.support.sketch import sketch


class Outline(HTMLParser):
    """Elements, text and the attributes that could ask for something."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[str] = []
        self.handlers: list[str] = []
        self.addresses: list[str] = []
        self.text: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        for name, value in attrs:
            if name.startswith("on"):
                self.handlers.append(name)
            if name in ("src", "href", "action", "data", "srcset", "style"):
                self.addresses.append(value or "")

    def handle_data(self, data: str) -> None:
        self.text.append(data)


@pytest.mark.parametrize("name", HOSTILE)
def test_names_from_the_save_are_text_wherever_they_stand(name: str) -> None:
    plain, page = Outline(page_of(demo_audit())), page_of(hostile(name))
    found = Outline(page)
    assert found.elements.count("script") == plain.elements.count("script") == 2
    assert sorted(set(found.elements)) == sorted(set(plain.elements))
    assert found.handlers == []
    assert found.addresses == plain.addresses
    assert not re.search(r"[\x00-\x09\x0b-\x1f\u200b\u202e]", page)
    document = data_of(page)
    assert document["dimensions"][0]["name"] == document["unit"]
    if name.isprintable():
        assert document["unit"] == name
        assert name in "".join(found.text)


def test_the_page_asks_for_nothing_and_lets_only_its_own_script_run() -> None:
    page = page_of(demo_audit())
    assert all(one.startswith(("#", "data:")) for one in Outline(page).addresses)
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', page)
    assert policy is not None
    assert "default-src 'none'" in policy[1]
    assert "unsafe" not in policy[1]
    for element, kind in (("<style>", "style-src"), ("<script>", "script-src")):
        begin = page.index(element) + len(element)
        text = page[begin : page.index(element.replace("<", "</"), begin)]
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"{kind} 'sha256-{digest}'" in policy[1]


def test_the_page_says_nothing_of_this_machine() -> None:
    page = page_of(demo_audit())
    assert str(demo_save()) not in page
    assert str(Path.home()) not in page
    assert re.search(r"\b20\d\d-\d\d-\d\d\b", page) is None


def test_the_same_audit_gives_the_same_bytes_whatever_the_hash_seed() -> None:
    script = (
        "import hashlib, sys\n"
        "from analyzer.pipeline.audit import audit_save\n"
        "from analyzer.report.page.audit_page import iter_audit_page\n"
        "page = ''.join(iter_audit_page(audit_save(sys.argv[1], catalogues=['quayworks'])))\n"
        "print(hashlib.sha256(page.encode()).hexdigest())\n"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", script, str(demo_save())],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "77")
    }
    own = hashlib.sha256(page_of(demo_audit()).encode()).hexdigest()
    assert digests == {f"{own}\n"}


def test_every_link_within_the_page_leads_somewhere() -> None:
    page = page_of(demo_audit())
    names = set(re.findall(r'\bid="([^"]+)"', page))
    assert {one[1:] for one in Outline(page).addresses if one.startswith("#")} <= names


def test_a_save_without_a_part_gives_a_page_that_says_so(tmp_path: Path) -> None:
    text = """
        [catalogue]
        format = 1
        title = "Nothing of the sort"
        namespace = "elsewhere"
        version = "1"
        licence = "MIT"
        [parts."elsewhere:shaft"]
        role = "transmission"
        entity = ["elsewhere:shaft"]
        pose = {axis = "axis"}
        ends = {front = 1, back = -1}
    """
    page = page_of(audited_text(save_of(tmp_path, sketch("wheel:e")), text))
    assert "No drive was found" in page
    assert data_of(page)["parts"]["count"] == 0


def test_what_is_ignored_and_lapsed_is_told(tmp_path: Path) -> None:
    from datetime import date

    from analyzer.findings.ignores import Ignore
    from analyzer.pipeline.audit import audit_save

    ignores = [
        Ignore(rule="overload", reason="the <b>lathes</b> rest at night"),
        Ignore(rule="over-speed", reason="until spring", until=date(2020, 3, 1)),
    ]
    audit = audit_save(
        demo_save(), catalogues=["quayworks"], ignores=ignores, today=date(2021, 1, 1)
    )
    page = page_of(audit)
    assert "the &lt;b&gt;lathes&lt;/b&gt; rest at night" in page
    assert "Ignored no longer: over-speed: until spring" in page
