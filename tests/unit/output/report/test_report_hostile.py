"""What users name their things must neither break a report nor run in it."""

from __future__ import annotations

import json
import re
import warnings
from base64 import b64decode
from collections.abc import Sequence
from datetime import date
from hashlib import sha256
from html.parser import HTMLParser
from urllib.parse import unquote
from xml.etree import ElementTree

import pytest
from matplotlib.figure import Figure

from cableroute.assess import Assessment, assess
from cableroute.measure.reading import read_job
from cableroute.output.report import as_html as report_html_module
from cableroute.output.report import as_pdf as report_pdf_module
from cableroute.output.report.as_html import escape, report_html
from cableroute.output.report.as_markdown import escape as escape_md
from cableroute.output.report.as_markdown import report_markdown
from cableroute.output.report.as_pdf import report_pdf
from cableroute.output.report.blocks import Facts, Report, Table
from cableroute.output.report.contents import report
from cableroute.output.report.space import scene
from cableroute.shown import one_line

HOSTILE = {
    "script": "</script><script>alert(1)</script>",
    "attribute": '"><img src=x onerror=alert(1)>',
    "comment": "<!-- ]]> --> &lt;b&gt; &amp;",
    "markdown": "| # * [x](y) $a_b$ `c` ~~d~~ ![i](http://a.example/i.png)",
    "controls": "a\x07b\x1b[31mc\x00d",
    "right-to-left": "\u202egnp.exe \u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627",
    "emoji": "\U0001f6b2\u200d\U0001f527\ufe0f lever",
    "long": "x" * 500,
    "spaces": "  \n\t ",
    "template": "${alert(1)} {{7*7}} \\",
}


def toml(word: str) -> str:
    """A TOML string: that of JSON, but for letters beyond the 16 bits of an escape."""
    text = json.dumps(word if word.strip() else word + "!", ensure_ascii=False)
    return text.replace("\x7f", "\\u007f")


def hostile_job(tmp_path, words: Sequence[str]) -> Assessment:
    """Every name there is made of these words, one after the other where there are several."""
    all_words = toml(" ".join(words))
    tubes = [f'[tubes.{toml(word)}]\nfrom = "A"\nto = "B"\ndiameter = 30' for word in words]
    zones = [
        f"[[keepout]]\nname = {toml(word)}\nsphere = {{ at = [300, 200, 0], radius = 20 }}\n"
        "temperature = 300"
        for word in words
    ]
    clips = [
        f'{{ at = [{400 * i}, {300 * (i % 2)}, 0], label = {toml(word)}, fix = "clip" }},'
        for i, word in enumerate([*words, *words, *words][: max(3, len(words))])
    ]
    lines = [
        f"title = {all_words}",
        "[nodes]\nA = [0, 0, 0]\nB = [500, 0, 0]",
        *tubes,
        *zones,
        f'[[cable]]\nname = {all_words}\nkind = "push-pull"\npoints = [',
        *clips,
        f"]\n[cable.build]\nname = {all_words}",
        'construction = "solid"\ncore_od = 2\nconduit_id = 2.6\nconduit_od = 7',
        "min_bend_radius = 100\nfriction = [0.1, 0.2]",
        f"[cable.build.provenance]\nfriction = {toml('from memory: ' + words[0] + '.')}",
    ]
    (tmp_path / "job.toml").write_text("\n".join(lines), encoding="utf-8")
    return assess(read_job(tmp_path / "job.toml"))


class Page(HTMLParser):
    """Tags with their attributes, and the text outside of style and script."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.raw: dict[str, list[str]] = {"script": [], "style": []}
        self._open: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in ("meta", "link", "img", "wbr"):
            self._open.append(tag)

    def handle_endtag(self, tag):
        assert self._open.pop() == tag

    def handle_data(self, data):
        inside = self._open[-1] if self._open else ""
        if inside in self.raw:
            self.raw[inside].append(data)
        else:
            self.words.append(data)

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for each, attributes in self.tags if each == tag]


KNOWN_TAGS = {
    "html",
    "head",
    "meta",
    "title",
    "link",
    "style",
    "script",
    "body",
    "header",
    "h1",
    "h2",
    "h3",
    "p",
    "nav",
    "ol",
    "ul",
    "li",
    "a",
    "main",
    "section",
    "table",
    "caption",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
    "figure",
    "figcaption",
    "div",
    "img",
    "svg",
    "button",
    "span",
    "b",
    "wbr",
    "bdi",
}


@pytest.fixture(scope="module", params=list(HOSTILE))
def word(request) -> str:
    return HOSTILE[request.param]


@pytest.fixture(scope="module")
def whole(tmp_path_factory, word) -> Report:
    found = hostile_job(tmp_path_factory.mktemp("job"), [word])
    return report(found, source=word, when=date(2026, 3, 4))


@pytest.fixture(scope="module")
def page(whole) -> str:
    """The page with its drawings left out, for they take a second."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(report_html_module, "picture", lambda *_: b"<svg/>")
        patch.setattr(report_html_module, "draw", lambda *_, **__: Figure())
        return report_html(whole)


@pytest.fixture(scope="module")
def crowded(tmp_path_factory) -> Report:
    """One report with several hostile words in it."""
    words = [HOSTILE[key] for key in ("script", "markdown", "right-to-left", "emoji")]
    found = hostile_job(tmp_path_factory.mktemp("job"), words)
    return report(found, source="x", when=date(2026, 3, 4))


