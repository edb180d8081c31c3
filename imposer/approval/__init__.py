"""Approval: somebody has seen the proof and said yes to exactly these pages and settings.

`digests` says what a job prints in short; `record` keeps what was approved beside the job; `changes` tells what has
become another since.
"""

from __future__ import annotations
