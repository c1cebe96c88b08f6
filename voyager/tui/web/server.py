"""The server on this machine: the guard in front, a page, its assets, and a socket for each window."""

import asyncio
import html
from collections.abc import Awaitable, Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from string import Template

from aiohttp import web
from textual_serve.server import Server

from voyager.tui.web.guard import LOOPBACK, SOCKET, TOKEN, Guard, Refusal
from voyager.tui.web.session import FAILED, FIRM_S, Session, side

HERE = Path(__file__).parent
ASSETS = ("/static", "/page")
NOTHING = "There is nothing of that name here."
WINDOWS_MOST = 3
PATIENCE_S = 3.0
FULL, GOING = 4003, 1001
LARGEST_MESSAGE = 2_000_000
HEARTBEAT_S = 15.0
BAD_TALK = (AssertionError, AttributeError, IndexError, KeyError, TypeError, ValueError)

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


class ScreenServer(Server):
    """Serves ``command``, an app of Textual, to the one browser that brings the token.

    ``said`` hears the last words of an app that failed. A window beyond ``most`` waits ``patience_s`` for one to close
    (a page that is loaded anew closes its old socket late) and is refused then.
    """

    def __init__(
        self,
        command: Sequence[str],
        port: int,
        said: Callable[[str], None],
        most: int = WINDOWS_MOST,
        patience_s: float = PATIENCE_S,
    ) -> None:
        super().__init__(command[0], host=LOOPBACK, port=port)
        self.words, self.said, self.patience_s = command, said, patience_s
        self.guard = Guard(port)
        self.sessions: set[Session] = set()
        self.places = asyncio.Semaphore(most)

    async def _make_app(self) -> web.Application:
        app = web.Application(middlewares=[self._guarded])
        app.add_routes([
            web.get("/", self.handle_index, allow_head=False),
            web.get(SOCKET + "/{look:dark|light}", self.handle_websocket, allow_head=False),
            web.static(ASSETS[0], self.statics_path),
            web.static(ASSETS[1], HERE / "assets"),
        ])  # fmt: skip
        app.on_response_prepare.append(self._covered)
        app.on_shutdown.append(self.on_shutdown)
        return app

    @web.middleware
    async def _guarded(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        refusal = self.guard.refusal(request)
        if refusal is not None:
            return _page(refusal)
        try:
            return await handler(request)
        except web.HTTPException as error:
            return _page(Refusal(error.status, NOTHING))
        except OSError:  # a name longer than the file system takes
            if not request.path.startswith(ASSETS):
                raise
            return _page(Refusal(404, NOTHING))

    async def _covered(self, request: web.Request, response: web.StreamResponse) -> None:
        self.guard.cover(request, response)

    async def handle_index(self, request: web.Request) -> web.StreamResponse:
        """The page, or a cookie for the token and the way to the page."""
        if not self.guard.brings_token(request):
            return web.Response(text=(HERE / "pages" / "screens.html").read_text("utf-8"), content_type="text/html")
        response = web.Response(status=303, headers={"Location": "/"})
        if self.guard.knows(request):
            return response
        secret = self.guard.swap(request.query[TOKEN])
        if secret is None:
            return _page(Refusal(403, USED))
        response.set_cookie(self.guard.cookie, secret, httponly=True, samesite="Strict", path="/")
        return response

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        """One window: an app is started for it and ends with it."""
        websocket = web.WebSocketResponse(heartbeat=HEARTBEAT_S, timeout=FIRM_S, max_msg_size=LARGEST_MESSAGE)
        if not websocket.can_prepare(request):
            raise web.HTTPBadRequest
        await websocket.prepare(request)
        try:
            await asyncio.wait_for(self.places.acquire(), self.patience_s)
        except TimeoutError:
            await websocket.close(code=FULL)
            return websocket
        try:
            await self._run(websocket, Session(self.words, request.match_info["look"], websocket), request.query)
        finally:
            self.places.release()
        return websocket

    async def _run(self, websocket: web.WebSocketResponse, session: Session, asked: Mapping[str, str]) -> None:
        self.sessions.add(session)
        try:
            await session.start(side(asked.get("width")), side(asked.get("height")))
            with suppress(*BAD_TALK):
                await self._process_messages(websocket, session)
        finally:
            await asyncio.shield(session.stop())
            self.sessions.discard(session)
            await websocket.close(code=FAILED)
        if session.last_words:
            self.said(session.last_words)

    async def on_shutdown(self, app: web.Application) -> None:
        """End every app at once; each closes its socket as it goes."""
        for session in self.sessions:
            session.code = GOING
        await asyncio.gather(*(session.stop() for session in self.sessions), return_exceptions=True)


USED = (
    "This address has been used already, or was not copied whole: it works once. If the window it opened is lost, "
    "start voyager serve again."
)


def _page(refusal: Refusal) -> web.Response:
    """A page with one sentence."""
    text = Template((HERE / "pages" / "refused.html").read_text("utf-8")).substitute(text=html.escape(refusal.text))
    return web.Response(status=refusal.status, text=text, content_type="text/html")
