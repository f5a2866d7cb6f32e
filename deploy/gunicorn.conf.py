"""Settings for a service started with `gunicorn -c deploy/gunicorn.conf.py "service.api:create_app()"`."""

from service.cli.gunicorn_settings import *  # noqa: F403  gunicorn reads every name of this module