def test_html_holds_only_our_own_tags_and_says_the_words(page, word):
    parsed = Page(page)
    assert {tag for tag, _ in parsed.tags} <= KNOWN_TAGS
    for tag, attributes in parsed.tags:
        assert not [name for name in attributes if name.startswith("on")], tag
        assert "style" not in attributes
        for name in ("src", "href"):
            assert (attributes.get(name) or "#").startswith(("#", "data:"))
    assert len(parsed.named("script")) == 2
    said = one_line(word) or "!"
    assert said in "".join(parsed.words)
    labels = [image["alt"] or "" for image in parsed.named("img")]
    assert all(labels)


def test_long_words_may_break(page):
    body = page.partition("</head>")[2].removesuffix("</html>\n")
    words = [word for text in Page(body).words for word in text.split()]
    assert max(map(len, words)) <= 30


def test_figures_beside_words_that_run_to_the_left_keep_their_place(page, word):
    if "\u05e9" in word:
        assert (
            "<bdi>\u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627</bdi>, 436 mm to spare"
            in page
        )
    else:
        assert "<bdi>" not in page


def test_html_has_one_title_and_every_heading_in_a_landmark(page):
    parsed = Page(page)
    tags = [tag for tag, _ in parsed.tags]
    for tag in ("title", "h1", "main", "header", "nav"):
        assert tags.count(tag) == 1, tag
    assert parsed.named("html")[0]["lang"] == "en"
    known = {attributes["id"] for _, attributes in parsed.tags if "id" in attributes}
    assert len(known) == sum("id" in attributes for _, attributes in parsed.tags)
    for attributes in parsed.named("section"):
        assert attributes["aria-labelledby"] in known
    for attributes in parsed.named("a"):
        assert (attributes["href"] or "")[1:] in known


def test_the_policy_lets_in_our_own_style_and_script_only(page):
    parsed = Page(page)
    policy = parsed.named("meta")[1]["content"] or ""
    assert policy.startswith("default-src 'none';")
    assert "unsafe" not in policy
    allowed = re.findall(r"'sha256-([^']+)'", policy)
    for text, given in zip(
        ("".join(parsed.raw["style"]), parsed.raw["script"][-1]), allowed, strict=True
    ):
        assert b64decode(given) == sha256(text.encode()).digest()


def test_the_scene_comes_through_whole(page, whole):
    parsed = Page(page)
    shown = json.loads(parsed.raw["script"][0])
    space = whole.sections[2].blocks[0]
    assert shown == scene(space.assessment)


def test_drawings_are_sound_svg_without_scripts_or_links(crowded):
    for attributes in Page(report_html(crowded)).named("img"):
        kind, _, data = (attributes["src"] or "").partition(",")
        assert kind == "data:image/svg+xml"
        root = ElementTree.fromstring(unquote(data))
        assert root.tag.endswith("svg")
        for element in root.iter():
            assert "script" not in str(element.tag)
            for name, value in element.attrib.items():
                assert not name.endswith("href") or value.startswith("#")


def test_markdown_shows_the_words_as_they_are(whole, word):
    markdown_it = pytest.importorskip("markdown_it")
    text = report_markdown(whole)
    parser = markdown_it.MarkdownIt("commonmark").enable(["table", "strikethrough"])
    tokens = [token for each in parser.parse(text) for token in (each, *(each.children or ()))]
    kinds = {token.type for token in tokens}
    assert kinds.isdisjoint(
        {"html_block", "html_inline", "link_open", "image", "s_open", "em_open"}
    )
    codes = [token.content for token in tokens if token.type == "code_inline"]
    assert codes == ["cableroute draw"]
    title = next(tokens[i + 1] for i, token in enumerate(tokens) if token.type == "heading_open")
    said = "".join(child.content for child in title.children)
    assert said == one_line(whole.title)
    assert "$" not in text.replace("\\$", "")


def test_markdown_tables_keep_their_columns(whole):
    markdown_it = pytest.importorskip("markdown_it")
    parser = markdown_it.MarkdownIt("commonmark").enable("table")
    tokens = parser.parse(report_markdown(whole))
    tables = sum(token.type == "table_open" for token in tokens)
    wanted = [
        block.table if isinstance(block, Facts) else block
        for each in whole.sections
        for part in (each, *each.parts)
        for block in part.blocks
        if isinstance(block, Table | Facts)
    ]
    assert tables == len(wanted)
    cells = sum(token.type == "td_open" for token in tokens)
    assert cells == sum(len(table.columns) * len(table.rows) for table in wanted)


def test_pdf_is_made_without_a_complaint(crowded):
    with warnings.catch_warnings(), pytest.MonkeyPatch.context() as patch:
        patch.setattr(report_pdf_module, "set_drawings", lambda *_: None)  # they are tested above
        warnings.simplefilter("error")
        data = report_pdf(crowded)
    assert data.startswith(b"%PDF")
    assert b"%%EOF" in data[-10:]


def test_escapes_by_hand():
    assert escape('<a b="c">&\x00') == "&lt;a b=&quot;c&quot;&gt;&amp;\\x00"
    assert escape_md("a|b") == "a\\|b"
    assert escape_md("rod_od x_ _y") == "rod_od x\\_ \\_y"
    assert escape_md("- a") == "\\- a"
    assert escape_md("1. a") == "1\\. a"
    assert escape_md("# a\n# b") == "\\# a \\# b"
    assert escape_md("-12 % of it") == "-12 % of it"
