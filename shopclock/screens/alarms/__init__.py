"""What changes the whole screen: questions and what has to be known at once."""
