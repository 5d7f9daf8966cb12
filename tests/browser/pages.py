"""Every page of the site, by name: what the tests look at and the pictures are made of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sockwright.store.items import ItemKind
from sockwright.web.access.sessions import LoginSessions
from sockwright.web.plan.choices import query_of
from sockwright.workshop.answers import Choice
from sockwright.workshop.example import example_id
from sockwright.workshop.planning import Plans
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import kept

PLANS = Plans()
"""A plan hangs on its order alone: what the workshops here plan is planned once."""

Ids = Mapping[str, str]
"""What the addresses of PAGES are filled in with."""


@dataclass(frozen=True)
class PageOf:
    """A page: its name, the route that answers, an address with {ids}, the status it has.

    One `outside` is shown to somebody who has not entered a workshop with a pass-phrase. One that
    answers a form has what is filled in where and what is pressed there; the status is its own.
    """

    name: str
    route: str
    address: str
    status: int = 200
    outside: bool = False
    filled: tuple[tuple[str, str], ...] = ()
    pressed: str = ""


KEEPS = {
    "people": "person",
    "yarns": "yarn",
    "machines": "machine",
    "swatches": "swatch",
    "designs": "design",
    "notes": "note",
}
"""The folders of what is kept, each with the id of one of its things."""


def _of_keeps() -> Iterator[PageOf]:
    """The list, the empty form and one thing of every folder."""
    for folder, id in KEEPS.items():
        yield PageOf(folder, f"/{folder}", f"/{folder}")
        yield PageOf(f"{folder}-new", f"/{folder}/new", f"/{folder}/new")
        yield PageOf(f"{folder}-one", f"/{folder}/{{id}}", f"/{folder}/{{{id}}}")


PAGES = (
    PageOf("home", "/", "/"),
    PageOf("plan-empty", "/plan", "/plan"),
    PageOf("plan", "/plan", "/plan?{choice}"),
    PageOf("plan-two-feet", "/plan", "/plan?{two_feet}"),
    PageOf("plan-beside", "/plan", "/plan?{choice}&beside=54"),
    PageOf("plan-short-of-yarn", "/plan", "/plan?{short}"),
    PageOf("plan-refused", "/plan", "/plan?{refused}"),
    PageOf("plan-problems", "/plan", "/plan?{choice}&ease.girth=90+%25&leg.height=wide"),
    PageOf("plan-why", "/plan/why", "/plan/why?key=sizing.foot_rounds&{choice}"),
    PageOf("plan-why-beside", "/plan/why", "/plan/why?key=fit.girth&{choice}&beside=54"),
    *_of_keeps(),
    PageOf("swatch-why", "/swatches/{id}/why", "/swatches/{swatch}/why?key=gauge.course"),
    PageOf("person-two-feet", "/people/{id}", "/people/{two_footed}"),
    PageOf(
        "yarn-refused",
        "/yarns/new",
        "/yarns/new",
        422,
        filled=(("[name=name]", "moss green"), ("[name=fineness]", "thin")),
        pressed="#form button.main",
    ),
    PageOf("yarn-deleted", "/yarns/{id}", "/yarns/{deleted}"),
    PageOf("deleted", "/deleted", "/deleted"),
    PageOf("gauge", "/gauge", "/gauge"),
    PageOf("pairs", "/socks", "/socks"),
    PageOf("pair-planned", "/socks/{id}", "/socks/{planned}"),
    PageOf("pair-begun", "/socks/{id}", "/socks/{begun}"),
    PageOf("pair-made", "/socks/{id}", "/socks/{made}"),
    PageOf(
        "pair-refused",
        "/socks/{id}",
        "/socks/{begun}",
        422,
        filled=(("#log-rounds", "a good few"), ("#log-note", "Lost count.")),
        pressed="form[action$='/log'] button",
    ),
    PageOf("pair-why", "/socks/{id}/why", "/socks/{made}/why?key=fabric.foot_length"),
    PageOf("pair-deleted", "/socks/{id}", "/socks/{gone}"),
    PageOf("bench-choose", "/socks/{id}/bench", "/socks/{begun}/bench"),
    PageOf("bench", "/socks/{id}/bench/{which}", "/socks/{begun}/bench/first"),
    PageOf("exchange", "/exchange", "/exchange"),
    PageOf(
        "exchange-refused",
        "/exchange",
        "/exchange",
        422,
        filled=(("textarea", "[foot]\nlength = 24"),),
        pressed="form[action='/exchange/order'] button",
    ),
    PageOf("settings", "/settings", "/settings"),
    PageOf("trust", "/trust", "/trust"),
    PageOf("enter", "/enter", "/enter", outside=True),
    PageOf(
        "enter-refused",
        "/enter",
        "/enter",
        403,
        outside=True,
        filled=(("#phrase", "open sesame"),),
        pressed="main button",
    ),
    PageOf("nothing-there", "", "/nowhere", 404),
)

FILES = (
    "/exchange/workshop.json",
    "/machines/{id}/cam.svg",
    "/machines/{id}/cylinder-{needles}.svg",
    "/plan/sheets/{file}",
    "/sheets/swatch.pdf",
    "/socks/{id}/bench/{which}.html",
    "/socks/{id}/bench/{which}/log.csv",
    "/socks/{id}/bench/{which}/log.json",
    "/socks/{id}/bench/{which}/sheets/{file}",
    "/socks/{id}/order.toml",
    "/socks/{id}/sheets/{file}",
    "/trust/authority.crt",
    "/worker.js",
    "/favicon.ico",
)
"""Routes that give a file to keep or print, not a page."""

SENT_ON = (
    "/exchange/order",
    "/exchange/workshop",
    "/plan/drawings",
    "/plan/program/{which}",
    "/plan/result",
)
"""Routes that have no page of their own: they give a piece of one, or send a browser on to it."""

PASS_PHRASE = "seven dry pairs of socks"


@dataclass(frozen=True)
class FullSite:
    """A furnished workshop, served at two addresses: open, and behind a door."""

    open: str
    behind_door: str
    ids: Ids

    def origin(self, one: PageOf) -> str:
        """Where a page is asked for."""
        return self.behind_door if one.outside else self.open

    def path(self, one: PageOf) -> str:
        """The page's address there."""
        return one.address.format(**self.ids)


