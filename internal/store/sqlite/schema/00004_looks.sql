-- What was worked out of each student, in brief beside the whole: the desk reads
-- the brief of everybody. Looks are thrown away here, and worked out again.
-- +goose Up
DELETE FROM looks;
ALTER TABLE looks ADD COLUMN brief TEXT NOT NULL DEFAULT '{}';

-- +goose Down
ALTER TABLE looks DROP COLUMN brief;
