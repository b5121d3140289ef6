"""The shop's own lists: patterns and their routes, stages, methods, tools, week, costs."""
