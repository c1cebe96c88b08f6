"""What the sky gives to panels and glass: Sky × arrays × headings. The room's public names on solar power."""

from voyager.energy.members import MemberTable, clearness_segments, look_up, member_table
from voyager.energy.mount import Mount
from voyager.energy.tables import PanelTable, glass_w_m2, panel_table

__all__ = [
    "MemberTable",
    "Mount",
    "PanelTable",
    "clearness_segments",
    "glass_w_m2",
    "look_up",
    "member_table",
    "panel_table",
]
