"""The only translation of rows into what the models take."""

from app.queries.evidence.births import BirthCase, birth_cases
from app.queries.evidence.growth import GrowthCase, growth_cases

__all__ = ["BirthCase", "GrowthCase", "birth_cases", "growth_cases"]
