-- Version 3. Where the weight stood, against which reference, and on which pad.

-- Mean position of the body centre with its standard uncertainty, in millimetres; NULL if not known.
ALTER TABLE measurements ADD COLUMN mean_ml_mm REAL;
ALTER TABLE measurements ADD COLUMN mean_ap_mm REAL;
ALTER TABLE measurements ADD COLUMN mean_ml_uncertainty_mm REAL;
ALTER TABLE measurements ADD COLUMN mean_ap_uncertainty_mm REAL;

-- Which pad, towels or cushions, by the clinic's own name; NULL for the bare plate, or not named.
ALTER TABLE exercise_answers ADD COLUMN pad TEXT CHECK (length(pad) BETWEEN 1 AND 100);

-- The stand that shows where the weight is, and which way the band pulls; both or neither.
ALTER TABLE exercise_answers ADD COLUMN reference TEXT;
ALTER TABLE exercise_answers ADD COLUMN pull TEXT
    CHECK ((pull IS NULL) = (reference IS NULL)
        AND (pull IS NULL OR pull IN ('left', 'right', 'forward', 'backward')));
