"""What was worked out is not worked out again: functions that keep their last answers, by all that they are given."""

from platemaker.remembered._answers import forget, known, remembered
from platemaker.remembered._content import content

__all__ = ["content", "forget", "known", "remembered"]
