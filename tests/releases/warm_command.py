"""The command line in an interpreter that has read the modules already, for scripts that call it many times.

`python -m tests.releases.warm_command SOCKET` waits for calls at a socket. Each is answered in a process of its own,
forked from it, with the arguments, directory, environment and streams of who calls; CALL is the little that calls.
"""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NoReturn

from service.cli import main

STREAMS = 3
CALL = """\
import json, os, socket, sys
with socket.socket(socket.AF_UNIX) as server:
    server.connect(sys.argv[1])
    socket.send_fds(server, [b"!"], [0, 1, 2])
    server.sendall(json.dumps([sys.argv[2:], os.getcwd(), dict(os.environ)]).encode())
    server.shutdown(socket.SHUT_WR)
    sys.exit(int(server.makefile().read()))
"""
"""Ends with a ValueError where the one that it called died without a code."""


@contextmanager
def warm(directory: Path, checkout: Path) -> Iterator[str]:
    """Words of a shell that call the command line of a checkout without reading its modules again."""
    address, call = directory / "socket", directory / "call.py"
    call.write_text(CALL, "utf-8")
    server = subprocess.Popen([sys.executable, "-m", "tests.releases.warm_command", str(address)], cwd=checkout)
    try:
        deadline = time.monotonic() + 60
        while not address.exists():
            assert server.poll() is None
            assert time.monotonic() < deadline
            time.sleep(0.05)
        yield f"{sys.executable} -I -S {call} {address}"
    finally:
        server.terminate()
        server.wait(timeout=30)


def _code(arguments: list[str]) -> int:
    """What a process of the command line would end with."""
    try:
        return main(arguments)
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(end.code is not None)
    except BaseException:  # noqa: BLE001 - as the interpreter does at the end of a process
        traceback.print_exc()
        return 1


def _answer(call: socket.socket) -> NoReturn:
    _, streams, _, _ = socket.recv_fds(call, 1, STREAMS)
    arguments, directory, environment = json.loads(call.makefile().read())
    for number, stream in enumerate(streams):
        os.dup2(stream, number)
        os.close(stream)
    os.chdir(directory)
    os.environ.clear()
    os.environ.update(environment)
    sys.argv[1:] = arguments
    code = _code(arguments)
    sys.stdout.flush()
    sys.stderr.flush()
    call.sendall(str(code).encode())
    os._exit(0)


def serve(path: str) -> NoReturn:
    with socket.socket(socket.AF_UNIX) as listener:
        listener.bind(path)
        listener.listen()
        children: set[int] = set()
        while True:
            call, _ = listener.accept()
            child = os.fork()
            if child == 0:
                listener.close()
                _answer(call)
            call.close()
            children = {one for one in children | {child} if os.waitpid(one, os.WNOHANG)[0] == 0}


if __name__ == "__main__":
    serve(sys.argv[1])
