CREATE TABLE job (
    id TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    head BIGINT NOT NULL,
    changed TEXT NOT NULL
);

-- Every revision with its whole text; rows are never changed. `seal` is the SHA-256 of the row.
CREATE TABLE revision (
    job TEXT NOT NULL REFERENCES job (id),
    number BIGINT NOT NULL,
    kind TEXT NOT NULL,
    body TEXT NOT NULL,
    who TEXT NOT NULL,
    made TEXT NOT NULL,
    summary TEXT NOT NULL,
    base BIGINT NOT NULL,
    target BIGINT,
    edits TEXT NOT NULL,
    reverse TEXT NOT NULL,
    touched TEXT NOT NULL,
    seal TEXT NOT NULL,
    PRIMARY KEY (job, number)
);

CREATE TABLE revision_name (
    job TEXT NOT NULL,
    number BIGINT NOT NULL,
    name TEXT NOT NULL,
    PRIMARY KEY (job, number),
    FOREIGN KEY (job, number) REFERENCES revision (job, number)
);

-- What was answered to each operation, so that it is done once.
CREATE TABLE operation (
    op TEXT PRIMARY KEY,
    request TEXT NOT NULL,
    answer TEXT NOT NULL
);

CREATE TABLE contested (
    job TEXT NOT NULL REFERENCES job (id),
    number BIGINT NOT NULL,
    fact TEXT NOT NULL,
    reason TEXT NOT NULL,
    stands TEXT NOT NULL,
    earlier TEXT,
    earlier_revision BIGINT NOT NULL,
    earlier_who TEXT NOT NULL,
    earlier_made TEXT NOT NULL,
    later TEXT,
    later_revision BIGINT NOT NULL,
    later_who TEXT NOT NULL,
    later_made TEXT NOT NULL,
    withdrawn BIGINT NOT NULL,
    resolved_by BIGINT,
    resolution_undone BIGINT NOT NULL,
    PRIMARY KEY (job, number)
);

CREATE TABLE catalogue (
    kind TEXT NOT NULL,
    id TEXT NOT NULL,
    facts TEXT NOT NULL,
    changed TEXT NOT NULL,
    PRIMARY KEY (kind, id)
);

-- The picture itself is a file named by its hash.
CREATE TABLE photograph (
    op TEXT PRIMARY KEY,
    job TEXT NOT NULL REFERENCES job (id),
    hash TEXT NOT NULL,
    pinned TEXT NOT NULL,
    place TEXT NOT NULL,
    caption TEXT NOT NULL,
    who TEXT NOT NULL,
    made TEXT NOT NULL,
    removed TEXT
);
CREATE INDEX photograph_of_job ON photograph (job);

-- Every tick and untick; the latest of each task holds.
CREATE TABLE tick (
    op TEXT PRIMARY KEY,
    job TEXT NOT NULL REFERENCES job (id),
    task TEXT NOT NULL,
    done BIGINT NOT NULL,
    who TEXT NOT NULL,
    made TEXT NOT NULL
);
CREATE INDEX tick_of_job ON tick (job, task);

CREATE TABLE session (
    token TEXT PRIMARY KEY,
    device TEXT NOT NULL,
    role TEXT NOT NULL,
    created TEXT NOT NULL,
    expires TEXT NOT NULL,
    revoked TEXT
);
