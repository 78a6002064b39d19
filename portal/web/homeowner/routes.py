"""Addresses, in the order people meet them."""

from __future__ import annotations

from flask import Blueprint

homeowner = Blueprint("homeowner", __name__)
