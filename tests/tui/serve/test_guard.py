"""Nobody but the browser that brought the token is answered, and what it is given links to nothing outside."""

import asyncio
import re
from collections.abc import AsyncIterator

import pytest
from aiohttp import WSServerHandshakeError

from tests.tui.serve.support import Served, served

EVERYTHING = ["/", "/static/js/textual.js", "/page/page.js", "/ws/dark", "/nothing"]


@pytest.fixture
async def stranger() -> AsyncIterator[Served]:
    async with served("polite", signed_in=False) as one:
        yield one


@pytest.fixture
async def known() -> AsyncIterator[Served]:
    async with served("polite") as one:
        yield one


async def raw(one: Served, text: str) -> str:
    """What comes back for a request written by hand."""
    reader, writer = await asyncio.open_connection("127.0.0.1", one.server.port)
    writer.write(text.replace("\n", "\r\n").encode())
    answer = await asyncio.wait_for(reader.read(4000), 5)
    writer.close()
    return answer.decode("utf-8", "replace")


@pytest.mark.parametrize("path", EVERYTHING)
async def test_without_a_cookie_nothing_is_given(stranger: Served, path: str) -> None:
    answer = await stranger.get(path, **stranger.origin)
    assert answer.status == 403
    assert "voyager serve" in await answer.text()


async def test_a_made_up_cookie_is_refused(known: Served) -> None:
    known.secret = known.secret[:-1] + ("a" if known.secret[-1] != "a" else "b")
    assert (await known.get("/")).status == 403


async def test_a_cookie_of_any_bytes_is_refused(known: Served) -> None:
    head = f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{known.server.port}\r\nConnection: close\r\n"
    reader, writer = await asyncio.open_connection("127.0.0.1", known.server.port)
    writer.write(f"{head}Cookie: {known.server.guard.cookie}=".encode() + b"\xff\xfe\r\n\r\n")
    answer = await asyncio.wait_for(reader.read(4000), 5)
    writer.close()
    assert answer.startswith(b"HTTP/1.1 403 ")


async def test_the_token_works_once(stranger: Served) -> None:
    path = stranger.server.guard.address.removeprefix(stranger.root)
    first, second = await stranger.get(path), await stranger.get(path)
    assert (first.status, second.status) == (303, 403)
    assert "works once" in await second.text()
    assert "Set-Cookie" not in second.headers


async def test_the_browser_that_brought_it_may_bring_it_again(known: Served) -> None:
    answer = await known.get(known.server.guard.address.removeprefix(known.root))
    assert (answer.status, answer.headers["Location"]) == (303, "/")
    assert "Set-Cookie" not in answer.headers


@pytest.mark.parametrize("other", [{"Sec-Purpose": "prefetch;prerender"}, {"Purpose": "prefetch"}])
async def test_a_page_fetched_ahead_does_not_use_up_the_token(stranger: Served, other: dict[str, str]) -> None:
    path = stranger.server.guard.address.removeprefix(stranger.root)
    assert (await stranger.get(path, **other)).status == 403
    assert (await stranger.get(path)).status == 303


@pytest.mark.parametrize("token", ["", "x", "%00", "ä"])
async def test_a_wrong_token_is_refused_and_costs_nothing(stranger: Served, token: str) -> None:
    assert (await stranger.get(f"/?t={token}")).status == 403
    await stranger.sign_in()
    assert (await stranger.get("/")).status == 200


async def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(stranger: Served) -> None:
    answer = await stranger.get(stranger.server.guard.address.removeprefix(stranger.root))
    cookie = answer.cookies[stranger.server.guard.cookie]
    assert (cookie["httponly"], cookie["samesite"], cookie["path"], cookie["domain"]) == (True, "Strict", "/", "")
    assert len(cookie.value) >= 40
    assert cookie.value not in stranger.server.guard.address


@pytest.mark.parametrize("path", EVERYTHING)
@pytest.mark.parametrize("host", ["example.org", "example.org:{port}", "127.0.0.1", "127.0.0.1:1", "127.0.0.1.:{port}"])
async def test_another_name_for_this_machine_is_refused(known: Served, path: str, host: str) -> None:
    name = host.format(port=known.server.port)
    answer = await known.get(path, Host=name, Origin=f"http://{name}")
    assert answer.status == 403
    assert "example" not in await answer.text()


