"""The service on loopback and Debian's Chromium, from which nothing leaves the machine."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, Route, expect, sync_playwright
from werkzeug.serving import make_server

from service.api import create_app

CHROMIUM = Path("/usr/bin/chromium")
RULES = Path(__file__).parents[2] / "rules"
ARGUMENTS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
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
        page.on("console", self._listen)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.route("**/*", self._guard)

    def _listen(self, message: object) -> None:
        if getattr(message, "type", "") in {"error", "warning"}:
            self.complaints.append(str(getattr(message, "text", message)))

    def _guard(self, route: Route) -> None:
        if urlsplit(route.request.url).hostname == "127.0.0.1":
            route.continue_()
        else:
            self.strays.append(route.request.url)
            route.abort()


@pytest.fixture
def watched(browser: Browser) -> Iterator[Watched]:
    """A fresh page at desk size."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    yield Watched(context.new_page())
    context.close()
