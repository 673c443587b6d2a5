-- A job that somebody put away: the list leaves it out, all that belongs to it is kept.
ALTER TABLE job ADD COLUMN removed TEXT;
ALTER TABLE job ADD COLUMN removed_by TEXT;

-- What undo walks over. Without it, each step would be read past its whole document.
CREATE INDEX revision_walk ON revision (job, number, kind, target);
