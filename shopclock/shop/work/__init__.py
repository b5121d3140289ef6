"""Work at the bench: start, finish, loads, pieces, order rules, amending."""
