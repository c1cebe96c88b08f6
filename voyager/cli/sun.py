"""``voyager sun``: sky and irradiation at a place on a date."""

import argparse

from voyager.cli import output
from voyager.cli.arguments import civil_date, number
from voyager.cli.progress import progress


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Position, date and the plane of the panel."""
    parser.add_argument("lat", metavar="LAT", type=number, help="latitude in degrees, south negative")
    parser.add_argument("lon", metavar="LON", type=number, help="longitude in degrees, west negative")
    parser.add_argument("date", metavar="DATE", type=civil_date, help="civil date, like 2027-03-01")
    parser.add_argument("--tilt", metavar="DEG", type=number, default=0.0, help="0 lies flat, 90 stands (default 0)")
    parser.add_argument("--azimuth", metavar="DEG", type=number, help="facing, clockwise from north (default: equator)")
    parser.add_argument("--json", action="store_true", help="the same as JSON")


def run(args: argparse.Namespace) -> int:
    """Print the day."""
    from voyager.session.place import sun

    with progress():
        result = sun(args.lat, args.lon, args.date, args.tilt, args.azimuth)
    if args.json:
        output.write_json(result)
    else:
        from voyager.report.answers import sun_text

        output.write(sun_text(result, output.width(), styled=output.styled()))
    return 0
