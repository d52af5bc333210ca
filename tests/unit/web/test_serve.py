"""Small messages go out at once: on what is accepted the operating system does not wait to fill a packet (RFC 1122,
4.2.3.4, asks that this can be turned off)."""

import asyncio
import socket

from wardwright.web.serve import listen


def test_what_is_accepted_sends_at_once() -> None:
    listening = listen("127.0.0.1", 0)
    told: list[int] = []

    async def accepted(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        told.append(writer.get_extra_info("socket").getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
        writer.close()

    async def talk() -> None:
        server = await asyncio.start_server(accepted, sock=listening)
        reader, writer = await asyncio.open_connection(*listening.getsockname())
        await reader.read()
        writer.close()
        server.close()
        await server.wait_closed()

    asyncio.run(talk())
    assert told == [1]
