"""The civil time zone of a position."""


def time_zone_at(lat: float, lon: float) -> str:
    """Name in the tz database of the zone at ``lat``, ``lon`` [deg], ``Etc/GMT-n`` at sea (tzfpy's map)."""
    from tzfpy import get_tz

    wrapped = (lon + 180.0) % 360.0 - 180.0
    return get_tz(wrapped, lat) or nautical_zone(wrapped)


def nautical_zone(lon: float) -> str:
    """The zone kept at sea: the whole hour nearest the mean sun; the names count west of Greenwich as plus."""
    hours = round(lon / 15.0)
    return f"Etc/GMT{-hours:+d}" if hours else "Etc/GMT"
