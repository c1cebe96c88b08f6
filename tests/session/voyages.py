"""Small boat and voyage files for plans, written into a directory of their own; illustrative, not for navigation."""

from collections.abc import Mapping
from pathlib import Path

BOAT = """name = "Wherry"
[hull]
coefficient_w_per_mps3 = 95
waterline_m = 12
underway_extra_w = 30
[[array]]
name = "roof"
panel_wp = 400
panels = {panels}
[battery]
capacity_kwh = {capacity_kwh}
[inverter]
max_w = 2500
[[heater]]
name = "panel"
max_w = 700
[comfort.ample]
hours_c = {{ "06:30-22:30" = 20 }}
otherwise_c = 12
[comfort.plain]
hours_c = {{ "06:30-08:30" = 14, "18:00-22:00" = 15 }}
"""
VOYAGE = """boat = "boat.toml"
departs = {departs}
comfort = "{comfort}"
shore_power = "{shore_power}"
charge_at_start_percent = {charge}
travel = ["10:00", "13:00"]
time_zone = "Europe/Dublin"
mooring_every_km = 3
{top}
place = [
  {{ name = "Ashby", at = [53.0, -8.0] }},
  {{ name = "Beck", at = [53.1, -8.0]{plug} }},
  {{ name = "Croft", at = [53.25, -8.0] }},
]
[[leg]]
from = "Ashby"
to = "Beck"
distance_km = 12
locks = 2
[[leg]]
from = "Beck"
to = "Croft"
distance_km = 18
{leg}
"""
USUAL = {
    "panels": 8, "capacity_kwh": 20, "departs": "2027-03-01", "comfort": "plain", "shore_power": "last", "charge": 80,
    "top": "", "plug": ", shore_kw = 3", "leg": "",
}  # fmt: skip


def write(directory: Path, **keys: object) -> str:
    """Both files in ``directory``; the path of the voyage."""
    values: Mapping[str, object] = USUAL | keys
    (directory / "boat.toml").write_text(BOAT.format(**values), "utf-8")
    (directory / "voyage.toml").write_text(VOYAGE.format(**values), "utf-8")
    return str(directory / "voyage.toml")
