"""What the page of fits asks for and what comes of it: fits, changes of the boat, pictures, the search."""

from collections.abc import Mapping
from dataclasses import replace
from time import monotonic
from typing import Any

from textual.containers import Container

from voyager.session.sketch.remarks import fitted
from voyager.tui import fits_rows
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk
from voyager.tui.fits_rows import NEXT, Page
from voyager.tui.messages import Asked, Edited, Left, Told

NAME = "fits"
FIT, OFFER, PICTURE, SEARCH = (f"{NAME}:{what}" for what in ("fit:", "offer", "picture", "next"))
ROOM = "voyager.session.fit_sketch"
WORTH = "voyager.session.worth:worth"
SLOW_S, TURN_S = 0.5, 0.25
OVER, OTHER, STAY = "write over", "another name", "go on"
NOT_YET = "The fit is still being made; then it can be put into the boat"
LOST = f"the planner's process ended before the fit was made; {key_of('fits-again')} fits again"
NONE_YET = "There is no fit yet: choose a CSV of measurements"


class AskedFits(Container):
    """The state of the page; all that is computed is asked for beside the plan. What is drawn is in the class above."""

    def __init__(self) -> None:
        super().__init__(id=NAME)
        self.desk: Desk | None = None
        self.state = Page()
        self.busy: dict[str, tuple[str, float]] = {}
        self.offer_boat: Mapping[str, Any] = {}
        self.reason = ""
        self.turns = 0

    def on_mount(self) -> None:
        self.clock = self.set_interval(TURN_S, self._turn, pause=True)

    def fill(self) -> None:
        """Draw all anew."""

    def go_to(self, found: bool) -> None:
        """Scroll to what was ``found``, else to the top."""

    def tell(self, reason: str) -> None:
        """The reason why something can't be, at the foot."""

    # asking

    def _ask(self, name: str, text: str, function: str, *arguments: Any, watch: bool = False) -> None:
        self.busy[name] = (text, monotonic())
        self.clock.resume()
        self.post_message(Asked(name, function, *arguments, watch=watch))

    def waits(self, name: str) -> str:
        """What is being computed for longer than a moment; empty for nothing."""
        text, since = self.busy.get(name, ("", 0.0))
        return text if text and monotonic() - since >= SLOW_S else ""

    def _turn(self) -> None:
        if not self.busy:
            self.clock.pause()
        elif any(map(self.waits, self.busy)):
            self.turns += 1
            self.fill()

    def ask_fit(self) -> None:
        """Fit the file of the kind that is shown, with its options."""
        desk, here = self.desk, self.state.here
        if self.state.kind == NEXT:
            self.search()
        elif desk is None or not here.file:
            self.tell(NONE_YET)
        else:
            self.busy.pop(OFFER, None)
            self.state = replace(self.state, offer=None)
            given = self.state.kind, here.file, dict(here.options), desk.path, desk.sketch.documents()
            self._ask(self.fitting, "fitting …", f"{ROOM}:fit_here", *given)

    @property
    def fitting(self) -> str:
        """The question for the fit of the kind that is shown: each kind's newest is answered."""
        return f"{FIT}{self.state.kind}"

    def ask_offer(self) -> None:
        """Ask what the fit would change in the boat."""
        desk, result = self.desk, self.state.here.result
        if desk is None or desk.opened is None or result is None or self.fitting in self.busy:
            self.tell(NOT_YET if self.fitting in self.busy else NONE_YET)
            return
        self.offer_boat = desk.sketch.boat
        boat = str(desk.stamp.get("boat_path") or desk.opened["files"]["boat"] or "boat.toml")
        today = self.app.today().isoformat()  # type: ignore[attr-defined]
        self._ask(
            OFFER, "comparing with the boat file …", f"{ROOM}:offered", result, boat, dict(self.offer_boat), today
        )

    def take(self) -> None:
        """Put what was shown into the boat: an edit like any other."""
        offer, desk = self.state.offer, self.desk
        self.state = replace(self.state, offer=None)
        if offer is None or desk is None or not offer["difference"]:
            self.fill()
            return
        try:
            made = fitted(desk.sketch, offer["puts"], offer["remarks"])
        except ValueError as error:
            self.tell(str(error))
        else:
            self.post_message(Edited(made, f"fit {self.state.kind}"))
            self.post_message(Told(f"Put into the boat; {key_of('save')} saves it, {key_of('undo')} takes it back"))
        self.fill()

    def leave(self) -> bool:
        """Leave the boat as it is; False where nothing was offered."""
        offered, self.state = self.state.offer is not None, replace(self.state, offer=None)
        if offered:
            self.fill()
        return offered

    async def ask_picture(self, name: str = "") -> None:
        """Ask for a name, then for the picture."""
        from voyager.session.recent import folder_of, proposed
        from voyager.tui.screens.files import WriteScreen

        desk, kind = self.desk, self.state.kind
        if desk is None or self.state.here.result is None:
            self.tell(NONE_YET)
            return
        base = folder_of(desk.path, to_write=True)
        name = name or proposed(desk.path, ".svg", f"-{kind}")
        screen = WriteScreen("Write the plot as a picture", base, name, ".svg", "SVG, or PNG by its ending")
        await self.app.push_screen(screen, lambda path: self._draw(path) if path else None)

    def _draw(self, path: str, force: bool = False) -> None:
        self._ask(PICTURE, "drawing …", f"{ROOM}:draw", self.state.here.result, path, force)

    def search(self) -> None:
        """Look for the measurement worth making next."""
        desk = self.desk
        if desk is None or desk.opened is None or self.state.share is not None:
            return
        self.state = replace(self.state.put(NEXT, reason=""), share=(0.0, "reading"), worth_of=desk.sketch)
        self._ask(SEARCH, "following the voyage", WORTH, desk.path, desk.sketch.documents(), watch=True)
        self.fill()

    def stop(self) -> bool:
        """Give the search up; False where none is under way."""
        running = self.state.share is not None
        if running:
            self.busy.pop(SEARCH, None)
            self.state = replace(self.state, share=None, worth=None)
            self.post_message(Left(SEARCH))
            self.fill()
        return running

    # answers

    def answer(self, name: str, body: Any) -> None:
        """What was asked for; of another voyage it is no longer."""
        if self.busy.pop(name, None) is None:
            return
        if name.startswith(FIT):
            self.state = self.state.put(body["kind"], result=body, reason="")
            self.go_to(found=body["kind"] == self.state.kind)
        elif name == OFFER:
            self._take_offer(body)
        elif name == SEARCH:
            self.state = replace(self.state, worth=body, share=None)
            self.go_to(found=self.state.kind == NEXT)
        elif name == PICTURE and "exists" in body:
            self.call_later(self._over, body["exists"])
        else:
            self.post_message(Told(f"Written: {body['written']}"))
        self.fill()

    def _take_offer(self, body: Any) -> None:
        if self.desk is not None and self.desk.sketch.boat == self.offer_boat:
            self.state = replace(self.state, offer=body)
            self.go_to(found=False)
        else:
            self.ask_offer()

    def refused(self, name: str, why: str) -> None:
        """Why there is none: in place, nothing else is changed."""
        if self.busy.pop(name, None) is None:
            return
        if name.startswith(FIT):
            kind = name.removeprefix(FIT)
            self.state = self.state.put(kind, result=None, reason=fits_rows.in_words(kind, why))
        elif name == SEARCH:
            self.state = replace(self.state.put(NEXT, reason=why), share=None)
        else:
            self.reason = why
        self.fill()

    def lost(self) -> None:
        """What would have answered is gone; a fit that stood there does not answer what was asked."""
        for name in self.busy:
            if name.startswith(FIT):
                self.state = self.state.put(name.removeprefix(FIT), result=None, reason=LOST)
        self.busy.clear()
        self.state = replace(self.state, share=None)
        self.fill()

    def progress(self, name: str, share: float, text: str) -> None:
        """How far the search is."""
        if name == SEARCH and self.state.share is not None:
            self.state = replace(self.state, share=(share, text))
            self.fill()

    async def _over(self, path: str) -> None:
        from voyager.tui.screens.ask import AskScreen

        options = [(OVER, "what stands there is lost"), (OTHER, ""), (STAY, "nothing is written")]

        async def taken(choice: str | None) -> None:
            if choice == OVER:
                self._draw(path, force=True)
            elif choice == OTHER:
                await self.ask_picture(path)

        await self.app.push_screen(AskScreen("Not written", [("alarm", f"✗ {path} is there already")], options), taken)
