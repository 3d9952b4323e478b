"""Scenarios play on the demo company of the page tests, or on branches they make themselves."""

from tests.planner.web.conftest import branch, company_rows, other_branch, sign_in

__all__ = ["branch", "company_rows", "other_branch", "sign_in"]
