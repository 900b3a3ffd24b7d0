"""Open a port, say where, and answer until told to stop."""

from __future__ import annotations

import asyncio
import signal
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import Any, cast

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from cableroute.errors import CableRouteError
from cableroute.page.api import Page
from cableroute.page.desk import Desk
from cableroute.page.document import Document
from cableroute.page.guard import Guard
from cableroute.page.keys import Keys

LOOPBACK = "127.0.0.1"
#: The head of a request that is not there after this long is not waited for [s].
HEAD_SECONDS = 10.0
#: Open requests [-]; more are told to come again, so that no one can use up the machine.
MOST_OPEN = 600


class Serving:
    """A port that is bound, and the page behind it; nothing is answered before `run`.

    Parameters
    ----------
    path : Path
        The route file.
    host : str
        Address to bind.
    port : int
        Port to bind; 0 takes a free one.
    one_time : bool
        Whether the token of the address opens once only.
    on_new : callable
        Takes the next address, once a token that opens once is used.

    Raises
    ------
    CableRouteError
        For a file that cannot be read, or a port that cannot be had.
    """

    def __init__(
        self,
        path: Path,
        *,
        host: str = LOOPBACK,
        port: int = 0,
        one_time: bool = False,
        on_new: Callable[[str], None] = lambda _: None,
    ) -> None:
        document = Document(path)
        self._socket = _bound(host, port)
        self.port = self._socket.getsockname()[1]
        self.origin = f"http://{host}:{self.port}"
        self.keys = Keys(one_time=one_time, on_new=lambda token: on_new(self._address(token)))
        hosts = [f"{host}:{self.port}"] + [f"localhost:{self.port}"] * (host == LOOPBACK)
        cookie = f"cableroute-{self.port}"
        self._page = Page(Desk(document), keys=self.keys, cookie=cookie)
        guard = Guard(cast(Any, self._page.app()), keys=self.keys, hosts=hosts, cookie=cookie)
        config = uvicorn.Config(
            cast(Any, guard),
            http=_Patient,
            ws="none",
            lifespan="off",
            log_config=None,
            log_level="critical",
            access_log=False,
            server_header=False,
            date_header=False,
            proxy_headers=False,
            limit_concurrency=MOST_OPEN,
            timeout_graceful_shutdown=2,
        )
        self._server = _Server(config, on_end=self._end)

    @property
    def address(self) -> str:
        """Where to point a browser, with the token that lets it in."""
        return self._address(self.keys.token)

    @property
    def ticket(self) -> str:
        """The same for one browser, once: other users of the machine see how it is started."""
        return self._address(self.keys.ticket())

    def _address(self, token: str) -> str:
        return f"{self.origin}/#{token}"

    def _end(self) -> None:
        self._page.is_ending = True

    def run(self, announce: Callable[[str], None]) -> None:
        """Announce the address, then answer until Ctrl-C, SIGTERM or a hang-up."""
        with self._socket, self._server.heeding():
            announce(self.address)
            if hasattr(signal, "SIGPIPE"):  # a browser that goes must not take the server with it
                signal.signal(signal.SIGPIPE, signal.SIG_IGN)
            self._server.run(sockets=[self._socket])


def _bound(host: str, port: int) -> socket.socket:
    # by its protocol's name the answers' small parts are sent at once, not 40 ms later
    bound = socket.socket(proto=socket.IPPROTO_TCP)
    bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        bound.bind((host, port))
    except (OSError, OverflowError) as error:
        bound.close()
        why = getattr(error, "strerror", None) or error
        raise CableRouteError(f"{host}:{port}: cannot answer there: {why}") from None
    bound.listen(1024)
    return bound


class _Server(uvicorn.Server):
    """Ends quietly at the signals that end a command."""

    def __init__(self, config: uvicorn.Config, *, on_end: Callable[[], None]) -> None:
        super().__init__(config)
        self._on_end = on_end

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Leave signals as they are: `heeding` takes them from before the address is told."""
        yield

    @contextmanager
    def heeding(self) -> Iterator[None]:
        """Take signals; unlike the library's own way, do not raise them again at the end."""
        names = ("SIGINT", "SIGTERM", "SIGHUP")  # Windows has no hang-up
        ours = [getattr(signal, name) for name in names if hasattr(signal, name)]
        before = {each: signal.signal(each, self._on_signal) for each in ours}
        try:
            yield
        finally:
            for each, handler in before.items():
                signal.signal(each, handler)

    def _on_signal(self, _signal: int, _frame: FrameType | None) -> None:
        self._on_end()
        self.should_exit = True


class _Patient(H11Protocol):
    """Closes a connection whose next request does not come to the end of its head in time."""

    _timer: asyncio.TimerHandle | None = None

    def connection_made(self, transport: Any) -> None:
        super().connection_made(transport)
        self._start_timer()

    def data_received(self, data: bytes) -> None:
        super().data_received(data)
        if self._is_busy():
            self._stop_timer()
        elif self._timer is None:
            self._start_timer()

    def connection_lost(self, exc: Exception | None) -> None:
        self._stop_timer()
        super().connection_lost(exc)

    def _is_busy(self) -> bool:
        return self.cycle is not None and not self.cycle.response_complete

    def _start_timer(self) -> None:
        self._timer = self.loop.call_later(HEAD_SECONDS, self._give_up)

    def _stop_timer(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _give_up(self) -> None:
        self._timer = None
        if not self._is_busy() and not self.transport.is_closing():
            self.transport.close()


def lan_address() -> str:
    """Return this machine's address in its network; no packet is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # TEST-NET-1 of RFC 5737: nobody's
            return str(probe.getsockname()[0])
        except OSError:
            raise CableRouteError("--lan: this machine has no address in a network") from None
