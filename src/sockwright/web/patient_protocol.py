"""uvicorn's protocol for a connection, which tells of each connection what it waits for."""

from __future__ import annotations

import asyncio
from typing import Any

import h11
from uvicorn.config import Config
from uvicorn.protocols.http.h11_impl import H11Protocol
from uvicorn.server import ServerState

from sockwright.web.connections import Connection, Connections, Stage


class PatientProtocol(H11Protocol):
    """HTTP/1.1 on one of `connections`, told of as `own`.

    Over TLS, `connection_made` may come after the first data, and after the end: asyncio's
    `start_tls` leaves it to its caller.
    """

    def __init__(
        self,
        config: Config,
        server_state: ServerState,
        app_state: dict[str, Any],
        connections: Connections,
        own: Connection,
    ) -> None:
        super().__init__(config, server_state, app_state)
        self._all = connections
        self._own = own
        self._early = b""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Wait for a request."""
        self._own.held = lambda: self.flow.read_paused
        self._own.enter(Stage.HEADER, self._all.clock())
        super().connection_made(transport)
        if self._early:
            self.data_received(self._early)

    def data_received(self, data: bytes) -> None:
        """Take what came."""
        if self.transport is None:
            self._early += data
            return
        self._own.came += len(data)
        if self._own.stage is Stage.IDLE:
            self._own.enter(Stage.HEADER, self._all.clock())
        super().data_received(data)
        self._tell()

    def on_response_complete(self) -> None:
        """Wait for what comes next."""
        self._own.answered = True
        super().on_response_complete()
        self._tell()

    def resume_writing(self) -> None:
        """Write on: much of the answer was taken."""
        self._own.got_on()
        super().resume_writing()

    def timeout_keep_alive_handler(self) -> None:
        """Leave the idle to `connections`, which knows whether all was taken."""

    def shutdown(self) -> None:
        """End it as soon as what is under way is answered."""
        try:
            super().shutdown()
        except h11.LocalProtocolError:
            self.transport.close()
        if self.transport.is_closing() and not self._own.left():
            self._own.end()  # waits for no farewell over TLS

    def connection_lost(self, exc: Exception | None) -> None:
        """Be gone."""
        self._all.gone(self._own)
        if self.transport is not None:
            super().connection_lost(exc)
            self._unset_keepalive_if_required()

    def _tell(self) -> None:
        self._own.enter(self._stage(), self._all.clock())

    def _stage(self) -> Stage:
        theirs, ours = self.conn.their_state, self.conn.our_state
        answering = ours in (h11.SEND_RESPONSE, h11.SEND_BODY)
        if self.transport.is_closing():
            return Stage.ENDING
        if theirs is h11.SEND_BODY:
            return Stage.BODY if answering else Stage.REST
        if answering:
            return Stage.WORKING
        if theirs is h11.IDLE:
            began = self._own.stage is Stage.HEADER
            return Stage.HEADER if began else Stage.IDLE
        return Stage.ENDING
