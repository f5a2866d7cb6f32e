"""How gunicorn runs the service; `anchor-rulebook serve` and deploy/gunicorn.conf.py both read this module.

Threads, because a worker without them is blocked by one half-sent body. Preloading, so that an application that cannot
start ends the start, and the workers share the rulebook and, as rules change, the last good state of them: without
preloading a new worker would not know what was suspended. Workers are replaced now and then, at different times.
"""

from service.cli.worker import post_worker_init as post_worker_init

bind = "127.0.0.1:8080"
worker_class = "gthread"
workers = 2
threads = 4
preload_app = True
max_requests = 10_000
max_requests_jitter = 2_000
timeout = 30
graceful_timeout = 30
keepalive = 5
limit_request_line = 4_094
control_socket_disable = True
