-- What must hold whoever writes to the file. Each trigger is put back after every deploy (prisma/migrate.ts), because
-- rebuilding a table drops its triggers without a word.

-- The ledger is append-only.
CREATE TRIGGER IF NOT EXISTS movement_never_updated BEFORE UPDATE ON "Movement" BEGIN
  SELECT RAISE(ABORT, 'ledger/append-only: a movement is never changed, reverse it');
END;

CREATE TRIGGER IF NOT EXISTS movement_never_deleted BEFORE DELETE ON "Movement" BEGIN
  SELECT RAISE(ABORT, 'ledger/append-only: a movement is never deleted, reverse it');
END;

CREATE TRIGGER IF NOT EXISTS movement_moves_something BEFORE INSERT ON "Movement" WHEN NEW.quantity = 0 OR NEW.balanceAfter < 0 BEGIN
  SELECT RAISE(ABORT, 'ledger/nothing-moved: a movement moves something and leaves nothing below zero');
END;

-- On hand never falls below zero.
CREATE TRIGGER IF NOT EXISTS balance_insert_not_negative BEFORE INSERT ON "Balance" WHEN NEW.quantity < 0 BEGIN
  SELECT RAISE(ABORT, 'stock/negative: on hand never falls below zero');
END;

CREATE TRIGGER IF NOT EXISTS balance_update_not_negative BEFORE UPDATE ON "Balance" WHEN NEW.quantity < 0 BEGIN
  SELECT RAISE(ABORT, 'stock/negative: on hand never falls below zero');
END;

CREATE TRIGGER IF NOT EXISTS need_not_negative BEFORE UPDATE ON "JobNeed" WHEN NEW.taken < 0 OR NEW.allocated < 0 OR NEW.wanted < 0 BEGIN
  SELECT RAISE(ABORT, 'job/negative: taken, kept and wanted never fall below zero');
END;

CREATE TRIGGER IF NOT EXISTS order_line_not_over BEFORE UPDATE ON "PurchaseOrderLine" WHEN NEW.received < 0 OR NEW.cancelled < 0 OR NEW.received + NEW.cancelled > NEW.quantity BEGIN
  SELECT RAISE(ABORT, 'buying/over-receipt: received and cancelled never exceed what was ordered');
END;

-- The service book is frozen when written.
CREATE TRIGGER IF NOT EXISTS service_book_never_updated BEFORE UPDATE ON "ServiceBookEntry" BEGIN
  SELECT RAISE(ABORT, 'service-book/frozen: write a correction that points to the entry');
END;

CREATE TRIGGER IF NOT EXISTS service_book_never_deleted BEFORE DELETE ON "ServiceBookEntry" BEGIN
  SELECT RAISE(ABORT, 'service-book/frozen: an entry is never deleted');
END;

CREATE TRIGGER IF NOT EXISTS job_closed_stays BEFORE UPDATE ON "Job" WHEN OLD.state = 'closed' BEGIN
  SELECT RAISE(ABORT, 'job/closed: a closed job is not changed');
END;

-- An acknowledged write keeps its answer.
CREATE TRIGGER IF NOT EXISTS write_never_updated BEFORE UPDATE ON "Write" BEGIN
  SELECT RAISE(ABORT, 'write/frozen: an acknowledged write is never changed');
END;

CREATE TRIGGER IF NOT EXISTS write_never_deleted BEFORE DELETE ON "Write" BEGIN
  SELECT RAISE(ABORT, 'write/frozen: an acknowledged write is never deleted');
END;

-- Search as you type: three letters anywhere in number, description or a trade synonym.
CREATE VIRTUAL TABLE IF NOT EXISTS part_fts USING fts5(searchText, content='Part', content_rowid='id', tokenize='trigram');

CREATE TRIGGER IF NOT EXISTS part_fts_insert AFTER INSERT ON "Part" BEGIN
  INSERT INTO part_fts(rowid, searchText) VALUES (NEW.id, NEW.searchText);
END;

CREATE TRIGGER IF NOT EXISTS part_fts_delete AFTER DELETE ON "Part" BEGIN
  INSERT INTO part_fts(part_fts, rowid, searchText) VALUES ('delete', OLD.id, OLD.searchText);
END;

CREATE TRIGGER IF NOT EXISTS part_fts_update AFTER UPDATE OF searchText ON "Part" BEGIN
  INSERT INTO part_fts(part_fts, rowid, searchText) VALUES ('delete', OLD.id, OLD.searchText);
  INSERT INTO part_fts(rowid, searchText) VALUES (NEW.id, NEW.searchText);
END;
