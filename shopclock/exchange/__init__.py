"""In and out: spreadsheet, old notes, calendar, paper."""
