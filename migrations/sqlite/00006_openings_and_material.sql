-- Openings with their geometry, and the material that is ordered for them.
-- Lengths are whole ten-thousandths of a millimetre; 0 means not given, as package takeoff reads it.

-- +goose Up
CREATE TABLE releases (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    project_id  INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    code        TEXT     NOT NULL CHECK (code <> ''),
    supplier_id INTEGER  NOT NULL REFERENCES suppliers (id),
    basis       TEXT     NOT NULL DEFAULT 'drawings' CHECK (basis IN ('drawings', 'survey', 'after_framing')),
    least_days  INTEGER  CHECK (least_days >= 0),
    likely_days INTEGER,
    most_days   INTEGER,
    ordered_at  DATETIME,
    note        TEXT     NOT NULL DEFAULT '',
    version     INTEGER  NOT NULL DEFAULT 1,
    created_at  DATETIME NOT NULL,
    updated_at  DATETIME NOT NULL,
    CHECK ((least_days IS NULL) = (likely_days IS NULL) AND (likely_days IS NULL) = (most_days IS NULL)),
    CHECK (least_days <= likely_days AND likely_days <= most_days),
    UNIQUE (project_id, code)
);
CREATE INDEX releases_by_supplier ON releases (supplier_id);

-- The deliveries of a release, numbered from 1.
CREATE TABLE release_drops (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    release_id  INTEGER  NOT NULL REFERENCES releases (id) ON DELETE CASCADE,
    number      INTEGER  NOT NULL CHECK (number >= 1),
    promised    DATE,
    shipped_at  DATETIME,
    received_at DATETIME,
    UNIQUE (release_id, number)
);

CREATE TABLE openings (
    id               INTEGER PRIMARY KEY AUTOINCREMENT,
    project_id       INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    area_id          INTEGER  NOT NULL REFERENCES areas (id),
    mark             TEXT     NOT NULL CHECK (mark <> ''),
    room             TEXT     NOT NULL DEFAULT '',
    walk_order       INTEGER  NOT NULL DEFAULT 0,
    opening_type     TEXT     NOT NULL CHECK (opening_type <> ''),
    type_mark        TEXT     NOT NULL DEFAULT '',
    width            INTEGER  NOT NULL CHECK (width >= 0),
    height           INTEGER  NOT NULL CHECK (height >= 0),
    leaves           INTEGER  NOT NULL DEFAULT 0 CHECK (leaves >= 0),
    leaf_width       INTEGER  NOT NULL DEFAULT 0 CHECK (leaf_width >= 0),
    leaf_height      INTEGER  NOT NULL DEFAULT 0 CHECK (leaf_height >= 0),
    leaf_thickness   INTEGER  NOT NULL DEFAULT 0 CHECK (leaf_thickness >= 0),
    sidelights       TEXT     NOT NULL DEFAULT '[]' CHECK (json_valid(sidelights)),
    lights           INTEGER  NOT NULL DEFAULT 0 CHECK (lights >= 0),
    light_widths     TEXT     NOT NULL DEFAULT '[]' CHECK (json_valid(light_widths)),
    door_light       INTEGER  NOT NULL DEFAULT 0 CHECK (door_light >= 0),
    transom          INTEGER  NOT NULL DEFAULT 0 CHECK (transom >= 0),
    butt_joints      BOOLEAN  NOT NULL DEFAULT FALSE,
    glass_leaf       BOOLEAN  NOT NULL DEFAULT FALSE,
    glass_text       TEXT     NOT NULL DEFAULT '',
    glass_kind       TEXT     NOT NULL DEFAULT '' CHECK (glass_kind IN ('', 'monolithic', 'laminated', 'insulating')),
    glass_thickness  INTEGER  NOT NULL DEFAULT 0 CHECK (glass_thickness >= 0),
    glass_lites      INTEGER  NOT NULL DEFAULT 0 CHECK (glass_lites >= 0),
    glass_interlayer INTEGER  NOT NULL DEFAULT 0 CHECK (glass_interlayer >= 0),
    glass_air_space  INTEGER  NOT NULL DEFAULT 0 CHECK (glass_air_space >= 0),
    glass_safety     BOOLEAN  NOT NULL DEFAULT FALSE,
    hardware_points  INTEGER  NOT NULL DEFAULT 0 CHECK (hardware_points >= 0),
    finish           TEXT     NOT NULL DEFAULT '',
    fire_minutes     INTEGER  NOT NULL DEFAULT 0 CHECK (fire_minutes >= 0),
    hardware_set     TEXT     NOT NULL DEFAULT '',
    handing          TEXT     NOT NULL DEFAULT '',
    powered          BOOLEAN  NOT NULL DEFAULT FALSE,
    head             TEXT     NOT NULL DEFAULT '' CHECK (head IN ('', 'stud', 'wood', 'concrete')),
    jambs            TEXT     NOT NULL DEFAULT '' CHECK (jambs IN ('', 'stud', 'wood', 'concrete')),
    floor            TEXT     NOT NULL DEFAULT '' CHECK (floor IN ('', 'stud', 'wood', 'concrete')),
    sill_height      INTEGER  NOT NULL DEFAULT 0 CHECK (sill_height >= 0),
    conditions       TEXT     NOT NULL DEFAULT '[]' CHECK (json_valid(conditions)),
    measured_at      DATETIME,
    measured_width   INTEGER  NOT NULL DEFAULT 0 CHECK (measured_width >= 0),
    measured_height  INTEGER  NOT NULL DEFAULT 0 CHECK (measured_height >= 0),
    note             TEXT     NOT NULL DEFAULT '',
    version          INTEGER  NOT NULL DEFAULT 1,
    created_at       DATETIME NOT NULL,
    updated_at       DATETIME NOT NULL,
    UNIQUE (project_id, mark)
);
CREATE INDEX openings_by_area ON openings (area_id, walk_order);

