"""The service on loopback and Debian's Chromium, from which nothing leaves the machine."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import (
    Browser,
    ConsoleMessage,
    Error,
    Page,
    Request,
    ViewportSize,
    expect,
    sync_playwright,
)
from werkzeug.serving import make_server

from service.api import create_app

CHROMIUM = Path("/usr/bin/chromium")
RULES = Path(__file__).parents[2] / "rules"
ARGUMENTS = (
    "--no-sandbox", "--disable-gpu", "--in-process-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--disable-site-isolation-trials", "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
)  # fmt: skip


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    """Base address of a running service."""
    app = create_app(RULES, clock=lambda: date(2026, 11, 25))
    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Headless Chromium."""
    # What is waited for comes when it comes: a busy machine takes longer than the five seconds that are usual.
    expect.set_options(timeout=30_000)
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=str(CHROMIUM), args=list(ARGUMENTS))
        yield launched
        launched.close()


class Watched:
    """A page, what it tried to fetch from elsewhere, and what its console complained of."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.strays: list[str] = []
        self.complaints: list[str] = []
        self._heard = {"console": self._listen, "pageerror": self._fail, "request": self._see}
        for event, hear in self._heard.items():
            page.on(event, hear)  # type: ignore[call-overload]  # each of them takes what its event brings

    def leave(self) -> None:
        """Hear no more of the page, and give back all that a test can change of it."""
        for event, hear in self._heard.items():
            self.page.remove_listener(event, hear)
        for other in self.page.context.pages:
            if other != self.page:
                other.close()
        self.page.unroute_all()
        self.page.emulate_media(media="null")
        self.page.goto("about:blank")

    def _listen(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            self.complaints.append(message.text)

    def _fail(self, error: Error) -> None:
        self.complaints.append(str(error))

    def _see(self, request: Request) -> None:
        address = urlsplit(request.url)
        if address.scheme in {"http", "https", "ws", "wss"} and address.hostname != "127.0.0.1":
            self.strays.append(request.url)


class Desks:
    """One page for each kind of reader, for one test after the other: to open a window takes longer than most tests.

    Answers that its tab may hold are cleared where a test begins; see `page_walk.begin`.
    """

    def __init__(self, browser: Browser) -> None:
        self._browser = browser
        self._pages: dict[tuple[int, int, str | None], Page] = {}

    @contextmanager
    def page(self, width: int, height: int, locale: str | None = None) -> Iterator[Watched]:
        """A page of a size, for a reader of a language, as if it were fresh."""
        kind, size = (width, height, locale), ViewportSize(width=width, height=height)
        if kind not in self._pages:
            self._pages[kind] = self._browser.new_context(locale=locale).new_page()
        page = self._pages[kind]
        page.set_viewport_size(size)
        watched = Watched(page)
        yield watched
        watched.leave()


@pytest.fixture(scope="session")
def desks(browser: Browser) -> Desks:
    """Pages that tests share."""
    return Desks(browser)


@pytest.fixture
def watched(desks: Desks) -> Iterator[Watched]:
    """A page at desk size."""
    with desks.page(1280, 900) as watched:
        yield watched
