"""What was asked (job.toml) and what the studio has (shop.toml): two files in, values that are sound out."""

from __future__ import annotations

from imposer.job.job_file import job_of, load_job
from imposer.job.shop_file import load_shop

__all__ = ["job_of", "load_job", "load_shop"]
