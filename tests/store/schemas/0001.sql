BEGIN TRANSACTION;
CREATE TABLE design (
	id VARCHAR(36) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	document JSON NOT NULL, 
	version INTEGER NOT NULL, 
	created VARCHAR(27) NOT NULL, 
	changed VARCHAR(27) NOT NULL, 
	deleted VARCHAR(27), 
	example BOOLEAN NOT NULL, 
	CONSTRAINT pk_design PRIMARY KEY (id), 
	CONSTRAINT ck_design_id CHECK (length(id) = 36), 
	CONSTRAINT ck_design_name CHECK (length(name) > 0), 
	CONSTRAINT ck_design_version CHECK (version >= 1)
);
INSERT INTO "design" VALUES('62edb64a-2e0b-5284-b1f9-4224f665f673','plain boot sock','{"cuff": {"kind": "hung hem", "depth": "3 cm"}, "leg": {"height": "22 cm"}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "design" VALUES('151808a0-45c0-57f5-8c92-a6cc5daed493','child''s sock, seam below','{"cuff": {"kind": "picot hem", "depth": "2 cm"}, "leg": {"rounds": 30}, "heel": {"widening": "wrapped, lower at the far end"}, "toe": {"half": "instep half"}, "ease": {"length": "2 %"}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "design" VALUES('9fc0b7ef-5f0f-5a68-8ad6-d7d0199a1368','rib down the instep','{"cuff": {"kind": "true rib", "depth": "2 1/2 in", "rib": "3x1", "rib_to": "instep"}, "leg": {"leg": "5 in"}, "heel": {"widening": "two down, one up", "kept": 12, "first_raise": 2}, "ease": {"girth": "12 %"}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "design" VALUES('68b74085-2c14-5111-a0a8-eec4312f43df','short sock with a rolled edge','{"cuff": {"kind": "rolled edge", "depth": "2 cm"}, "leg": {"height": "13 cm"}, "toe": {"closing": "gather"}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
CREATE TABLE earlier (
	id VARCHAR(36) NOT NULL, 
	version INTEGER NOT NULL, 
	kind VARCHAR(10) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	document JSON NOT NULL, 
	fields JSON NOT NULL, 
	changed VARCHAR(27) NOT NULL, 
	deleted VARCHAR(27), 
	CONSTRAINT pk_earlier PRIMARY KEY (id, version), 
	CONSTRAINT ck_earlier_version CHECK (version >= 1)
);
INSERT INTO "earlier" VALUES('c9e1d508-49fa-5623-a76e-effbe6fa3252',1,'yarn','berry sock yarn','{"name": "berry sock yarn", "colour": "berry", "fineness": "100 g / 420 m", "fibres": {"wool": "75 %", "nylon": "25 %"}, "on_hand": "68 g"}','{"used_up": false}','2025-11-03T07:15:00.000000Z',NULL);
INSERT INTO "earlier" VALUES('06944259-e0f5-5e4c-9ab2-2d626d167428',1,'person','station doctor','{"wearer": {"name": "station doctor", "sex": "woman", "shoe_size": "EU 39"}}','{}','2025-11-03T07:15:00.000000Z',NULL);
CREATE TABLE machine (
	serviced VARCHAR(10), 
	id VARCHAR(36) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	document JSON NOT NULL, 
	version INTEGER NOT NULL, 
	created VARCHAR(27) NOT NULL, 
	changed VARCHAR(27) NOT NULL, 
	deleted VARCHAR(27), 
	example BOOLEAN NOT NULL, 
	CONSTRAINT pk_machine PRIMARY KEY (id), 
	CONSTRAINT ck_machine_id CHECK (length(id) = 36), 
	CONSTRAINT ck_machine_name CHECK (length(name) > 0), 
	CONSTRAINT ck_machine_version CHECK (version >= 1)
);
INSERT INTO "machine" VALUES('2025-09-20','3fdd21d2-fb49-5ef5-a7e1-a0c1f400b347','the station''s bench machine','{"name": "the station''s bench machine", "turns": "carrier", "forward": "anticlockwise", "heel_half": "near", "cylinders": [{"needles": 54, "diameter": "10.8 cm"}, {"needles": 60, "diameter": "10.8 cm"}, {"needles": 84, "diameter": "11.4 cm"}], "counter": {"counts": "handle turns", "handle_turns_per_round": 1, "restarts": false}, "cam": {"word": "clicks", "larger_is_looser": true}, "landmarks": {"yarn mast": 12, "clamp": "6:30"}, "marks": {"home": {"name": "white bar", "colour": "white"}, "halfway": {"name": "black bar", "colour": "black"}, "heel_limits": {"name": "red dots", "colour": "red"}, "instep_limits": {"name": "blue dots", "colour": "blue"}, "deep_limits": {"name": "green dots", "colour": "green"}}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "machine" VALUES(NULL,'26e4889d-16b4-56bb-8125-7851b7a24bb7','the forecaster''s aunt''s machine','{"name": "the forecaster''s aunt''s machine", "turns": "cylinder", "forward": "clockwise", "heel_half": "far", "cylinders": [{"needles": 72, "diameter": "4 1/2 in", "dial": "half"}], "counter": {"counts": "passes", "restarts": true}, "cam": {"word": "lines", "larger_is_looser": false}, "marks": {"home": "brass pin"}, "landmarks": {"yarn carrier": 9, "gate": "4:30"}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
CREATE TABLE note (
	person_id VARCHAR(36), 
	yarn_id VARCHAR(36), 
	machine_id VARCHAR(36), 
	design_id VARCHAR(36), 
	swatch_id VARCHAR(36), 
	sock_id VARCHAR(36), 
	id VARCHAR(36) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	document JSON NOT NULL, 
	version INTEGER NOT NULL, 
	created VARCHAR(27) NOT NULL, 
	changed VARCHAR(27) NOT NULL, 
	deleted VARCHAR(27), 
	example BOOLEAN NOT NULL, 
	CONSTRAINT pk_note PRIMARY KEY (id), 
	CONSTRAINT ck_note_about CHECK (CASE WHEN person_id IS NULL THEN 0 ELSE 1 END + CASE WHEN yarn_id IS NULL THEN 0 ELSE 1 END + CASE WHEN machine_id IS NULL THEN 0 ELSE 1 END + CASE WHEN design_id IS NULL THEN 0 ELSE 1 END + CASE WHEN swatch_id IS NULL THEN 0 ELSE 1 END + CASE WHEN sock_id IS NULL THEN 0 ELSE 1 END = 1), 
	CONSTRAINT ck_note_id CHECK (length(id) = 36), 
	CONSTRAINT ck_note_name CHECK (length(name) > 0), 
	CONSTRAINT ck_note_version CHECK (version >= 1), 
	CONSTRAINT fk_note_person_id FOREIGN KEY(person_id) REFERENCES person (id), 
	CONSTRAINT fk_note_yarn_id FOREIGN KEY(yarn_id) REFERENCES yarn (id), 
	CONSTRAINT fk_note_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id), 
	CONSTRAINT fk_note_design_id FOREIGN KEY(design_id) REFERENCES design (id), 
	CONSTRAINT fk_note_swatch_id FOREIGN KEY(swatch_id) REFERENCES swatch (id), 
	CONSTRAINT fk_note_sock_id FOREIGN KEY(sock_id) REFERENCES sock (id)
);
INSERT INTO "note" VALUES(NULL,NULL,'3fdd21d2-fb49-5ef5-a7e1-a0c1f400b347',NULL,NULL,NULL,'90df0666-62af-5db7-a8e4-433e4f15fb7c','Oil the cam track before every pair.','{"text": "Oil the cam track before every pair.\nThe latch of needle 17 is stiff."}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "note" VALUES('fe44ef81-1877-5eba-8b9a-d26acf48482b',NULL,NULL,NULL,NULL,NULL,'6e81cac8-3812-5e61-bc53-b9391814bb18','Wears two pairs; ask before the third.','{"text": "Wears two pairs; ask before the third."}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
CREATE TABLE person (
	id VARCHAR(36) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	document JSON NOT NULL, 
	version INTEGER NOT NULL, 
	created VARCHAR(27) NOT NULL, 
	changed VARCHAR(27) NOT NULL, 
	deleted VARCHAR(27), 
	example BOOLEAN NOT NULL, 
	CONSTRAINT pk_person PRIMARY KEY (id), 
	CONSTRAINT ck_person_id CHECK (length(id) = 36), 
	CONSTRAINT ck_person_name CHECK (length(name) > 0), 
	CONSTRAINT ck_person_version CHECK (version >= 1)
);
INSERT INTO "person" VALUES('af761e87-1124-5d3d-97cd-67888294e5e0','winch operator','{"wearer": {"name": "winch operator", "sex": "woman", "weight": "63 kg"}, "foot": {"length": "24.5 cm", "traced_with": "7 mm", "ball_girth": "22 cm", "heel_girth": "30.2 cm", "ankle_girth": "20.8 cm"}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "person" VALUES('fe44ef81-1877-5eba-8b9a-d26acf48482b','dog handler','{"wearer": {"name": "dog handler", "sex": "man", "stature": "182 cm"}, "foot": {"ball_girth": "24.8 cm", "heel_girth": "34 cm", "left": {"length": "26.9 cm"}, "right": {"length": "27.7 cm"}}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "person" VALUES('06944259-e0f5-5e4c-9ab2-2d626d167428','station doctor','{"wearer": {"name": "station doctor", "sex": "woman", "shoe_size": "EU 39"}}',2,'2025-11-03T07:15:00.000000Z','2025-11-03T07:17:00.000000Z','2025-11-03T07:17:00.000000Z',1);
INSERT INTO "person" VALUES('66480dca-1c29-590d-8f61-9f6589304b05','avalanche forecaster','{"wearer": {"name": "avalanche forecaster", "sex": "man", "stature": "5 ft 11 in", "weight": "12 st 4 lb"}, "foot": {"length": "10.7 in", "ball_girth": "9 7/8 in", "heel_girth": "13.5 in", "ankle_girth": "9 in"}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "person" VALUES('32da4c22-83d6-577c-879e-9da0fc50ff00','the cook''s small son','{"wearer": {"name": "the cook''s small son", "age": 5}, "foot": {"length": "17.5 cm", "foot_breadth": "7 cm", "ball_girth": "17.3 cm"}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
CREATE TABLE sock (
	person_id VARCHAR(36) NOT NULL, 
	machine_id VARCHAR(36) NOT NULL, 
	design_id VARCHAR(36), 
	needles INTEGER, 
	status VARCHAR(10) NOT NULL, 
	order_toml TEXT NOT NULL, 
	log JSON NOT NULL, 
	measured JSON, 
	"left" JSON, 
	id VARCHAR(36) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	document JSON NOT NULL, 
	version INTEGER NOT NULL, 
	created VARCHAR(27) NOT NULL, 
	changed VARCHAR(27) NOT NULL, 
	deleted VARCHAR(27), 
	example BOOLEAN NOT NULL, 
	CONSTRAINT pk_sock PRIMARY KEY (id), 
	CONSTRAINT ck_sock_status CHECK (status IN ('planned', 'being made', 'made')), 
	CONSTRAINT ck_sock_needles CHECK (needles > 0), 
	CONSTRAINT ck_sock_id CHECK (length(id) = 36), 
	CONSTRAINT ck_sock_name CHECK (length(name) > 0), 
	CONSTRAINT ck_sock_version CHECK (version >= 1), 
	CONSTRAINT fk_sock_person_id FOREIGN KEY(person_id) REFERENCES person (id), 
	CONSTRAINT fk_sock_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id), 
	CONSTRAINT fk_sock_design_id FOREIGN KEY(design_id) REFERENCES design (id)
);
INSERT INTO "sock" VALUES('af761e87-1124-5d3d-97cd-67888294e5e0','3fdd21d2-fb49-5ef5-a7e1-a0c1f400b347','62edb64a-2e0b-5284-b1f9-4224f665f673',60,'made','title = "Boot socks for the winch operator"
units = "cm"

[wearer]
name = "winch operator"
sex = "woman"
weight = "63 kg"

[foot]
length = "24.5 cm"
traced_with = "7 mm"
ball_girth = "22 cm"
heel_girth = "30.2 cm"
ankle_girth = "20.8 cm"

[yarn.main]
name = "grey boot-sock wool"
colour = "grey"
fineness = "100 g / 360 m"
on_hand = "400 g"

[yarn.main.fibres]
wool = "80 %"
nylon = "20 %"

[machine]
name = "the station''s bench machine"
turns = "carrier"
forward = "anticlockwise"
heel_half = "near"
cylinders = [
    { needles = 54, diameter = "10.8 cm" },
    { needles = 60, diameter = "10.8 cm" },
    { needles = 84, diameter = "11.4 cm" },
]

[machine.counter]
counts = "handle turns"
handle_turns_per_round = 1
restarts = false

[machine.cam]
word = "clicks"
larger_is_looser = true

[machine.landmarks]
"yarn mast" = 12
clamp = "6:30"

[machine.marks.home]
name = "white bar"
colour = "white"

[machine.marks.halfway]
name = "black bar"
colour = "black"

[machine.marks.heel_limits]
name = "red dots"
colour = "red"

[machine.marks.instep_limits]
name = "blue dots"
colour = "blue"

[machine.marks.deep_limits]
name = "green dots"
colour = "green"

[[swatch]]
name = "grey, washed twice"
state = "washed"
needles = 60
cam = 14
date = "2025-10-11"
wales = [
    "30.5 in 10 cm",
    "30 in 10 cm",
    "30.25 in 10 cm",
]
courses = [
    "39.5 in 10 cm",
    "39 in 10 cm",
    "39.5 in 10 cm",
]
flat_width = [
    "9.9 cm",
    "9.95 cm",
]
yarn = "main"

[swatch.unravelled]
rounds = 10
length = "8.22 m"

[swatch.weighed]
rounds = 40
mass = "9 g"

[swatch.stretch]
relaxed = "9.9 cm"
stretched = "15 cm"

[sock]
needles = 60

[sock.cuff]
kind = "hung hem"
depth = "3 cm"

[sock.leg]
height = "22 cm"
','[{"time": "2025-11-03 19:20", "sock": "first", "rounds": 0, "note": "On the machine."}, {"time": "2025-11-03 20:05", "sock": "first", "rounds": 62, "deviation": "One round more in the leg."}, {"time": "2025-11-04 19:40", "sock": "second", "note": "Same round more, to match."}]','{"state": "washed", "foot": "23.4 cm", "flat_width": "9.9 cm", "worn": "Fits; warm enough."}','{"main": "400 g"}','9566fd50-d36a-5a89-9ef3-2140113960a9','Boot socks for the winch operator','{"title": "Boot socks for the winch operator", "units": "cm"}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "sock" VALUES('32da4c22-83d6-577c-879e-9da0fc50ff00','3fdd21d2-fb49-5ef5-a7e1-a0c1f400b347','151808a0-45c0-57f5-8c92-a6cc5daed493',54,'made','title = "Socks for the cook''s small son"
units = "cm"

[wearer]
name = "the cook''s small son"
age = 5

[foot]
length = "17.5 cm"
foot_breadth = "7 cm"
ball_girth = "17.3 cm"

[yarn.main]
name = "berry sock yarn"
colour = "berry"
fineness = "100 g / 420 m"
on_hand = "68 g"

[yarn.main.fibres]
wool = "75 %"
nylon = "25 %"

[machine]
name = "the station''s bench machine"
turns = "carrier"
forward = "anticlockwise"
heel_half = "near"
cylinders = [
    { needles = 54, diameter = "10.8 cm" },
    { needles = 60, diameter = "10.8 cm" },
    { needles = 84, diameter = "11.4 cm" },
]

[machine.counter]
counts = "handle turns"
handle_turns_per_round = 1
restarts = false

[machine.cam]
word = "clicks"
larger_is_looser = true

[machine.landmarks]
"yarn mast" = 12
clamp = "6:30"

[machine.marks.home]
name = "white bar"
colour = "white"

[machine.marks.halfway]
name = "black bar"
colour = "black"

[machine.marks.heel_limits]
name = "red dots"
colour = "red"

[machine.marks.instep_limits]
name = "blue dots"
colour = "blue"

[machine.marks.deep_limits]
name = "green dots"
colour = "green"

[[swatch]]
name = "berry"
state = "washed"
needles = 54
cam = 9
date = "2025-10-18"
wales = [
    "34.5 in 10 cm",
    "34.75 in 10 cm",
]
courses = [
    "45 in 10 cm",
    "44.5 in 10 cm",
]
flat_width = "7.8 cm"
yarn = "main"

[swatch.unravelled]
loops = 540
length = "6.48 m"

[sock]
needles = 54

[sock.cuff]
kind = "picot hem"
depth = "2 cm"

[sock.leg]
rounds = 30

[sock.heel]
widening = "wrapped, lower at the far end"

[sock.toe]
half = "instep half"

[sock.ease]
length = "2 %"
','[{"time": "2025-11-08 16:00", "sock": "first", "note": "Weight hung a little lighter."}, {"time": "2025-11-08 18:30", "sock": "second"}]','{"state": "washed", "foot": "16.9 cm", "worn": "He asks for another pair."}','{"main": "68 g"}','a6761fa9-69a3-5af8-8344-745c7e6dee02','Socks for the cook''s small son','{"title": "Socks for the cook''s small son", "units": "cm"}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
CREATE TABLE sock_swatch (
	sock_id VARCHAR(36) NOT NULL, 
	position INTEGER NOT NULL, 
	swatch_id VARCHAR(36) NOT NULL, 
	CONSTRAINT pk_sock_swatch PRIMARY KEY (sock_id, position), 
	CONSTRAINT ck_sock_swatch_position CHECK (position >= 0), 
	CONSTRAINT fk_sock_swatch_sock_id FOREIGN KEY(sock_id) REFERENCES sock (id), 
	CONSTRAINT fk_sock_swatch_swatch_id FOREIGN KEY(swatch_id) REFERENCES swatch (id)
);
INSERT INTO "sock_swatch" VALUES('9566fd50-d36a-5a89-9ef3-2140113960a9',0,'b214bc25-1b22-589d-bdfb-4cd8a8874d24');
INSERT INTO "sock_swatch" VALUES('a6761fa9-69a3-5af8-8344-745c7e6dee02',0,'c2dfd8ab-1ba6-5131-a15c-5672fd9cefa5');
CREATE TABLE sock_yarn (
	sock_id VARCHAR(36) NOT NULL, 
	role VARCHAR(10) NOT NULL, 
	yarn_id VARCHAR(36) NOT NULL, 
	CONSTRAINT pk_sock_yarn PRIMARY KEY (sock_id, role), 
	CONSTRAINT ck_sock_yarn_role CHECK (role IN ('main', 'cuff', 'heel', 'toe', 'waste', 'cord')), 
	CONSTRAINT fk_sock_yarn_sock_id FOREIGN KEY(sock_id) REFERENCES sock (id), 
	CONSTRAINT fk_sock_yarn_yarn_id FOREIGN KEY(yarn_id) REFERENCES yarn (id)
);
INSERT INTO "sock_yarn" VALUES('9566fd50-d36a-5a89-9ef3-2140113960a9','main','e255c87a-eeff-5892-aa22-f1ba3abac740');
INSERT INTO "sock_yarn" VALUES('a6761fa9-69a3-5af8-8344-745c7e6dee02','main','c9e1d508-49fa-5623-a76e-effbe6fa3252');
CREATE TABLE sockwright_schema (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT sockwright_schema_pkc PRIMARY KEY (version_num)
);
INSERT INTO "sockwright_schema" VALUES('0001');
CREATE TABLE swatch (
	yarn_id VARCHAR(36) NOT NULL, 
	machine_id VARCHAR(36) NOT NULL, 
	id VARCHAR(36) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	document JSON NOT NULL, 
	version INTEGER NOT NULL, 
	created VARCHAR(27) NOT NULL, 
	changed VARCHAR(27) NOT NULL, 
	deleted VARCHAR(27), 
	example BOOLEAN NOT NULL, 
	CONSTRAINT pk_swatch PRIMARY KEY (id), 
	CONSTRAINT ck_swatch_id CHECK (length(id) = 36), 
	CONSTRAINT ck_swatch_name CHECK (length(name) > 0), 
	CONSTRAINT ck_swatch_version CHECK (version >= 1), 
	CONSTRAINT fk_swatch_yarn_id FOREIGN KEY(yarn_id) REFERENCES yarn (id), 
	CONSTRAINT fk_swatch_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
);
INSERT INTO "swatch" VALUES('e255c87a-eeff-5892-aa22-f1ba3abac740','3fdd21d2-fb49-5ef5-a7e1-a0c1f400b347','b214bc25-1b22-589d-bdfb-4cd8a8874d24','grey, washed twice','{"name": "grey, washed twice", "state": "washed", "needles": 60, "cam": 14, "date": "2025-10-11", "wales": ["30.5 in 10 cm", "30 in 10 cm", "30.25 in 10 cm"], "courses": ["39.5 in 10 cm", "39 in 10 cm", "39.5 in 10 cm"], "unravelled": {"rounds": 10, "length": "8.22 m"}, "weighed": {"rounds": 40, "mass": "9 g"}, "flat_width": ["9.9 cm", "9.95 cm"], "stretch": {"relaxed": "9.9 cm", "stretched": "15 cm"}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "swatch" VALUES('e255c87a-eeff-5892-aa22-f1ba3abac740','3fdd21d2-fb49-5ef5-a7e1-a0c1f400b347','8bee27a0-311a-53da-a580-1d442d9b4a0c','grey, last winter','{"name": "grey, last winter", "state": "washed", "needles": 60, "cam": 14, "date": "2025-02-02", "wales": "29.5 in 10 cm", "courses": "38.5 in 10 cm"}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "swatch" VALUES('c9e1d508-49fa-5623-a76e-effbe6fa3252','3fdd21d2-fb49-5ef5-a7e1-a0c1f400b347','c2dfd8ab-1ba6-5131-a15c-5672fd9cefa5','berry','{"name": "berry", "state": "washed", "needles": 54, "cam": 9, "date": "2025-10-18", "wales": ["34.5 in 10 cm", "34.75 in 10 cm"], "courses": ["45 in 10 cm", "44.5 in 10 cm"], "unravelled": {"loops": 540, "length": "6.48 m"}, "flat_width": "7.8 cm"}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "swatch" VALUES('3678f877-e525-59fb-9eae-838047f5520c','26e4889d-16b4-56bb-8125-7851b7a24bb7','a967ddf5-2121-5cb4-b892-c18b1b0288be','plain, spruce','{"name": "plain, spruce", "state": "washed", "needles": 72, "cam": 5.5, "date": "2025-10-25", "ruler": "1/16 in", "wales": ["32.5 in 4 in", "32.25 in 4 in"], "courses": ["42.5 in 4 in", "42.25 in 4 in"], "unravelled": {"rounds": 10, "length": "30 ft 8 in"}}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
CREATE TABLE yarn (
	used_up BOOLEAN NOT NULL, 
	id VARCHAR(36) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	document JSON NOT NULL, 
	version INTEGER NOT NULL, 
	created VARCHAR(27) NOT NULL, 
	changed VARCHAR(27) NOT NULL, 
	deleted VARCHAR(27), 
	example BOOLEAN NOT NULL, 
	CONSTRAINT pk_yarn PRIMARY KEY (id), 
	CONSTRAINT ck_yarn_id CHECK (length(id) = 36), 
	CONSTRAINT ck_yarn_name CHECK (length(name) > 0), 
	CONSTRAINT ck_yarn_version CHECK (version >= 1)
);
INSERT INTO "yarn" VALUES(0,'e255c87a-eeff-5892-aa22-f1ba3abac740','grey boot-sock wool','{"name": "grey boot-sock wool", "colour": "grey", "fineness": "100 g / 360 m", "fibres": {"wool": "80 %", "nylon": "20 %"}, "on_hand": "400 g"}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
INSERT INTO "yarn" VALUES(0,'c9e1d508-49fa-5623-a76e-effbe6fa3252','berry sock yarn','{"name": "berry sock yarn", "colour": "berry", "fineness": "100 g / 420 m", "fibres": {"wool": "75 %", "nylon": "25 %"}, "on_hand": "12 g"}',2,'2025-11-03T07:15:00.000000Z','2025-11-03T07:16:00.000000Z',NULL,0);
INSERT INTO "yarn" VALUES(0,'3678f877-e525-59fb-9eae-838047f5520c','spruce sock yarn','{"name": "spruce sock yarn", "colour": "spruce", "fineness": "100 g / 400 yd", "fibres": {"wool": "75 %", "nylon": "25 %"}, "on_hand": "7 oz"}',1,'2025-11-03T07:15:00.000000Z','2025-11-03T07:15:00.000000Z',NULL,1);
CREATE INDEX ix_person_listed ON person (deleted, name);
CREATE INDEX ix_yarn_listed ON yarn (deleted, name);
CREATE INDEX ix_machine_listed ON machine (deleted, name);
CREATE INDEX ix_design_listed ON design (deleted, name);
CREATE INDEX ix_swatch_listed ON swatch (deleted, name);
CREATE INDEX ix_swatch_yarn_id ON swatch (yarn_id);
CREATE INDEX ix_swatch_machine_id ON swatch (machine_id);
CREATE INDEX ix_sock_listed ON sock (deleted, name);
CREATE INDEX ix_sock_person_id ON sock (person_id);
CREATE INDEX ix_sock_machine_id ON sock (machine_id);
CREATE INDEX ix_sock_design_id ON sock (design_id);
CREATE INDEX ix_sock_yarn_yarn_id ON sock_yarn (yarn_id);
CREATE INDEX ix_sock_swatch_swatch_id ON sock_swatch (swatch_id);
CREATE INDEX ix_note_listed ON note (deleted, name);
CREATE INDEX ix_note_person_id ON note (person_id);
CREATE INDEX ix_note_yarn_id ON note (yarn_id);
CREATE INDEX ix_note_machine_id ON note (machine_id);
CREATE INDEX ix_note_design_id ON note (design_id);
CREATE INDEX ix_note_swatch_id ON note (swatch_id);
CREATE INDEX ix_note_sock_id ON note (sock_id);
COMMIT;