@contextmanager
def full_site(folder: Path) -> Iterator[FullSite]:
    """A site where every kind of page has something to show, for those who only look."""
    with (
        sites.workshop(folder, example=True) as shop,
        sites.serving(shop) as open_site,
        sites.serving(shop, LoginSessions(PASS_PHRASE)) as behind_door,
    ):
        shop.plans = PLANS
        yield FullSite(open_site.address, behind_door.address, furnish(shop))


def furnish(shop: Workshop) -> Ids:
    """Add to the example what its pages do not show yet; gives the ids of what is there."""
    choice = station_choice()
    bin_yarn = kept(
        shop.keep(ItemKind.YARN, {"name": "moth-eaten green", "fineness": "100 g / 400 m"})
    )
    shop.delete(ItemKind.YARN, bin_yarn.id, bin_yarn.version)
    planned = kept(shop.plan_sock(choice))
    begun = kept(shop.plan_sock(choice))
    kept(shop.start_sock(begun.id, begun.version))
    gone = kept(shop.plan_sock(choice))
    shop.delete(ItemKind.SOCK, gone.id, gone.version)
    return {
        "choice": query_of(choice),
        "two_feet": other_choice("dog-handler", "aunt", "spruce"),
        "short": other_choice("avalanche-forecaster", "aunt", "berry"),
        "refused": other_choice("dog-handler", "bench", "grey", design="ribbed"),
        "person": choice.person,
        "two_footed": example_id(ItemKind.PERSON, "dog-handler"),
        "yarn": choice.yarns["main"],
        "machine": choice.machine,
        "swatch": choice.swatches[0],
        "design": choice.design or "",
        "deleted": bin_yarn.id,
        "planned": planned.id,
        "begun": begun.id,
        "gone": gone.id,
        "made": example_id(ItemKind.SOCK, "winch-operator"),
        "note": shop.things(ItemKind.NOTE)[0].id,
    }


def station_choice() -> Choice:
    """A pair that the example station can make."""
    return Choice(
        person=example_id(ItemKind.PERSON, "winch-operator"),
        machine=example_id(ItemKind.MACHINE, "bench"),
        yarns={"main": example_id(ItemKind.YARN, "grey")},
        design=example_id(ItemKind.DESIGN, "boot"),
        swatches=(example_id(ItemKind.SWATCH, "grey"),),
        needles=60,
    )


def station_query() -> str:
    """The query of that pair."""
    return query_of(station_choice())


def other_choice(person: str, machine: str, yarn: str, design: str = "") -> str:
    """The query of another pair of the station, by the example's keys."""
    return query_of(
        Choice(
            person=example_id(ItemKind.PERSON, person),
            machine=example_id(ItemKind.MACHINE, machine),
            yarns={"main": example_id(ItemKind.YARN, yarn)},
            design=example_id(ItemKind.DESIGN, design) if design else None,
        ),
        fitting=True,
    )
