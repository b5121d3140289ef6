"""Files out and in, by one press: spreadsheet, paper, pictures, calendar, copies."""
