"""A page is weighed with all that it has a browser fetch, each once, and nothing else."""

from __future__ import annotations

import gzip
from functools import partial
from pathlib import Path

import pytest

from sockwright.web.preferences import PREFERENCES_COOKIE
from web import sites
from web.weights import HEAVIEST_BENCH, fetched, weight
from workshops import fine_pair

SITE = {
    "/page": '<link href="/static/s.css"><script src="/static/a/one.js"></script>'
    '<link href="/static/type.woff2"><a href="/elsewhere">',
    "/static/s.css": '@import "more.css"; a { background: url("dots.svg") } '
    "@font-face { src: url(type.woff2) } b { background: url(data:image/png;base64,AAAA) }",
    "/static/more.css": "p { background: url('dots.svg') }",
    "/static/dots.svg": "<svg/>",
    "/static/a/one.js": 'import { a } from "./two.js";\n'
    'import {\n  b,\n  c\n} from "../three.js";\n'
    'import "./side.js";\nconst said = "import nothing from \'./nowhere.js\'";',
    "/static/a/two.js": 'import { b } from "../three.js";\nexport * from "./one.js";',
    "/static/three.js": 'export const c = "./no-module.js";',
    "/static/a/side.js": "// from './nowhere.js'",
}
"""What is served where; what is not counted is missing, so that fetching it fails."""


def test_a_page_is_weighed_with_all_that_its_parts_name() -> None:
    fetched = []

    def fetch(address: str) -> bytes:
        fetched.append(address.removeprefix("http://hut"))
        return SITE[fetched[-1]].encode()

    assert weight("http://hut", "/page", fetch) == sum(map(len, SITE.values()))
    assert sorted(fetched) == sorted(SITE)


def test_what_is_packed_counts_as_it_is_sent() -> None:
    site = {"/page": '<script src="/static/a.js"></script>', "/static/a.js": 'import "./b.js";'}
    packed = {path: gzip.compress(text.encode()) for path, text in site.items()}
    packed["/static/b.js"] = b""
    measured = weight("http://hut", "/page", lambda at: packed[at.removeprefix("http://hut")])
    assert measured == sum(map(len, packed.values()))


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_bench_of_a_fine_cylinder_is_light(tmp_path: Path, language: str) -> None:
    fetch = partial(fetched, cookie=f"{PREFERENCES_COOKIE}=language={language}")
    with sites.workshop(tmp_path) as shop, sites.serving(shop) as served:
        bench = f"/socks/{fine_pair(shop).id}/bench/first"
        assert weight(served.address, bench, fetch) < HEAVIEST_BENCH
