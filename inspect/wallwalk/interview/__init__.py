"""The interview: asks the questions of a survey one by one, whatever it speaks through."""
