-- What opens a studio: passwords, passkeys, links, and who is signed in.
-- +goose Up
CREATE TABLE passwords (
	studio TEXT NOT NULL, person TEXT NOT NULL,
	hash TEXT NOT NULL,
	since_ns BIGINT NOT NULL, since_off SMALLINT NOT NULL,
	PRIMARY KEY (studio, person),
	FOREIGN KEY (studio, person) REFERENCES people (studio, id) ON DELETE CASCADE
);

CREATE TABLE passkeys (
	studio TEXT NOT NULL, id TEXT NOT NULL,
	person TEXT NOT NULL,
	name TEXT NOT NULL,
	record TEXT NOT NULL,
	since_ns BIGINT NOT NULL, since_off SMALLINT NOT NULL,
	used_ns BIGINT, used_off SMALLINT,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio, person) REFERENCES people (studio, id) ON DELETE CASCADE
);

CREATE INDEX passkeys_of ON passkeys (studio, person);

CREATE TABLE doors (
	studio TEXT NOT NULL, hash TEXT NOT NULL,
	opens TEXT NOT NULL,
	of_id TEXT NOT NULL,
	made_ns BIGINT NOT NULL, made_off SMALLINT NOT NULL,
	made_by TEXT NOT NULL,
	expires_ns BIGINT, expires_off SMALLINT,
	used_ns BIGINT, used_off SMALLINT,
	PRIMARY KEY (studio, hash),
	FOREIGN KEY (studio) REFERENCES studios (studio)
);

CREATE INDEX doors_of ON doors (studio, opens, of_id);

CREATE TABLE sign_ins (
	studio TEXT NOT NULL, id TEXT NOT NULL,
	who TEXT NOT NULL,
	role TEXT NOT NULL,
	started_ns BIGINT NOT NULL, started_off SMALLINT NOT NULL,
	renewed_ns BIGINT NOT NULL, renewed_off SMALLINT NOT NULL,
	seen_ns BIGINT NOT NULL, seen_off SMALLINT NOT NULL,
	expires_ns BIGINT NOT NULL, expires_off SMALLINT NOT NULL,
	agent TEXT NOT NULL,
	token TEXT NOT NULL,
	PRIMARY KEY (studio, id),
	FOREIGN KEY (studio) REFERENCES studios (studio)
);

CREATE UNIQUE INDEX sign_ins_token ON sign_ins (studio, token);

CREATE INDEX sign_ins_of ON sign_ins (studio, role, who);

-- +goose Down
DROP TABLE sign_ins;
DROP TABLE doors;
DROP TABLE passkeys;
DROP TABLE passwords;
