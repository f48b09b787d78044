-- What the logs of a studio say together, worked out once a week, which may be
-- thrown away.
-- +goose Up
CREATE TABLE lore (
	studio TEXT NOT NULL PRIMARY KEY,
	as_of BIGINT NOT NULL,
	doc TEXT NOT NULL,
	FOREIGN KEY (studio) REFERENCES studios (studio) ON DELETE CASCADE
);

-- +goose Down
DROP TABLE lore;