-- What an opening is made of. An item of the first order comes with a drop of a release, or is on site already. A remake is
-- an order of its own (code, supplier, dates here) with the item it replaces as parent.
CREATE TABLE material_items (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    opening_id  INTEGER  NOT NULL REFERENCES openings (id) ON DELETE CASCADE,
    kind        TEXT     NOT NULL CHECK (kind IN ('frame_kit', 'glass', 'leaf', 'hardware')),
    state       TEXT     NOT NULL DEFAULT 'to_order'
                CHECK (state IN ('to_order', 'ordered', 'acknowledged', 'shipped', 'received', 'damaged', 'remade')),
    release_id  INTEGER  REFERENCES releases (id),
    drop_number INTEGER  NOT NULL DEFAULT 1 CHECK (drop_number >= 1),
    on_site     BOOLEAN  NOT NULL DEFAULT FALSE,
    parent_id   INTEGER  REFERENCES material_items (id) ON DELETE CASCADE,
    code        TEXT     NOT NULL DEFAULT '',
    supplier_id INTEGER  REFERENCES suppliers (id),
    cause       TEXT     NOT NULL DEFAULT '',
    reported_at DATETIME,
    least_days  INTEGER  CHECK (least_days >= 0),
    likely_days INTEGER,
    most_days   INTEGER,
    ordered_at  DATETIME,
    promised    DATE,
    shipped_at  DATETIME,
    received_at DATETIME,
    version     INTEGER  NOT NULL DEFAULT 1,
    created_at  DATETIME NOT NULL,
    updated_at  DATETIME NOT NULL,
    CHECK ((parent_id IS NULL) OR (code <> '' AND reported_at IS NOT NULL AND release_id IS NULL AND NOT on_site)),
    CHECK ((least_days IS NULL) = (likely_days IS NULL) AND (likely_days IS NULL) = (most_days IS NULL)),
    CHECK (least_days <= likely_days AND likely_days <= most_days)
);
CREATE UNIQUE INDEX material_items_first_order ON material_items (opening_id, kind) WHERE parent_id IS NULL;
CREATE UNIQUE INDEX material_items_remakes ON material_items (opening_id, code) WHERE parent_id IS NOT NULL;
CREATE INDEX material_items_by_release ON material_items (release_id, drop_number);
CREATE INDEX material_items_by_parent ON material_items (parent_id);

-- Append-only: one line for each date of a release, of one of its drops or of a remake that changed, as people wrote it.
CREATE TABLE material_changes (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    release_id  INTEGER  REFERENCES releases (id) ON DELETE CASCADE,
    drop_number INTEGER,
    item_id     INTEGER  REFERENCES material_items (id) ON DELETE CASCADE,
    at          DATETIME NOT NULL,
    user_id     INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    field       TEXT     NOT NULL CHECK (field IN ('ordered', 'promised', 'shipped', 'received')),
    old_value   TEXT     NOT NULL DEFAULT '',
    new_value   TEXT     NOT NULL DEFAULT '',
    cause       TEXT     NOT NULL DEFAULT '',
    source      TEXT     NOT NULL DEFAULT '',
    CHECK ((release_id IS NULL) <> (item_id IS NULL))
);
CREATE INDEX material_changes_by_time ON material_changes (at);
