-- Version 2. What a judgement needs to know of a trial beside its measures.

-- How the forces were computed: 'nominal' or 'fitted'; NULL for an import, or not looked at.
ALTER TABLE trials ADD COLUMN calibration TEXT CHECK (calibration IN ('nominal', 'fitted'));

-- Quality flags with spaces between, empty if there is nothing to note; NULL is "not known".
ALTER TABLE measurements ADD COLUMN flags TEXT;
