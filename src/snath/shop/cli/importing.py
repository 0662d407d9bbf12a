"""`snath import`: an export becomes a shop again, by the same road as a backup."""

from snath.shop.cli.restore import restore as import_

__all__ = ["import_"]
