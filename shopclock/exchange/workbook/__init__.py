"""The record as a workbook, as CSV, as JSON and as text."""
