"""Who may use the page: tokens of the address, and the cookies they are exchanged for."""

from __future__ import annotations

import secrets
from collections.abc import Callable

#: Browsers that may be in at once; the one that came first goes.
MOST_COOKIES = 64


class Keys:
    """Tokens and cookies of one run of the server; they end with it.

    Parameters
    ----------
    one_time : bool
        Whether a token opens once only; then the next one is told to `on_new`.
    on_new : callable
        Takes each token.
    """

    def __init__(
        self, *, one_time: bool = False, on_new: Callable[[str], None] = lambda _: None
    ) -> None:
        self.one_time, self._on_new = one_time, on_new
        self._cookies: dict[str, None] = {}
        self._tickets: set[str] = set()
        self.token = secrets.token_urlsafe(24)

    def ticket(self) -> str:
        """Return a token that opens once, for where others may see it: a list of processes."""
        ticket = secrets.token_urlsafe(24)
        self._tickets.add(ticket)
        return ticket

    def enter(self, token: str) -> str | None:
        """Return a new cookie for a token, or None for a wrong or used one."""
        if token in self._tickets:
            self._tickets.remove(token)
        elif not secrets.compare_digest(token.encode(), self.token.encode()):
            return None
        elif self.one_time:
            self.token = secrets.token_urlsafe(24)
            self._on_new(self.token)
        cookie = secrets.token_urlsafe(24)
        self._cookies[cookie] = None
        if len(self._cookies) > MOST_COOKIES:
            del self._cookies[next(iter(self._cookies))]
        return cookie

    def know(self, cookie: str | None) -> bool:
        """Say whether a cookie is one of ours."""
        return cookie is not None and cookie in self._cookies
