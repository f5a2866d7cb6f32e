"""The documentation page in a browser without network."""

from __future__ import annotations

from tests.browser.conftest import Watched

PATHS = ("/v1/verifications", "/v1/sizings", "/v1/families", "/v1/families/{family}", "/v1/rulebooks",
         "/v1/rulebooks/{version}", "/health/live", "/health/ready")  # fmt: skip


def test_docs_render_without_network(watched: Watched, address: str) -> None:
    watched.page.goto(f"{address}/docs")
    watched.page.wait_for_selector(".opblock")
    shown = [text.replace("\u200b", "") for text in watched.page.locator(".opblock-summary-path").all_inner_texts()]
    assert set(PATHS) <= set(shown)
    assert watched.strays == []
    assert watched.complaints == []


def test_an_operation_opens_with_its_example(watched: Watched, address: str) -> None:
    watched.page.goto(f"{address}/docs")
    watched.page.locator(".opblock-summary-path", has_text="verifications").first.click()
    watched.page.wait_for_selector(".opblock-body")
    watched.page.get_by_text("PS4-rail-017").first.wait_for()
    assert watched.strays == []
    assert watched.complaints == []
