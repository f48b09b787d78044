-- What a studio knows: objects as one JSON text each, the log in columns.
-- +goose Up
CREATE TABLE studios (
	studio TEXT NOT NULL UNIQUE, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	PRIMARY KEY (studio, id)
);

CREATE TABLE people (
	studio TEXT NOT NULL, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	email TEXT NOT NULL,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio) REFERENCES studios (studio)
);

CREATE UNIQUE INDEX people_email ON people (studio, email) WHERE email <> '';

CREATE TABLE guardians (
	studio TEXT NOT NULL, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio) REFERENCES studios (studio)
);

CREATE TABLE covers (
	studio TEXT NOT NULL, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio) REFERENCES studios (studio)
);

CREATE TABLE students (
	studio TEXT NOT NULL, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	sealed TEXT NOT NULL DEFAULT '',
	arrived BIGINT NOT NULL DEFAULT 0,
	erase_key TEXT NOT NULL DEFAULT '',
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio) REFERENCES studios (studio)
);

CREATE UNIQUE INDEX students_erase ON students (erase_key) WHERE erase_key <> '';

CREATE TABLE drills (
	studio TEXT NOT NULL, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio) REFERENCES studios (studio)
);

CREATE TABLE wishes (
	studio TEXT NOT NULL, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	student TEXT,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

CREATE INDEX wishes_of ON wishes (studio, student);

CREATE TABLE weeks (
	studio TEXT NOT NULL, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	student TEXT NOT NULL,
	monday BIGINT NOT NULL,
	version BIGINT NOT NULL,
	status TEXT NOT NULL,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

CREATE UNIQUE INDEX weeks_of ON weeks (studio, student, monday, version);

CREATE INDEX weeks_monday ON weeks (studio, monday);

CREATE TABLE notes (
	studio TEXT NOT NULL, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	student TEXT NOT NULL,
	at_ns BIGINT NOT NULL,
	sealed TEXT NOT NULL DEFAULT '',
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

CREATE INDEX notes_of ON notes (studio, student);

CREATE TABLE consents (
	studio TEXT NOT NULL, id TEXT NOT NULL, n BIGINT NOT NULL, doc TEXT NOT NULL, rev BIGINT NOT NULL,
	student TEXT NOT NULL,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

CREATE INDEX consents_of ON consents (studio, student);

CREATE TABLE attempts (
	studio TEXT NOT NULL, student TEXT NOT NULL, n BIGINT NOT NULL, id TEXT NOT NULL,
	at_ns BIGINT NOT NULL, at_off SMALLINT NOT NULL,
	session TEXT NOT NULL,
	drill TEXT NOT NULL,
	set_no BIGINT NOT NULL,
	rep BIGINT NOT NULL,
	entry TEXT NOT NULL,
	support TEXT NOT NULL,
	surface TEXT NOT NULL,
	place TEXT NOT NULL,
	passed SMALLINT,
	seconds DOUBLE PRECISION,
	timed TEXT NOT NULL,
	ended TEXT NOT NULL,
	cold SMALLINT,
	note TEXT NOT NULL,
	PRIMARY KEY (studio, student, n),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

CREATE UNIQUE INDEX attempts_id ON attempts (studio, id);

CREATE TABLE tallies (
	studio TEXT NOT NULL, student TEXT NOT NULL, n BIGINT NOT NULL, id TEXT NOT NULL,
	at_ns BIGINT NOT NULL, at_off SMALLINT NOT NULL,
	session TEXT NOT NULL,
	drill TEXT NOT NULL,
	set_no BIGINT NOT NULL,
	entry TEXT NOT NULL,
	support TEXT NOT NULL,
	surface TEXT NOT NULL,
	place TEXT NOT NULL,
	tries BIGINT NOT NULL,
	caught BIGINT,
	best DOUBLE PRECISION,
	second_best DOUBLE PRECISION,
	timed TEXT NOT NULL,
	note TEXT NOT NULL,
	PRIMARY KEY (studio, student, n),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

CREATE UNIQUE INDEX tallies_id ON tallies (studio, id);

CREATE TABLE sessions (
	studio TEXT NOT NULL, student TEXT NOT NULL, n BIGINT NOT NULL, id TEXT NOT NULL,
	at_ns BIGINT NOT NULL, at_off SMALLINT NOT NULL,
	week TEXT NOT NULL,
	minutes DOUBLE PRECISION,
	effort DOUBLE PRECISION,
	pain_before DOUBLE PRECISION,
	pain DOUBLE PRECISION,
	pain_morning DOUBLE PRECISION,
	note TEXT NOT NULL,
	sealed TEXT NOT NULL DEFAULT '',
	PRIMARY KEY (studio, student, n),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

CREATE UNIQUE INDEX sessions_id ON sessions (studio, id);

CREATE TABLE probes (
	studio TEXT NOT NULL, student TEXT NOT NULL, n BIGINT NOT NULL, id TEXT NOT NULL,
	at_ns BIGINT NOT NULL, at_off SMALLINT NOT NULL,
	component TEXT NOT NULL,
	test TEXT NOT NULL,
	value DOUBLE PRECISION NOT NULL,
	unit TEXT NOT NULL,
	by_id TEXT NOT NULL,
	PRIMARY KEY (studio, student, n),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

CREATE UNIQUE INDEX probes_id ON probes (studio, id);

CREATE TABLE marks (
	studio TEXT NOT NULL, student TEXT NOT NULL, n BIGINT NOT NULL, id TEXT NOT NULL,
	at_ns BIGINT NOT NULL, at_off SMALLINT NOT NULL,
	drill TEXT NOT NULL,
	mark TEXT NOT NULL,
	cue TEXT NOT NULL,
	PRIMARY KEY (studio, student, n),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
);

CREATE UNIQUE INDEX marks_id ON marks (studio, id);

CREATE TABLE changes (
	seq BIGINT GENERATED BY DEFAULT AS IDENTITY PRIMARY KEY,
	studio TEXT NOT NULL, id TEXT NOT NULL, at_ns BIGINT NOT NULL, at_off SMALLINT NOT NULL,
	by_id TEXT NOT NULL,
	role TEXT NOT NULL,
	act TEXT NOT NULL,
	noun TEXT NOT NULL,
	student TEXT NOT NULL,
	thing TEXT NOT NULL,
	row_count BIGINT NOT NULL,
	was TEXT NOT NULL,
	became TEXT NOT NULL,
	sealed TEXT NOT NULL DEFAULT '',
	FOREIGN KEY (studio) REFERENCES studios (studio)
);

CREATE UNIQUE INDEX changes_id ON changes (studio, id);

CREATE INDEX changes_of ON changes (studio, student, seq);

-- +goose Down
DROP TABLE changes;
DROP TABLE marks;
DROP TABLE probes;
DROP TABLE sessions;
DROP TABLE tallies;
DROP TABLE attempts;
DROP TABLE consents;
DROP TABLE notes;
DROP TABLE weeks;
DROP TABLE wishes;
DROP TABLE drills;
DROP TABLE students;
DROP TABLE covers;
DROP TABLE guardians;
DROP TABLE people;
DROP TABLE studios;
