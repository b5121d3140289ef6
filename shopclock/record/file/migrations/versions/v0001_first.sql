CREATE TABLE shop (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	zone TEXT NOT NULL,
	made_us INTEGER NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE handing_over (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	at_us INTEGER NOT NULL,
	side TEXT NOT NULL CHECK (side in ('shop', 'desk')),
	joined INTEGER NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE maker (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE bench (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE stage (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	kind TEXT NOT NULL CHECK (kind in ('hands-on', 'watch', 'wait', 'away')),
	one_by_one INTEGER NOT NULL CHECK (one_by_one in (0, 1)),
	shop_work INTEGER NOT NULL CHECK (shop_work in (0, 1)),
	caution TEXT NOT NULL,
	put_away INTEGER NOT NULL CHECK (put_away in (0, 1)),
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
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE reason (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	position INTEGER NOT NULL,
	put_away INTEGER NOT NULL CHECK (put_away in (0, 1)),
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE pattern (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	outline TEXT NOT NULL,
	put_away INTEGER NOT NULL CHECK (put_away in (0, 1)),
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE setting (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	value TEXT NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE word (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	one TEXT NOT NULL,
	many TEXT NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE "key" (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	action TEXT NOT NULL,
	"key" TEXT NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE question (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	why TEXT NOT NULL CHECK (why in ('still at it', 'power cut', 'slept', 'clock set', 'clock behind', 'wait over')),
	about_id INTEGER,
	asked_us INTEGER NOT NULL,
	sure_us INTEGER NOT NULL,
	boot_id TEXT NOT NULL,
	shift_us INTEGER,
	answered_us INTEGER,
	answer TEXT NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE shop_hours (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	weekday INTEGER NOT NULL,
	from_min INTEGER NOT NULL,
	to_min INTEGER NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE day_off (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	first TEXT NOT NULL,
	last TEXT NOT NULL,
	why TEXT NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE import_file (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	sha256 TEXT NOT NULL,
	at_us INTEGER NOT NULL,
	UNIQUE (uuid)
)
 STRICT
;
CREATE TABLE coming (
	"of" TEXT NOT NULL,
	first INTEGER NOT NULL,
	last INTEGER NOT NULL,
	PRIMARY KEY ("of")
)
 STRICT
;
CREATE TABLE method (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	stage_id INTEGER NOT NULL,
	name TEXT NOT NULL,
	put_away INTEGER NOT NULL CHECK (put_away in (0, 1)),
	UNIQUE (uuid),
	FOREIGN KEY(stage_id) REFERENCES stage (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE route (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	pattern_id INTEGER NOT NULL,
	version INTEGER NOT NULL,
	note TEXT NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(pattern_id) REFERENCES pattern (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE reading_kind (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	stage_id INTEGER NOT NULL,
	pattern_id INTEGER,
	name TEXT NOT NULL,
	unit TEXT NOT NULL,
	low TEXT,
	high TEXT,
	target TEXT,
	common_practice INTEGER NOT NULL CHECK (common_practice in (0, 1)),
	put_away INTEGER NOT NULL CHECK (put_away in (0, 1)),
	UNIQUE (uuid),
	FOREIGN KEY(stage_id) REFERENCES stage (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(pattern_id) REFERENCES pattern (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE load (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	tool_id INTEGER NOT NULL,
	setting TEXT NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(tool_id) REFERENCES tool (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE caution_shown (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	stage_id INTEGER NOT NULL,
	caution TEXT NOT NULL,
	at_us INTEGER NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(stage_id) REFERENCES stage (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE customer_order (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	who TEXT NOT NULL,
	pattern_id INTEGER NOT NULL,
	wanted INTEGER NOT NULL,
	promised TEXT,
	price TEXT,
	deposit TEXT,
	currency TEXT NOT NULL,
	note TEXT NOT NULL,
	state TEXT NOT NULL CHECK (state in ('open', 'done', 'cancelled')),
	UNIQUE (uuid),
	FOREIGN KEY(pattern_id) REFERENCES pattern (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE cost_item (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	name TEXT NOT NULL,
	kind TEXT NOT NULL CHECK (kind in ('material', 'consumable', 'bought-out work', 'fee', 'overhead')),
	per TEXT NOT NULL CHECK (per in ('piece', 'batch', 'month', 'year')),
	pattern_id INTEGER,
	stage_id INTEGER,
	days INTEGER,
	amount TEXT NOT NULL,
	currency TEXT NOT NULL,
	tax TEXT NOT NULL,
	put_away INTEGER NOT NULL CHECK (put_away in (0, 1)),
	UNIQUE (uuid),
	FOREIGN KEY(pattern_id) REFERENCES pattern (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(stage_id) REFERENCES stage (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE asked_price (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	pattern_id INTEGER NOT NULL,
	price TEXT NOT NULL,
	currency TEXT NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(pattern_id) REFERENCES pattern (id) DEFERRABLE INITIALLY DEFERRED
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
	undoes_id INTEGER,
	moved_us INTEGER NOT NULL,
	reason TEXT DEFAULT '' NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(bench_id) REFERENCES bench (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(maker_id) REFERENCES maker (id) DEFERRABLE INITIALLY DEFERRED,
	UNIQUE (undoes_id),
	FOREIGN KEY(undoes_id) REFERENCES press (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE made_before (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	stage_id INTEGER,
	method_id INTEGER,
	pieces INTEGER NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(stage_id) REFERENCES stage (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(method_id) REFERENCES method (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE route_step (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	route_id INTEGER NOT NULL,
	position INTEGER NOT NULL,
	stage_id INTEGER NOT NULL,
	name TEXT NOT NULL,
	kind TEXT NOT NULL CHECK (kind in ('hands-on', 'watch', 'wait', 'away')),
	one_by_one INTEGER NOT NULL CHECK (one_by_one in (0, 1)),
	strand TEXT NOT NULL,
	begins_itself INTEGER NOT NULL CHECK (begins_itself in (0, 1)),
	wait_us INTEGER,
	minutes_us INTEGER,
	setup_us INTEGER,
	tool_id INTEGER,
	tool_share REAL NOT NULL,
	setting TEXT NOT NULL,
	coldest_c REAL,
	warmest_c REAL,
	caution TEXT NOT NULL,
	common_practice INTEGER NOT NULL CHECK (common_practice in (0, 1)),
	UNIQUE (uuid),
	FOREIGN KEY(route_id) REFERENCES route (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(stage_id) REFERENCES stage (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(tool_id) REFERENCES tool (id) DEFERRABLE INITIALLY DEFERRED
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
	UNIQUE (uuid),
	FOREIGN KEY(pattern_id) REFERENCES pattern (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(route_id) REFERENCES route (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE journal (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	press_id INTEGER NOT NULL,
	thing TEXT NOT NULL,
	number INTEGER NOT NULL,
	"before" TEXT,
	"after" TEXT,
	version INTEGER NOT NULL,
	FOREIGN KEY(press_id) REFERENCES press (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE order_rule (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	route_id INTEGER NOT NULL,
	kind TEXT NOT NULL CHECK (kind in ('before', 'within', 'at least')),
	first_step_id INTEGER NOT NULL,
	then_step_id INTEGER NOT NULL,
	limit_us INTEGER,
	common_practice INTEGER NOT NULL CHECK (common_practice in (0, 1)),
	UNIQUE (uuid),
	FOREIGN KEY(route_id) REFERENCES route (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(first_step_id) REFERENCES route_step (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(then_step_id) REFERENCES route_step (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE step (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	batch_id INTEGER NOT NULL,
	route_step_id INTEGER,
	position INTEGER NOT NULL,
	stage_id INTEGER NOT NULL,
	name TEXT NOT NULL,
	kind TEXT NOT NULL CHECK (kind in ('hands-on', 'watch', 'wait', 'away')),
	one_by_one INTEGER NOT NULL CHECK (one_by_one in (0, 1)),
	strand TEXT NOT NULL,
	begins_itself INTEGER NOT NULL CHECK (begins_itself in (0, 1)),
	wait_us INTEGER,
	minutes_us INTEGER,
	setup_us INTEGER,
	tool_id INTEGER,
	tool_share REAL NOT NULL,
	setting TEXT NOT NULL,
	coldest_c REAL,
	warmest_c REAL,
	caution TEXT NOT NULL,
	common_practice INTEGER NOT NULL CHECK (common_practice in (0, 1)),
	state TEXT NOT NULL CHECK (state in ('timed', 'skipped', 'not timed')),
	UNIQUE (uuid),
	FOREIGN KEY(batch_id) REFERENCES batch (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(route_step_id) REFERENCES route_step (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(stage_id) REFERENCES stage (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(tool_id) REFERENCES tool (id) DEFERRABLE INITIALLY DEFERRED
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
	PRIMARY KEY (id),
	FOREIGN KEY(batch_id) REFERENCES batch (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(pattern_id) REFERENCES pattern (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(method_id) REFERENCES method (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE piece (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	batch_id INTEGER NOT NULL,
	position INTEGER NOT NULL,
	mark TEXT NOT NULL,
	number TEXT NOT NULL,
	set_aside INTEGER NOT NULL CHECK (set_aside in (0, 1)),
	second INTEGER NOT NULL CHECK (second in (0, 1)),
	outcome TEXT CHECK (outcome in ('finished', 'second', 'cut down', 'kept', 'scrapped')),
	lost_step_id INTEGER,
	reason TEXT NOT NULL,
	ended_us INTEGER,
	from_piece_id INTEGER,
	UNIQUE (uuid),
	FOREIGN KEY(batch_id) REFERENCES batch (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(lost_step_id) REFERENCES step (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(from_piece_id) REFERENCES piece (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE interval (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	batch_id INTEGER,
	step_id INTEGER,
	stage_id INTEGER NOT NULL,
	maker_id INTEGER NOT NULL,
	method_id INTEGER,
	kind TEXT NOT NULL CHECK (kind in ('hands-on', 'watch', 'wait', 'away')),
	work TEXT NOT NULL CHECK (work in ('run', 'set-up', 'rework')),
	cause_step_id INTEGER,
	start_us INTEGER NOT NULL,
	end_us INTEGER,
	start_sure TEXT NOT NULL CHECK (start_sure in ('pressed', 'amended', 'estimated')),
	end_sure TEXT NOT NULL CHECK (end_sure in ('pressed', 'amended', 'estimated')),
	continues_id INTEGER,
	together INTEGER NOT NULL CHECK (together in (0, 1)),
	shop_c REAL,
	load_id INTEGER,
	UNIQUE (uuid),
	FOREIGN KEY(batch_id) REFERENCES batch (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(step_id) REFERENCES step (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(stage_id) REFERENCES stage (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(maker_id) REFERENCES maker (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(method_id) REFERENCES method (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(cause_step_id) REFERENCES step (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(continues_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(load_id) REFERENCES load (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE rule_broken (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	rule_id INTEGER NOT NULL,
	step_id INTEGER NOT NULL,
	at_us INTEGER NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(rule_id) REFERENCES order_rule (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(step_id) REFERENCES step (id) DEFERRABLE INITIALLY DEFERRED
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
	how TEXT NOT NULL CHECK (how in ('done', 'next', 'all through')),
	UNIQUE (uuid),
	FOREIGN KEY(step_id) REFERENCES step (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(piece_id) REFERENCES piece (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(interval_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE reading (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	kind_id INTEGER NOT NULL,
	step_id INTEGER NOT NULL,
	piece_id INTEGER,
	load_id INTEGER,
	target TEXT,
	target_unit TEXT NOT NULL,
	measured TEXT NOT NULL,
	unit TEXT NOT NULL,
	at_us INTEGER NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(kind_id) REFERENCES reading_kind (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(step_id) REFERENCES step (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(piece_id) REFERENCES piece (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(load_id) REFERENCES load (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE scales (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	number TEXT NOT NULL,
	note TEXT NOT NULL,
	piece_id INTEGER,
	UNIQUE (uuid),
	FOREIGN KEY(piece_id) REFERENCES piece (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE order_piece (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	order_id INTEGER NOT NULL,
	piece_id INTEGER NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(order_id) REFERENCES customer_order (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(piece_id) REFERENCES piece (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE import_row (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
	uuid TEXT NOT NULL,
	import_file_id INTEGER NOT NULL,
	interval_id INTEGER NOT NULL,
	"row" INTEGER NOT NULL,
	known_by TEXT NOT NULL,
	note TEXT NOT NULL,
	UNIQUE (uuid),
	FOREIGN KEY(import_file_id) REFERENCES import_file (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(interval_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE interval_piece (
	interval_id INTEGER NOT NULL,
	piece_id INTEGER NOT NULL,
	PRIMARY KEY (interval_id, piece_id),
	FOREIGN KEY(interval_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(piece_id) REFERENCES piece (id) DEFERRABLE INITIALLY DEFERRED
)
 WITHOUT ROWID,
 STRICT
;
CREATE TABLE rule_broken_piece (
	rule_broken_id INTEGER NOT NULL,
	piece_id INTEGER NOT NULL,
	PRIMARY KEY (rule_broken_id, piece_id),
	FOREIGN KEY(rule_broken_id) REFERENCES rule_broken (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(piece_id) REFERENCES piece (id) DEFERRABLE INITIALLY DEFERRED
)
 WITHOUT ROWID,
 STRICT
;
CREATE TABLE labour (
	interval_id INTEGER NOT NULL,
	us INTEGER NOT NULL,
	PRIMARY KEY (interval_id),
	FOREIGN KEY(interval_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT
;
CREATE TABLE share (
	interval_id INTEGER NOT NULL,
	piece_id INTEGER NOT NULL,
	us INTEGER NOT NULL,
	PRIMARY KEY (interval_id, piece_id),
	FOREIGN KEY(interval_id) REFERENCES interval (id) DEFERRABLE INITIALLY DEFERRED
)
 WITHOUT ROWID,
 STRICT
;
CREATE INDEX ix_import_row_interval_id ON import_row (interval_id)
;
CREATE INDEX ix_interval_batch_id ON interval (batch_id)
;
CREATE INDEX ix_interval_cause_step_id ON interval (cause_step_id) WHERE cause_step_id IS NOT NULL
;
CREATE INDEX ix_interval_continues_id ON interval (continues_id)
;
CREATE INDEX ix_interval_end_us ON interval (end_us)
;
CREATE INDEX ix_interval_load_id ON interval (load_id)
;
CREATE INDEX ix_interval_maker_id_start_us ON interval (maker_id, start_us)
;
CREATE INDEX ix_interval_piece_piece_id ON interval_piece (piece_id)
;
CREATE INDEX ix_interval_stage_id_start_us ON interval (stage_id, start_us)
;
CREATE INDEX ix_interval_step_id ON interval (step_id)
;
CREATE INDEX ix_journal_press_id ON journal (press_id)
;
CREATE INDEX ix_order_piece_order_id ON order_piece (order_id)
;
CREATE INDEX ix_order_piece_piece_id ON order_piece (piece_id)
;
CREATE INDEX ix_piece_batch_id ON piece (batch_id)
;
CREATE INDEX ix_piece_from_piece_id ON piece (from_piece_id) WHERE from_piece_id IS NOT NULL
;
CREATE INDEX ix_piece_lost_step_id ON piece (lost_step_id) WHERE lost_step_id IS NOT NULL
;
CREATE INDEX ix_press_clock_right ON press (id) WHERE what = 'Clock put right'
;
CREATE INDEX ix_press_moved ON press (id) WHERE moved_us != 0
;
CREATE INDEX ix_reading_kind_id ON reading (kind_id)
;
CREATE INDEX ix_reading_piece_id ON reading (piece_id) WHERE piece_id IS NOT NULL
;
CREATE INDEX ix_reading_step_id ON reading (step_id)
;
CREATE INDEX ix_route_step_route_id ON route_step (route_id)
;
CREATE INDEX ix_rule_broken_piece_piece_id ON rule_broken_piece (piece_id)
;
CREATE INDEX ix_rule_broken_step_id ON rule_broken (step_id)
;
CREATE INDEX ix_stage_row_batch_id ON stage_row (batch_id)
;
CREATE INDEX ix_stage_row_stage_id ON stage_row (stage_id)
;
CREATE INDEX ix_step_batch_id ON step (batch_id)
;
CREATE INDEX ix_tally_interval_id ON tally (interval_id)
;
CREATE INDEX ix_tally_piece_id ON tally (piece_id)
;
CREATE INDEX ix_tally_step_id ON tally (step_id)
;
CREATE TRIGGER journal_keeps_numbers BEFORE INSERT ON journal WHEN EXISTS (SELECT 1 FROM journal WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END
;
CREATE TRIGGER journal_keeps_rows BEFORE DELETE ON journal WHEN NOT EXISTS (SELECT 1 FROM coming WHERE of = 'press' AND OLD.press_id BETWEEN first AND last) BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END
;
CREATE TRIGGER journal_keeps_values BEFORE UPDATE ON journal BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END
;
CREATE TRIGGER press_keeps_numbers BEFORE INSERT ON press WHEN EXISTS (SELECT 1 FROM press WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'the press is never changed'); END
;
CREATE TRIGGER press_keeps_rows BEFORE DELETE ON press BEGIN SELECT RAISE(ABORT, 'the press is never changed'); END
;
CREATE TRIGGER press_keeps_values BEFORE UPDATE ON press BEGIN SELECT RAISE(ABORT, 'the press is never changed'); END
;
