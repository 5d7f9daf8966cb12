"""uvicorn's server with a door of its own: it takes connections itself, each within bounds.

asyncio's own server tells nobody of a connection before its TLS handshake is over, and stops for a
second where the system has no more files; see docs/decisions.md.
"""

from __future__ import annotations

import asyncio
import logging
import socket
from collections.abc import Sequence
from typing import Any, Final

import h11
import uvicorn
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

    def send_400_response(self, msg: str) -> None:
        """Refuse what is no HTTP; an answer to the request before it comes no more."""
        if self.cycle is not None:
            self.cycle.disconnected = True
        try:
            super().send_400_response(msg)
        except h11.LocalProtocolError:
            self.transport.close()

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


BREATH_S: Final = 0.2
"""How long nobody is taken where the system has no room and there is nobody to close, s."""

_log = logging.getLogger("sockwright.web.front")


class LimitedServer(uvicorn.Server):
    """Serves within the limits of `connections`."""

    def __init__(self, config: uvicorn.Config, connections: Connections) -> None:
        super().__init__(config)
        self.connections = connections

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Take connections on the sockets from now on."""
        await self.lifespan.startup()
        taking = _Taking(sockets or [], self, self.connections)
        self.servers = [taking]  # type: ignore[list-item]
        self.started = True


class _Taking:
    """Takes connections on sockets, as long as the server runs; asyncio's servers do as much."""

    def __init__(
        self, sockets: Sequence[socket.socket], server: LimitedServer, connections: Connections
    ) -> None:
        self.sockets = sockets
        self._server = server
        self._connections = connections
        self._loop = asyncio.get_running_loop()
        self._beginning: set[asyncio.Task[None]] = set()
        self._sweeping = self._loop.create_task(self._sweep())
        self._closed = False
        for one in sockets:
            one.setblocking(False)
            self._listen(one)

    def close(self) -> None:
        """Take nobody any more."""
        self._closed = True
        for one in self.sockets:
            self._loop.remove_reader(one)
        for task in self._beginning:
            task.cancel()

    async def wait_closed(self) -> None:
        """Be done when all connections are."""
        self._sweeping.cancel()

    def _listen(self, listening: socket.socket) -> None:
        if not self._closed:
            self._loop.add_reader(listening, self._take, listening)

    def _take(self, listening: socket.socket) -> None:
        # One each time round, so that those who are here are served in between.
        try:
            taken, address = listening.accept()
        except (BlockingIOError, InterruptedError, ConnectionAbortedError):
            return
        except OSError:
            if not self._connections.shed():
                self._loop.remove_reader(listening)
                self._loop.call_later(BREATH_S, self._listen, listening)
            return
        connection = self._connections.come(str(address[0]))
        if connection is None:
            taken.close()
            return
        task = self._loop.create_task(self._begin(taken, connection))
        self._beginning.add(task)
        task.add_done_callback(self._beginning.discard)

    async def _begin(self, taken: socket.socket, connection: Connection) -> None:
        server = self._server
        protocol = PatientProtocol(
            server.config, server.server_state, server.lifespan.state, self._connections, connection
        )
        try:
            await self._connect(taken, connection, protocol)
        except (OSError, asyncio.CancelledError) as error:
            _log.info("%s: no connection came about (%s)", connection.device, error or "given up")
        finally:
            if protocol.transport is None:
                self._connections.gone(connection)

    async def _connect(
        self, taken: socket.socket, connection: Connection, protocol: PatientProtocol
    ) -> None:
        """Join a socket and its protocol, over TLS where the server has a certificate."""
        taken.setblocking(False)
        raw, _ = await self._loop.connect_accepted_socket(_Paused, taken)
        connection.end, connection.left = raw.abort, raw.get_write_buffer_size
        context = self._server.config.ssl
        if context is None:
            raw.set_protocol(protocol)
            protocol.connection_made(raw)
            raw.resume_reading()
            return
        connection.enter(Stage.SHAKING, self._connections.clock())
        wrapped = await self._loop.start_tls(raw, protocol, context, server_side=True)
        if wrapped is not None:
            connection.left = lambda: raw.get_write_buffer_size() + _left_in(wrapped)
            protocol.connection_made(wrapped)

    async def _sweep(self) -> None:
        while True:
            await asyncio.sleep(self._connections.limits.look_s)
            self._connections.sweep()


def _left_in(wrapped: asyncio.Transport) -> int:
    """Bytes that a TLS transport has not passed on; it cannot tell any more once it is aborted."""
    try:
        return wrapped.get_write_buffer_size()
    except AttributeError:
        return 0


class _Paused(asyncio.Protocol):
    """Reads nothing, until somebody else does."""

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        transport.pause_reading()
