"""How the service is run: settings that gunicorn knows, and both ways of starting read the same ones."""

import runpy
from pathlib import Path

from gunicorn.config import Config

from service.cli import gunicorn_settings

ROOT = Path(__file__).resolve().parents[2]
SETTINGS = {name: value for name, value in vars(gunicorn_settings).items() if not name.startswith("_")}


def test_gunicorn_knows_and_takes_every_setting() -> None:
    config = Config()
    for name, value in SETTINGS.items():
        config.set(name, value)
        taken = config.settings[name].get()
        assert taken == ([value] if name == "bind" else value)
    assert len(SETTINGS) >= 10


def test_half_sent_bodies_do_not_block_a_worker_and_workers_are_replaced_at_different_times() -> None:
    assert SETTINGS["worker_class"] == "gthread"
    assert (SETTINGS["workers"], SETTINGS["threads"]) == (2, 4)
    assert SETTINGS["preload_app"]
    assert 0 < SETTINGS["max_requests_jitter"] < SETTINGS["max_requests"]
    assert SETTINGS["control_socket_disable"]


def test_the_file_in_deploy_has_the_same_settings() -> None:
    names = runpy.run_path(str(ROOT / "deploy" / "gunicorn.conf.py"))
    assert {name: value for name, value in names.items() if not name.startswith("_")} == SETTINGS
