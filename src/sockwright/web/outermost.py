"""Round the whole site: no fault of its gets out, and no more is begun than can be done."""

from __future__ import annotations

from starlette.requests import ClientDisconnect
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from sockwright.web.connections import Connections
from sockwright.web.faults import told, told_gone


class Outermost:
    """Round everything: what `app` fails at ends here, and no more is begun than can be done."""

    def __init__(self, app: ASGIApp, connections: Connections) -> None:
        self.app = app
        self.connections = connections
        self._under_way = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, whatever becomes of it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        most = self.connections.limits.requests
        # Those whose bodies are still on their way hold nobody else up.
        if self._under_way >= most and self.connections.working() > most:
            await _busy(scope, receive, send)
            return
        self._under_way += 1
        try:
            await self._answer(scope, receive, send)
        finally:
            self._under_way -= 1

    async def _answer(self, scope: Scope, receive: Receive, send: Send) -> None:
        started = False

        async def sending(message: Message) -> None:
            nonlocal started
            started = True
            await send(message)

        try:
            await self.app(scope, receive, sending)
        except ClientDisconnect:
            told_gone(scope)
        except Exception as error:
            reference = told(scope, error)
            if not started:
                await _failed(reference)(scope, receive, send)


_busy = PlainTextResponse(
    "The workshop is busy. Try again in a moment.", 503, {"retry-after": "1", "connection": "close"}
)


def _failed(reference: str) -> PlainTextResponse:
    return PlainTextResponse(f"Something is wrong in the program ({reference}).", 500)
