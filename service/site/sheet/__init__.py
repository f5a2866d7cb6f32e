"""Installation sheets: what the crew does at the hole, as data, as a page and as a drawing."""

from service.site.sheet.content import Sheet, as_json
from service.site.sheet.make import Job, Made, make, not_verified
from service.site.sheet.source import NoSheet

__all__ = ["Job", "Made", "NoSheet", "Sheet", "as_json", "make", "not_verified"]
