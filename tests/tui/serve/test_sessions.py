"""Each window has an app of its own that ends with its socket, whatever the app or the browser does."""

import asyncio
import os
import socket

import pytest

from tests.tui.serve.support import drawn, gone, last_code, lives, served
from voyager.tui.background import TOLD
from voyager.tui.parent import SERVER
from voyager.tui.web.session import worth_saying


async def test_an_app_knows_its_window() -> None:
    async with served("polite", "a b", "$HOME;`id`") as one:
        window = await one.window(look="light")
        known = await drawn(window)
        assert known["words"] == ["a b", "$HOME;`id`"], "no shell reads the words"
        assert (known["COLUMNS"], known["ROWS"], known["TERM"]) == ("90", "30", "xterm-256color")
        assert (known[SERVER], known[TOLD]) == (str(os.getpid()), "light")
        await window.send_json(["stdin", "]ü"])
        assert await drawn(window) == {"typed": "]ü"}


async def test_an_app_ends_with_its_socket() -> None:
    async with served("polite") as one:
        window = await one.window()
        pid = (await drawn(window))["pid"]
        assert lives(pid)
        await window.close()
        assert await gone(pid)
        assert not one.said


async def test_a_deaf_app_is_killed_with_all_it_started(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("voyager.tui.web.session.POLITE_S", 0.1)
    monkeypatch.setattr("voyager.tui.web.session.FIRM_S", 0.1)
    async with served("deaf") as one:
        window = await one.window()
        known = await drawn(window)
        assert lives(known["pid"])
        assert lives(known["child"])
        await window.close()
        assert await gone(known["pid"], known["child"])


async def test_a_window_that_is_lost_does_not_stop_up_an_app_that_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("voyager.tui.web.session.POLITE_S", 0.3)
    async with served("noisy") as one:
        window = await one.window()
        pid = (await drawn(window))["pid"]
        window.get_extra_info("socket").shutdown(socket.SHUT_RDWR)
        assert await gone(pid)


@pytest.mark.parametrize(("how", "code"), [("leaves", 1000), ("fails", 4001)])
async def test_the_socket_says_how_the_app_ended(how: str, code: int) -> None:
    async with served(how) as one:
        assert await last_code(await one.window()) == code
        await asyncio.sleep(0.05)
        assert one.said == ([] if how == "leaves" else ["shannon.toml:3: by: is not a date"])
        assert not one.server.sessions


BOXED = "\u256d\u2500 Fault \u2500\u256e\n\u2502 x \u2502\nAttributeError: no gutter\n\nNOTE: 1 of 2 errors shown.\n"


def test_a_fault_of_the_program_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("VOYAGER_DEBUG", raising=False)
    said = worth_saying(1, BOXED)
    assert "(AttributeError: no gutter)" in said
    assert "\n" not in said
    assert worth_saying(-9, "") == worth_saying(1, "no name for it")
    assert worth_saying(2, "a.toml:1: x\na.toml:2: y") == "a.toml:1: x\na.toml:2: y"
    monkeypatch.setenv("VOYAGER_DEBUG", "1")
    assert worth_saying(1, BOXED) == BOXED


async def test_one_window_too_many_is_refused_and_starts_nothing() -> None:
    async with served("polite", most=2, patience_s=0.05) as one:
        windows = [await one.window(), await one.window()]
        for window in windows:
            await drawn(window)
        assert await last_code(await one.window()) == 4003
        assert len(one.server.sessions) == 2


async def test_a_window_loaded_anew_waits_for_its_old_place() -> None:
    async with served("polite", most=1) as one:
        first = await one.window()
        await drawn(first)
        second = await one.window()
        await first.close()
        assert "pid" in await drawn(second)


async def test_sizes_stay_within_reason() -> None:
    async with served("polite") as one:
        known = await drawn(await one.window("?width=1e9&height=-4"))
        assert (known["COLUMNS"], known["ROWS"]) == ("80", "1")
        window = await one.window("")
        assert (await drawn(window))["COLUMNS"] == "80"
        await window.send_json(["resize", {"width": 100_000, "height": None}])
        assert await drawn(window) == {"size": [500, 80]}


@pytest.mark.parametrize(
    "nonsense", ["", "{}", "[]", '"x"', "[1]", '["stdin"]', '["stdin", 3]', '["resize", []]', '["stdin", "\\ud800"]']
)
async def test_nonsense_ends_its_own_window_only(nonsense: str) -> None:
    async with served("polite") as one:
        other, window = await one.window(), await one.window()
        pid = (await drawn(window))["pid"]
        await drawn(other)
        await window.send_str(nonsense)
        await window.send_str("{")
        await last_code(window)
        assert await gone(pid)
        await other.send_json(["stdin", "x"])
        assert await drawn(other) == {"typed": "x"}


async def test_every_app_ends_with_the_server() -> None:
    async with served("polite") as one:
        windows = [await one.window() for _ in range(3)]
        pids = [(await drawn(window))["pid"] for window in windows]
        codes = asyncio.gather(*map(last_code, windows))
        await one.runner.cleanup()
        assert await codes == [1001, 1001, 1001]
        assert not any(map(lives, pids))
