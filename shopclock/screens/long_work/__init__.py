"""Long work beside the window: in a process of its own, with a bar and Cancel."""
