"""Who may speak to the server: the browser on this machine that brought the one-time token, nobody else."""

import hmac
import secrets
from dataclasses import dataclass

from aiohttp.web import BaseRequest, StreamResponse

LOOPBACK = "127.0.0.1"
TOKEN = "t"
SOCKET = "/ws"
HTTP_PORT = 80

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self' ws://{host}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}


@dataclass(frozen=True)
class Refusal:
    """Why a request is not answered."""

    status: int
    text: str


METHOD = Refusal(405, "Only reading is possible here.")
FOREIGN = Refusal(403, "This page answers only a browser on this machine, at the address that voyager serve printed.")
STRANGER = Refusal(
    403,
    "This browser is not known here. Open the address that voyager serve printed; it works once, so if it has been "
    "used already, start voyager serve again.",
)


class Guard:
    """Holds the token until it is brought, and then the secret of the one browser that brought it."""

    def __init__(self, port: int) -> None:
        bare = {LOOPBACK, "localhost"} if port == HTTP_PORT else set()
        self.hosts = {f"{LOOPBACK}:{port}", f"localhost:{port}"} | bare
        self.cookie = f"voyager_{port}"
        self._token: str | None = secrets.token_urlsafe(32)
        self._secret: str | None = None
        self.address = f"http://{LOOPBACK}:{port}/?{TOKEN}={self._token}"

    def refusal(self, request: BaseRequest) -> Refusal | None:
        """Why this request must not be answered; None where it may, or where it brings a token to be tried."""
        if request.method != "GET":
            return METHOD
        if self._foreign(request):
            return FOREIGN
        return None if self.brings_token(request) or self.knows(request) else STRANGER

    def knows(self, request: BaseRequest) -> bool:
        """Whether this is the browser that brought the token."""
        return _same(request.cookies.get(self.cookie), self._secret)

    def _foreign(self, request: BaseRequest) -> bool:
        """Another name for this machine, or another site's page behind the request; a socket must name its page."""
        hosts, origins = request.headers.getall("Host", []), request.headers.getall("Origin", [])
        if len(hosts) != 1 or hosts[0] not in self.hosts:
            return True
        if origins != [f"http://{hosts[0]}"] and (origins or request.path.startswith(SOCKET)):
            return True
        return request.headers.get("Sec-Fetch-Site", "none") not in {"none", "same-origin"}

    def brings_token(self, request: BaseRequest) -> bool:
        """Whether a token is to be tried; a page fetched ahead of its being asked for must not use it up."""
        ahead = request.headers.get("Sec-Purpose", "") + request.headers.get("Purpose", "")
        return request.path == "/" and TOKEN in request.query and "prefetch" not in ahead

    def swap(self, token: str) -> str | None:
        """The secret of the browser's cookie in exchange for the token, once; else None."""
        if not _same(token, self._token):
            return None
        self._token, self._secret = None, secrets.token_urlsafe(32)
        return self._secret

    def cover(self, request: BaseRequest, response: StreamResponse) -> None:
        """The headers under which a browser keeps every page and asset to itself."""
        host = request.headers.get("Host", "")
        own = host if host in self.hosts else LOOPBACK
        response.headers.update({"Content-Security-Policy": POLICY.format(host=own), **HEADERS})
        response.headers.popall("Server", None)


def _same(one: str | None, other: str | None) -> bool:
    if not one or not other:
        return False
    return hmac.compare_digest(one.encode(errors="surrogatepass"), other.encode(errors="surrogatepass"))
