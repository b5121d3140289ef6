CREATE TABLE handing_over (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	at_us INTEGER NOT NULL,
	side TEXT NOT NULL CHECK (side in ('shop', 'desk')),
	joined INTEGER NOT NULL,
	given_up_us INTEGER,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE maker (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	put_away INTEGER NOT NULL CHECK (put_away in (0, 1)),
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE bench (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	place TEXT NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE tool (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	capacity REAL,
	put_away INTEGER NOT NULL CHECK (put_away in (0, 1)),
	setting_now TEXT NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE note_word (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	position INTEGER NOT NULL,
	put_away INTEGER NOT NULL CHECK (put_away in (0, 1)),
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE calendar_event (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	uid TEXT NOT NULL,
	sequence INTEGER NOT NULL,
	told TEXT NOT NULL,
	gone INTEGER NOT NULL CHECK (gone in (0, 1)),
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE gap_answer (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	first TEXT NOT NULL,
	last TEXT NOT NULL,
	free INTEGER NOT NULL CHECK (free in (0, 1)),
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE corrected (
	thing TEXT NOT NULL,
	number INTEGER NOT NULL,
	pressed TEXT,
	stays INTEGER NOT NULL,
	PRIMARY KEY (thing, number)
)
 WITHOUT ROWID,
 STRICT
;
CREATE TABLE maker_stage (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	maker_id INTEGER NOT NULL,
	stage_id INTEGER NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(maker_id) REFERENCES maker (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(stage_id) REFERENCES stage (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE shop_hours (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	weekday INTEGER NOT NULL,
	from_min INTEGER NOT NULL,
	to_min INTEGER NOT NULL,
	maker_id INTEGER,
	UNIQUE (uuid),
	FOREIGN KEY(maker_id) REFERENCES maker (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE press (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	bench_id INTEGER NOT NULL,
	maker_id INTEGER NOT NULL,
	what TEXT NOT NULL,
	at_us INTEGER NOT NULL,
	wall_us INTEGER NOT NULL,
	boot_us INTEGER NOT NULL,
	awake_us INTEGER NOT NULL,
	boot_id TEXT NOT NULL,
	offset_min INTEGER NOT NULL,
	undoable INTEGER NOT NULL,
	moved_us INTEGER NOT NULL,
	reason TEXT DEFAULT '' NOT NULL,
	order_us INTEGER NOT NULL,
	sequence INTEGER NOT NULL,
	UNIQUE (bench_id, sequence),
	UNIQUE (uuid),
	FOREIGN KEY(bench_id) REFERENCES bench (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(maker_id) REFERENCES maker (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE made_before (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	stage_id INTEGER,
	method_id INTEGER,
	pieces INTEGER NOT NULL,
	maker_id INTEGER,
	UNIQUE (uuid),
	FOREIGN KEY(stage_id) REFERENCES stage (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(method_id) REFERENCES method (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(maker_id) REFERENCES maker (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE batch (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	pattern_id INTEGER NOT NULL,
	route_id INTEGER NOT NULL,
	started_us INTEGER NOT NULL,
	closed_us INTEGER,
	next_time TEXT NOT NULL,
	rules INTEGER NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(pattern_id) REFERENCES pattern (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(route_id) REFERENCES route (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE quote (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	order_id INTEGER NOT NULL,
	number TEXT NOT NULL,
	at_us INTEGER NOT NULL,
	until TEXT NOT NULL,
	price TEXT NOT NULL,
	currency TEXT NOT NULL,
	promised TEXT,
	UNIQUE (uuid),
	FOREIGN KEY(order_id) REFERENCES customer_order (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE taken_back (
	press_id INTEGER NOT NULL,
	takes_id INTEGER NOT NULL,
	PRIMARY KEY (press_id, takes_id),
	FOREIGN KEY(press_id) REFERENCES press (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(takes_id) REFERENCES press (id) DEFERRABLE INITIALLY DEFERRED
)
 WITHOUT ROWID,
 STRICT
;
CREATE TABLE clock_move (
	press_id INTEGER NOT NULL,
	from_us INTEGER NOT NULL,
	until_us INTEGER,
	by_us INTEGER NOT NULL,
	PRIMARY KEY (press_id),
	FOREIGN KEY(press_id) REFERENCES press (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE kept (
	press_id INTEGER NOT NULL,
	PRIMARY KEY (press_id),
	FOREIGN KEY(press_id) REFERENCES press (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE stage_row (
	id INTEGER NOT NULL,
	batch_id INTEGER NOT NULL,
	pattern_id INTEGER NOT NULL,
	stage_id INTEGER NOT NULL,
	method_id INTEGER,
	mixed INTEGER NOT NULL CHECK (mixed in (0, 1)),
	complete INTEGER NOT NULL CHECK (complete in (0, 1)),
	pieces INTEGER NOT NULL,
	run_us INTEGER NOT NULL,
	setup_us INTEGER NOT NULL,
	rework_us INTEGER NOT NULL,
	estimated_us INTEGER NOT NULL,
	shared_us INTEGER NOT NULL,
	first_us INTEGER NOT NULL,
	middle_us INTEGER NOT NULL,
	untimed INTEGER NOT NULL CHECK (untimed in (0, 1)),
	marked INTEGER NOT NULL,
	maker_id INTEGER,
	from_notes INTEGER NOT NULL CHECK (from_notes in (0, 1)),
	PRIMARY KEY (id),
	FOREIGN KEY(batch_id) REFERENCES batch (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(pattern_id) REFERENCES pattern (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(method_id) REFERENCES method (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(maker_id) REFERENCES maker (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE tally (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	step_id INTEGER NOT NULL,
	piece_id INTEGER NOT NULL,
	interval_id INTEGER,
	at_us INTEGER NOT NULL,
	how TEXT NOT NULL CHECK (how in ('done', 'next', 'all through', 'before timing', 'skipped')),
	rules INTEGER NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(step_id) REFERENCES step (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(piece_id) REFERENCES piece (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(interval_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE leaving (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	piece_id INTEGER NOT NULL,
	step_id INTEGER NOT NULL,
	interval_id INTEGER NOT NULL,
	at_us INTEGER NOT NULL,
	in_hand INTEGER NOT NULL CHECK (in_hand in (0, 1)),
	UNIQUE (uuid),
	FOREIGN KEY(piece_id) REFERENCES piece (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(step_id) REFERENCES step (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(interval_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE both (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	interval_id INTEGER NOT NULL,
	other_id INTEGER NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(interval_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(other_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE note (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	interval_id INTEGER,
	piece_id INTEGER,
	batch_id INTEGER,
	text TEXT NOT NULL,
	at_us INTEGER NOT NULL,
	CHECK ((interval_id IS NOT NULL) + (piece_id IS NOT NULL) + (batch_id IS NOT NULL) = 1),
	UNIQUE (uuid),
	FOREIGN KEY(interval_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(piece_id) REFERENCES piece (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(batch_id) REFERENCES batch (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE VIEW batch_stage AS
SELECT
    b.name AS "batch",
    pattern.name AS "pattern",
    strftime('%Y-%m-%dT%H:%M:%S', b.started_us / 1000000, 'unixepoch') || printf('.%06dZ', b.started_us % 1000000) AS "started",
    strftime('%Y-%m-%dT%H:%M:%S', b.closed_us / 1000000, 'unixepoch') || printf('.%06dZ', b.closed_us % 1000000) AS "closed",
    stage.name AS "stage",
    (SELECT sum(r.pieces) FROM stage_row r WHERE r.batch_id = b.id AND r.stage_id = stage.id) AS "passed",
    (SELECT sum(r.run_us) / 60e6 / nullif(sum(r.pieces), 0) FROM stage_row r WHERE r.batch_id = b.id AND r.stage_id = stage.id) AS "passed_run_min",
    (sum(share.us)) / 60e6 AS "spent_min",
    (sum(CASE WHEN coalesce(p.outcome IN ('finished', 'second'), 0) THEN share.us ELSE 0 END)) / 60e6 AS "finished_min",
    (sum(CASE WHEN p.outcome IN ('scrapped', 'kept', 'cut down') THEN share.us ELSE 0 END)) / 60e6 AS "carried_min"
FROM share JOIN interval i ON i.id = share.interval_id JOIN piece p ON p.id = share.piece_id JOIN batch b ON b.id = p.batch_id JOIN pattern ON pattern.id = b.pattern_id JOIN stage ON stage.id = i.stage_id GROUP BY b.id, stage.id
;
CREATE VIEW interval_flat AS
SELECT
    i.uuid AS "key",
    b.name AS "batch",
    pattern.name AS "pattern",
    stage.name AS "stage",
    step.name AS "step",
    method.name AS "method",
    maker.name AS "maker",
    i.kind AS "kind",
    i.work AS "work",
    cause.name AS "caused_at",
    (SELECT group_concat(mark, ', ') FROM (SELECT mark FROM interval_piece JOIN piece ON piece.id = piece_id WHERE interval_id = i.id ORDER BY position, piece.id)) AS "pieces",
    (SELECT count(*) FROM interval_piece WHERE interval_id = i.id) AS "piece_count",
    strftime('%Y-%m-%dT%H:%M:%S', i.start_us / 1000000, 'unixepoch') || printf('.%06dZ', i.start_us % 1000000) AS "start",
    strftime('%Y-%m-%dT%H:%M:%S', i.end_us / 1000000, 'unixepoch') || printf('.%06dZ', i.end_us % 1000000) AS "end",
    (i.end_us - i.start_us) / 60e6 AS "length_min",
    CASE WHEN i.end_us IS NULL THEN NULL ELSE (coalesce(labour.us, 0)) / 60e6 END AS "labour_min",
    CASE WHEN 'estimated' IN (i.start_sure, i.end_sure) THEN 'estimated' WHEN 'amended' IN (i.start_sure, i.end_sure) THEN 'amended' ELSE 'pressed' END AS "certainty",
    i.together AS "both_at_once",
    tool.name AS "tool",
    load.setting AS "setting",
    i.load_id AS "load"
FROM interval i JOIN stage ON stage.id = i.stage_id JOIN maker ON maker.id = i.maker_id LEFT JOIN batch b ON b.id = i.batch_id LEFT JOIN pattern ON pattern.id = b.pattern_id LEFT JOIN step ON step.id = i.step_id LEFT JOIN method ON method.id = i.method_id LEFT JOIN step cause ON cause.id = i.cause_step_id LEFT JOIN load ON load.id = i.load_id LEFT JOIN tool ON tool.id = load.tool_id LEFT JOIN labour ON labour.interval_id = i.id
;
CREATE INDEX ix_both_interval_id ON both (interval_id)
;
CREATE INDEX ix_both_other_id ON both (other_id)
;
CREATE INDEX ix_journal_thing_number ON journal (thing, number)
;
CREATE INDEX ix_leaving_interval_id ON leaving (interval_id)
;
CREATE INDEX ix_leaving_piece_id ON leaving (piece_id)
;
CREATE INDEX ix_leaving_step_id ON leaving (step_id)
;
CREATE INDEX ix_note_batch_id ON note (batch_id) WHERE batch_id IS NOT NULL
;
CREATE INDEX ix_note_interval_id ON note (interval_id) WHERE interval_id IS NOT NULL
;
CREATE INDEX ix_note_piece_id ON note (piece_id) WHERE piece_id IS NOT NULL
;
CREATE INDEX ix_press_clock_right ON press (id) WHERE what = 'Clock put right' AND undoable = 0
;
CREATE INDEX ix_press_order_us ON press (order_us)
;
CREATE INDEX ix_stage_row_batch_id ON stage_row (batch_id)
;
CREATE INDEX ix_stage_row_stage_id ON stage_row (stage_id)
;
CREATE INDEX ix_taken_back_takes_id ON taken_back (takes_id)
;
CREATE INDEX ix_tally_interval_id ON tally (interval_id)
;
CREATE INDEX ix_tally_piece_id ON tally (piece_id)
;
CREATE INDEX ix_tally_step_id ON tally (step_id)
;
CREATE VIEW piece_labour AS
SELECT
    b.name AS "batch",
    pattern.name AS "pattern",
    p.mark AS "piece",
    p.number AS "number",
    p.outcome AS "outcome",
    coalesce(p.outcome IN ('finished', 'second'), 0) AS "finished",
    stage.name AS "stage",
    step.name AS "step",
    i.work AS "work",
    (sum(share.us)) / 60e6 AS "labour_min"
FROM share JOIN interval i ON i.id = share.interval_id JOIN piece p ON p.id = share.piece_id JOIN batch b ON b.id = p.batch_id JOIN pattern ON pattern.id = b.pattern_id JOIN step ON step.id = i.step_id JOIN stage ON stage.id = i.stage_id GROUP BY p.id, i.step_id, i.work
;
CREATE VIEW reading_flat AS
SELECT
    b.name AS "batch",
    pattern.name AS "pattern",
    p.mark AS "piece",
    p.number AS "number",
    stage.name AS "stage",
    step.name AS "step",
    k.name AS "reading",
    r.measured AS "measured",
    CASE WHEN instr(r.measured, '/') = 0 THEN CAST(r.measured AS REAL) ELSE CASE WHEN instr(r.measured, ' ') > 0 THEN CAST(r.measured AS REAL) ELSE 0 END + CAST(substr(r.measured, instr(r.measured, ' ') + 1) AS REAL) / CAST(substr(substr(r.measured, instr(r.measured, ' ') + 1), instr(substr(r.measured, instr(r.measured, ' ') + 1), '/') + 1) AS REAL) END AS "measured_value",
    r.unit AS "unit",
    r.target AS "target",
    r.target_unit AS "target_unit",
    k.low AS "low",
    k.high AS "high",
    k.unit AS "limit_unit",
    strftime('%Y-%m-%dT%H:%M:%S', r.at_us / 1000000, 'unixepoch') || printf('.%06dZ', r.at_us % 1000000) AS "at"
FROM reading r JOIN reading_kind k ON k.id = r.kind_id JOIN step ON step.id = r.step_id JOIN stage ON stage.id = step.stage_id JOIN batch b ON b.id = step.batch_id JOIN pattern ON pattern.id = b.pattern_id LEFT JOIN piece p ON p.id = r.piece_id
;
CREATE TRIGGER clock_move_keeps_numbers BEFORE INSERT ON clock_move WHEN EXISTS (SELECT 1 FROM clock_move WHERE press_id = NEW.press_id) BEGIN SELECT RAISE(ABORT, 'the clock_move is never changed'); END
;
CREATE TRIGGER clock_move_keeps_rows BEFORE DELETE ON clock_move BEGIN SELECT RAISE(ABORT, 'the clock_move is never changed'); END
;
CREATE TRIGGER clock_move_keeps_values BEFORE UPDATE ON clock_move BEGIN SELECT RAISE(ABORT, 'the clock_move is never changed'); END
;
CREATE TRIGGER journal_keeps_rows BEFORE DELETE ON journal BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END
;
CREATE TRIGGER press_keeps_numbers BEFORE INSERT ON press WHEN EXISTS (SELECT 1 FROM press WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'the press is never changed'); END
;
CREATE TRIGGER press_keeps_rows BEFORE DELETE ON press BEGIN SELECT RAISE(ABORT, 'the press is never changed'); END
;
CREATE TRIGGER press_keeps_values BEFORE UPDATE ON press BEGIN SELECT RAISE(ABORT, 'the press is never changed'); END
;
CREATE TRIGGER taken_back_keeps_numbers BEFORE INSERT ON taken_back WHEN EXISTS (SELECT 1 FROM taken_back WHERE press_id = NEW.press_id AND takes_id = NEW.takes_id) BEGIN SELECT RAISE(ABORT, 'the taken_back is never changed'); END
;
CREATE TRIGGER taken_back_keeps_rows BEFORE DELETE ON taken_back BEGIN SELECT RAISE(ABORT, 'the taken_back is never changed'); END
;
CREATE TRIGGER taken_back_keeps_values BEFORE UPDATE ON taken_back BEGIN SELECT RAISE(ABORT, 'the taken_back is never changed'); END
;
