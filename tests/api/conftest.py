"""The application and a client that holds every response, errors included, against the committed contract."""

import copy
import json
from datetime import date
from typing import Any

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from service.api import create_app
from service.contract.sizing import GUARDRAIL_POST_FREE_HOLES
from service.contract.verification import GUARDRAIL_POST
from tests.api.holding import COMMITTED, ROOT, Contract, HeldClient

TODAY = date(2026, 11, 25)


@pytest.fixture(scope="session")
def contract() -> Contract:
    return Contract(json.loads(COMMITTED.read_text(encoding="utf-8")))


@pytest.fixture(scope="session")
def app() -> Flask:
    return create_app(ROOT / "rules", clock=lambda: TODAY)


@pytest.fixture
def client(app: Flask, contract: Contract) -> HeldClient:
    held = HeldClient(app, TestResponse, use_cookies=False)
    held.contract = contract
    return held


@pytest.fixture
def guardrail_post() -> dict[str, Any]:
    """The example of a verification, to be changed."""
    return copy.deepcopy(GUARDRAIL_POST)


@pytest.fixture
def free_holes() -> dict[str, Any]:
    """The example of a sizing with a pattern, to be changed."""
    return copy.deepcopy(GUARDRAIL_POST_FREE_HOLES)
