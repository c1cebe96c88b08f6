"""The table in focus, copied for a spreadsheet or written to a file."""

from functools import partial
from typing import TYPE_CHECKING

from textual.dom import DOMNode

from voyager.errors import NotSaved
from voyager.tui.actions import key_of
from voyager.tui.saving import OTHER, OVER, STAY
from voyager.tui.starting import StartingApp

if TYPE_CHECKING:
    from voyager.session.tables_out import Table

CLIPBOARD = "Some terminals refuse the clipboard; {} writes a file."


class TablesApp(StartingApp, inherit_bindings=False):
    """Whatever holds the cursor says which table it is: legs, days, hours, places, odds, values, log, actual days."""

    def _table(self) -> "Table":
        """The table in focus."""
        from voyager.tui import copying
        from voyager.tui.widgets.days import DayList

        pane = self.first.panes.get(self.first.opened or "")
        name = self.first.opened if pane is not None and pane in way_up(self.first.focused) else None
        if pane is not None and name == "hours":
            return copying.hours(self.desk, pane.row())
        if pane is not None and name == "actual":
            return copying.actual(self.desk, pane.result)
        if pane is not None and name == "log":
            return copying.log(self.desk, pane.rows)
        if pane is not None and name == "values":
            return copying.values(self.desk, pane.form.rows)
        of = {"places": copying.places, "sure": copying.odds, "morning": copying.days, "evening": copying.days}
        days = name is None and isinstance(self.first.focused, DayList)
        return of.get(name or "", copying.days if days else copying.legs)(self.desk)

    def action_copy(self) -> None:
        """Copy the table in focus, tab-separated."""
        from voyager.report.words import counted
        from voyager.session.tables_out import tabbed

        table = self._table()
        if not table.rows:
            self.tell(f"There are no {table.name} to copy yet")
            return
        self.copy_to_clipboard(tabbed(table))
        rows = counted(len(table.rows), "row", "rows")
        self.tell(f"Copied: {table.name}, {rows}. {CLIPBOARD.format(key_of('copy-file'))}")

    async def action_copy_file(self) -> None:
        """Write the table in focus to a file."""
        table = self._table()
        if table.rows:
            await self._write_table(table)
        else:
            self.tell(f"There are no {table.name} to write yet")

    async def _write_table(self, table: "Table") -> None:
        from voyager.session.recent import folder_of, proposed
        from voyager.tui.screens.files import WriteScreen

        base = folder_of(self.desk.path, to_write=True)
        name = proposed(self.desk.path, ".csv", f"-{table.name}")
        screen = WriteScreen(f"Write the {table.name} as CSV", base, name, ".csv")
        await self.push_screen(screen, lambda path: self._put_table(table, path) if path else None)

    def _put_table(self, table: "Table", path: str, force: bool = False) -> None:
        self.run_worker(partial(self._write, table, path, force), thread=True, group="tables", exit_on_error=False)

    def _write(self, table: "Table", path: str, force: bool) -> None:
        from voyager.session.tables_out import write_table

        try:
            write_table(path, table, force)
        except NotSaved as error:
            self.call_later(self._not_written, error, table, path)
        else:
            self.call_from_thread(self.tell, f"Written: {path}")

    async def _not_written(self, error: NotSaved, table: "Table", path: str) -> None:
        from voyager.tui.screens.ask import AskScreen

        over = [(OVER, "what stands there is lost")] if error.kind == "exists" else []
        options = [*over, (OTHER, ""), (STAY, "nothing is written")]

        async def taken(choice: str | None) -> None:
            if choice == OVER:
                self._put_table(table, path, force=True)
            elif choice == OTHER:
                await self._write_table(table)

        await self.push_screen(AskScreen("Not written", [("alarm", f"✗ {error}")], options), taken)


def way_up(node: DOMNode | None) -> tuple[DOMNode, ...]:
    """A widget and all that it lies in, the nearest first."""
    return () if node is None else tuple(one for one in node.ancestors_with_self)
