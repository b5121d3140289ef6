"""Alarms: questions and news that change the whole screen."""
