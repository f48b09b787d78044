-- Whether somebody saw a try, or it was filmed.
-- +goose Up
ALTER TABLE attempts ADD COLUMN witness TEXT NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE attempts DROP COLUMN witness;
