"""Pages of the shop's standing data."""

from shop.views.door import stale_page

__all__ = ["stale_page"]
