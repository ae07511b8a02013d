"""Serves the demo on this machine only, with threads and without a proxy before it."""

import errno
import socket
from collections.abc import Callable
from typing import Any

from django.core.servers.basehttp import get_internal_wsgi_application
from gunicorn.app.base import BaseApplication  # type: ignore[import-untyped]

from qc.management.demo.folder import Refusal

HOST = "127.0.0.1"


def port_from(text: str) -> int:
    """The port written `text`. Refusal if it is none."""
    port = int(text) if text.isascii() and text.isdigit() and len(text) <= 5 else 0
    if not 1 <= port <= 65535:
        raise Refusal(f"--port {text[:40]!r} is no port; it is a whole number from 1 to 65535.")
    return port


def check_free(port: int) -> None:
    """Refusal where the port is in use or may not be opened."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError as failure:
            in_use = failure.errno == errno.EADDRINUSE
            why = "is in use; choose another with --port" if in_use else failure.strerror
            raise Refusal(f"Port {port} on {HOST} {why}.") from None


class Server(BaseApplication):
    """One worker with threads; `announce` is called when it takes requests."""

    def __init__(self, port: int, announce: Callable[[], None]) -> None:
        self.port = port
        self.announce = announce
        super().__init__()

    def load_config(self) -> None:
        """Quiet but for warnings; no files, no sockets beside the one it serves on."""
        choices = {
            "bind": f"{HOST}:{self.port}",
            "worker_class": "gthread",
            "threads": 8,
            "loglevel": "warning",
            "when_ready": lambda arbiter: self.announce(),
            "control_socket_disable": True,
        }
        for name, value in choices.items():
            if name in self.cfg.settings:
                self.cfg.set(name, value)

    def load(self) -> Any:
        """The application as it is served anywhere."""
        return get_internal_wsgi_application()
