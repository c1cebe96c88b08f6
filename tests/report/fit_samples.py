"""A hand-made ``fit`` object in the shape of FILES section 6, with the keys that go beyond it."""

from typing import Any

HEAT: dict[str, Any] = {
    "format": 1,
    "kind": "heat",
    "file": "heater-test.csv",
    "rows": 61,
    "used": 59,
    "left_out": [{"row": 17, "why": "duplicate time"}, {"row": 18, "why": "duplicate time"}],
    "model": "one time constant",
    "parameters": [
        {
            "name": "heat-loss coefficient", "key": "cabin.ua_w_per_k", "value": 62.41, "se": 1.83, "low": 58.81,
            "high": 66.02, "unit": "W/K",
        },
    ],
    "derived": [
        {"name": "steady heating for 20 °C at 7 °C outside", "value": 811.3, "se": 23.4, "unit": "W"},
        {"name": "rows an hour", "value": 60.0, "se": None, "unit": "-"},
    ],
    "residual": {"rms": 0.1234, "unit": "K"},
    "cautions": ["heater"],
    "written": None,
    "caution_texts": ["Heater test: never leave a heater running unattended."],
    "notes": ["the log is short: measure through a whole night"],
    "values": {"cabin.ua_w_per_k": 62.41},
    "plot": {
        "title": "Heater test",
        "x_label": "hours",
        "y_label": "inside, °C",
        "series": [
            {"name": "95 % band", "kind": "band", "x": [0.0, 1.0, 2.0], "y": [7.0, 13.0, 16.0], "y2": [8.0, 15.0, 18]},
            {"name": "model", "kind": "line", "x": [0.0, 1.0, 2.0], "y": [7.5, 14.0, 17.0], "y2": None},
            {"name": "thermometer", "kind": "points", "x": [0.0, 0.5, 1.0, 2.0], "y": [7, 11, 14, 17], "y2": None},
        ],
    },
}  # fmt: skip