async def test_a_request_of_no_or_two_hosts_is_refused(known: Served) -> None:
    cookie = f"Cookie: {known.cookie['Cookie']}\n"
    assert " 200 " in await raw(known, f"GET / HTTP/1.0\nHost: 127.0.0.1:{known.server.port}\n{cookie}\n")
    assert " 403 " in await raw(known, f"GET / HTTP/1.0\n{cookie}\n")
    two = f"Host: 127.0.0.1:{known.server.port}\nHost: example.org\n"
    assert re.match("HTTP/1.[01] 40[03] ", await raw(known, f"GET / HTTP/1.0\n{two}{cookie}\n"))


@pytest.mark.parametrize(
    "origin", ["http://example.org", "null", "http://127.0.0.1:1", "https://{here}", "http://localhost:{port}"]
)
async def test_a_foreign_page_is_refused(known: Served, origin: str) -> None:
    text = origin.format(port=known.server.port, here=known.root.removeprefix("http://"))
    for path in EVERYTHING:
        assert (await known.get(path, Origin=text)).status == 403


async def test_the_socket_must_name_its_page(known: Served) -> None:
    for origin in ({}, {"Origin": "http://example.org"}):
        with pytest.raises(WSServerHandshakeError) as refused:
            await known.client.ws_connect(f"{known.root}/ws/dark", headers={**known.cookie, **origin})
        assert refused.value.status == 403
    assert not known.server.sessions


async def test_the_socket_needs_the_cookie(known: Served) -> None:
    with pytest.raises(WSServerHandshakeError) as refused:
        await known.client.ws_connect(f"{known.root}/ws/dark", headers=known.origin)
    assert refused.value.status == 403
    assert not known.server.sessions


async def test_a_request_that_is_no_socket_starts_no_app(known: Served) -> None:
    assert (await known.get("/ws/dark", **known.origin)).status == 400
    assert (await known.get("/ws/green", **known.origin)).status == 404
    assert not known.server.sessions


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
async def test_a_page_of_another_site_is_refused_even_with_the_cookie(known: Served, site: str) -> None:
    assert (await known.get("/", Sec_Fetch_Site=site)).status == 403
    assert (await known.get("/", Sec_Fetch_Site="same-origin")).status == 200


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "HEAD", "OPTIONS"])
async def test_nothing_but_reading_is_done(known: Served, method: str) -> None:
    assert (await known.get("/", method)).status == 405


@pytest.mark.parametrize(
    "path", ["/static/", "/page/", "/static/..%2fserver.py", "/page/..%2f__init__.py", "/download/x",
             "/static/" + "a" * 5000, "/page/" + "b/" * 2500, "/page/a%00b"],
)  # fmt: skip
async def test_no_list_of_files_and_none_beside_the_assets(known: Served, path: str) -> None:
    answer = await known.get(path)
    assert answer.status in {403, 404}
    assert "import" not in await answer.text()


@pytest.mark.parametrize("path", [*EVERYTHING, "/static/fonts/RobotoMono-VariableFont_wght.ttf"])
@pytest.mark.parametrize("cookie", [True, False])
async def test_every_answer_is_covered(known: Served, path: str, cookie: bool) -> None:
    known.secret = known.secret if cookie else ""
    headers = (await known.get(path, **known.origin)).headers
    policy = dict(one.strip().split(" ", 1) for one in headers["Content-Security-Policy"].split(";"))
    assert policy["default-src"] == policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert policy["script-src"] == "'self'"
    assert policy["connect-src"] == f"'self' ws://127.0.0.1:{known.server.port}"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["Cache-Control"] == "no-store"
    assert "Server" not in headers


async def test_it_listens_on_the_loopback_interface_only(known: Served) -> None:
    assert {name[0] for name in known.runner.addresses} == {"127.0.0.1"}


async def test_the_page_and_its_assets_link_to_nothing_outside(known: Served) -> None:
    """Links are followed from the page on; comments, such as a licence's, may name their source."""
    waiting, seen = ["/"], set()
    while waiting:
        path = waiting.pop()
        answer = await known.get(path)
        assert answer.status == 200, path
        seen.add(path)
        if answer.content_type == "font/ttf" or path.endswith(".ttf"):
            continue
        text = re.sub(r"/\*.*?\*/", "", await answer.text(), flags=re.DOTALL)
        assert not re.search(r"https?://|wss://", text), path
        links = re.findall(r"""(?:src|href)=["']([^"'#]+)|url\(["']?([^"')]+)|@import\s+["']([^"']+)""", text)
        if not path.endswith(".js"):
            assert all(
                link.startswith(("/", "data:")) and not link.startswith("//") for some in links for link in some if link
            )
            waiting += {link for some in links for link in some if link.startswith("/")} - seen - set(waiting)
    assert {"/static/js/textual.js", "/static/css/xterm.css", "/page/page.css", "/page/page.js"} < seen
    assert any(path.endswith(".ttf") for path in seen)
