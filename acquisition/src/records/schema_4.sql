-- Version 4. In which stands the sound that guides closed eyes went away.

-- Ids of trials with spaces between; empty for none.
ALTER TABLE exercise_answers ADD COLUMN sound_lost TEXT NOT NULL DEFAULT '';
