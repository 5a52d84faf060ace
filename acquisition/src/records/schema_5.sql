-- Version 5. A reference of where the weight stands may be stood without a band, or with one of which
-- nobody told the way it pulls.

ALTER TABLE exercise_answers ADD COLUMN reference_without_pull TEXT
    CHECK (reference_without_pull IS NULL OR reference IS NULL);
