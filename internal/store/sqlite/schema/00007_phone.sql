-- The student's phone: what it tells beside tries and sessions, and the ledger
-- of its entries, so that each arrives once.
-- +goose Up
ALTER TABLE attempts ADD COLUMN item TEXT NOT NULL DEFAULT '';
ALTER TABLE tallies ADD COLUMN item TEXT NOT NULL DEFAULT '';
ALTER TABLE sessions ADD COLUMN version BIGINT NOT NULL DEFAULT 0;
ALTER TABLE sessions ADD COLUMN day SMALLINT;
ALTER TABLE sessions ADD COLUMN form TEXT NOT NULL DEFAULT '';
ALTER TABLE sessions ADD COLUMN numb SMALLINT;
ALTER TABLE sessions ADD COLUMN swollen SMALLINT;

CREATE TABLE set_words (
	studio TEXT NOT NULL, student TEXT NOT NULL, n BIGINT NOT NULL, id TEXT NOT NULL,
	at_ns BIGINT NOT NULL, at_off SMALLINT NOT NULL,
	session TEXT NOT NULL,
	drill TEXT NOT NULL,
	set_no BIGINT NOT NULL,
	keep TEXT NOT NULL,
	try_next TEXT NOT NULL,
	PRIMARY KEY (studio, student, n),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
) WITHOUT ROWID;

CREATE UNIQUE INDEX set_words_id ON set_words (studio, id);

CREATE TABLE detours (
	studio TEXT NOT NULL, student TEXT NOT NULL, n BIGINT NOT NULL, id TEXT NOT NULL,
	at_ns BIGINT NOT NULL, at_off SMALLINT NOT NULL,
	week TEXT NOT NULL,
	version BIGINT NOT NULL,
	day SMALLINT NOT NULL,
	session_no SMALLINT NOT NULL,
	what TEXT NOT NULL,
	to_day SMALLINT,
	drill TEXT NOT NULL,
	for_drill TEXT NOT NULL,
	reason TEXT NOT NULL,
	PRIMARY KEY (studio, student, n),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
) WITHOUT ROWID;

CREATE UNIQUE INDEX detours_id ON detours (studio, id);

CREATE TABLE receipts (
	studio TEXT NOT NULL, id TEXT NOT NULL, student TEXT NOT NULL,
	phone TEXT NOT NULL,
	kind TEXT NOT NULL,
	n BIGINT NOT NULL,
	gone SMALLINT NOT NULL,
	at_ns BIGINT NOT NULL, at_off SMALLINT NOT NULL,
	shift_s BIGINT NOT NULL,
	alarms SMALLINT NOT NULL,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio, student) REFERENCES students (studio, id) ON DELETE CASCADE
) WITHOUT ROWID;

CREATE INDEX receipts_of ON receipts (studio, student);

-- +goose Down
DROP TABLE receipts;
DROP TABLE detours;
DROP TABLE set_words;
ALTER TABLE sessions DROP COLUMN swollen;
ALTER TABLE sessions DROP COLUMN numb;
ALTER TABLE sessions DROP COLUMN form;
ALTER TABLE sessions DROP COLUMN day;
ALTER TABLE sessions DROP COLUMN version;
ALTER TABLE tallies DROP COLUMN item;
ALTER TABLE attempts DROP COLUMN item;
