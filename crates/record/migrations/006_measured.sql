-- What a film measured of a shot, each value with its error, as JSON. The sums of facts are made anew with it (src/seal.rs).

DROP TRIGGER fact_stays;
ALTER TABLE fact ADD COLUMN measured TEXT;
