"""What holds of every page: its data lie beside it, its links lead somewhere, its forms hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urljoin, urlsplit

import pytest
from starlette.routing import Match, Route

from browser.pages import PAGES, Ids, PageOf, furnish
from sockwright.once import once
from sockwright.web.app import PAGE_ROUTERS
from web import sites

OPEN_PAGES = [one for one in PAGES if one.status == 200 and not one.outside]
every_open_page = pytest.mark.parametrize("one", OPEN_PAGES, ids=lambda one: one.name)


class Marks(HTMLParser):
    """The links, the forms and the inline code of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: set[str] = set()
        self.data = ""
        self.forms: list[tuple[str, str]] = []
        self.inline: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "a" and given.get("href"):
            self.links.add(given["href"] or "")
        if tag == "link" and given.get("type") == "application/json":
            self.data = given.get("href") or ""
        if tag == "form":
            self.forms.append((given.get("method", "get") or "get", given.get("action", "") or ""))
        if tag == "style" or (tag == "script" and not given.get("src")):
            self.inline.append(tag)
        self.inline += [name for name, _ in attrs if name == "style" or name.startswith("on")]


@dataclass
class Site:
    """A furnished site, the ids of what is there, its pages that were looked at, and which of its
    links were found to lead on."""

    client: sites.Client
    ids: Ids
    links: dict[str, bool] = field(default_factory=dict)
    looked_at: dict[str, Marks] = field(default_factory=dict)

    def marks(self, one: PageOf) -> Marks:
        """What a page is made of; each is asked for once."""
        if one.name not in self.looked_at:
            answer = self.client.get(one.address.format(**self.ids))
            self.looked_at[one.name] = Marks(answer.text)
        return self.looked_at[one.name]

    def leads_on(self, link: str) -> bool:
        """Whether a link ends at a page; each is tried once."""
        if link not in self.links:
            answer = self.client.get(link, follow_redirects=True)
            self.links[link] = answer.status_code == 200
        return self.links[link]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The site that all tests here ask."""
    with sites.workshop(tmp_path_factory.mktemp("every"), example=True) as shop:
        shop.press.print_plan = once(shop.press.print_plan)  # type: ignore[method-assign]
        yield Site(sites.client(shop), furnish(shop))


def takes_post(path: str) -> bool:
    """Whether a form can be sent to a path."""
    scope = {"type": "http", "path": path, "method": "POST", "root_path": ""}
    return any(
        isinstance(route, Route) and route.matches(scope)[0] is Match.FULL
        for router in PAGE_ROUTERS
        for route in router.routes
    )


@every_open_page
def test_its_data_lie_beside_it(site: Site, one: PageOf) -> None:
    client, ids = site.client, site.ids
    answer = client.get("/data" + one.address.format(**ids))
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/json"
    told = site.marks(one).data
    if told != str(answer.url).removeprefix(str(client.base_url)):
        assert client.get(told, follow_redirects=True).content == answer.content


@every_open_page
def test_its_links_lead_somewhere(site: Site, one: PageOf) -> None:
    here = one.address.format(**site.ids)
    links = sorted({urljoin(here, link) for link in site.marks(one).links if link[0] != "#"})
    assert links != []
    away = [link for link in links if not link.startswith("/")]
    assert away == []
    dead = [link for link in links if not site.leads_on(link)]
    assert dead == [], "\n".join(dead)


def test_its_forms_are_taken(site: Site) -> None:
    for one in OPEN_PAGES:
        page = site.marks(one)
        sent = [action or one.address for method, action in page.forms if method.lower() == "post"]
        assert [to for to in sent if not takes_post(urlsplit(to).path)] == [], one.name


def test_it_has_no_code_or_style_of_its_own(site: Site) -> None:
    own = {one.name: site.marks(one).inline for one in OPEN_PAGES}
    assert {name: inline for name, inline in own.items() if inline} == {}
