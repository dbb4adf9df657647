"""What a survey answers: coordinates, judged readings, what nothing checks, what to read next."""
