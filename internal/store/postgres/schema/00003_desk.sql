-- The desk: what was decided about notices, and what was worked out of each
-- student, which may be thrown away.
-- +goose Up
CREATE TABLE decisions (
	studio TEXT NOT NULL, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	student TEXT NOT NULL,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

CREATE TABLE looks (
	studio TEXT NOT NULL, student TEXT NOT NULL,
	as_of BIGINT NOT NULL,
	seen BIGINT NOT NULL,
	doc TEXT NOT NULL,
	PRIMARY KEY (studio, student),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

-- +goose Down
DROP TABLE looks;
DROP TABLE decisions;
