"""Addresses, in the order people meet them."""

from __future__ import annotations

from flask import Blueprint

office = Blueprint("office", __name__)
