-- CreateTable
CREATE TABLE "WorkshopWords" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "words" TEXT NOT NULL,
    "key" TEXT NOT NULL,
    "setAt" DATETIME NOT NULL,
    "setById" TEXT NOT NULL
);

-- CreateIndex
CREATE UNIQUE INDEX "WorkshopWords_key_key" ON "WorkshopWords"("key");

-- CreateIndex
CREATE INDEX "FigureOfModel_numberKey_idx" ON "FigureOfModel"("numberKey");

-- Numbers of suppliers and serial numbers as a person says them: lower case, without what stands between. The same
-- expression stands in lib/db/number-key.ts; a row is found through the index only while both are the same text.
CREATE INDEX IF NOT EXISTS offer_supplier_number_key ON "Offer"(lower(replace(replace(replace(replace(replace(replace(replace(replace(replace(replace("supplierNumber",' ',''),'-',''),'.',''),'/',''),'_',''),',',''),':',''),'(',''),')',''),'*','')));

CREATE INDEX IF NOT EXISTS machine_serial_number_key ON "Machine"(lower(replace(replace(replace(replace(replace(replace(replace(replace(replace(replace("serialNumber",' ',''),'-',''),'.',''),'/',''),'_',''),',',''),':',''),'(',''),')',''),'*','')));

-- Descriptions in the order of a printed index: "split pin" comes before "split pin 4 x 50".
CREATE INDEX IF NOT EXISTS part_description_order ON "Part"(lower("description"));

-- Words of parts. Nothing is ranked by length, so the index keeps no sizes.
CREATE VIRTUAL TABLE IF NOT EXISTS part_words USING fts5(description, number, maker, content='Part', content_rowid='id', tokenize='unicode61 remove_diacritics 2', prefix='2 3', columnsize=0);

CREATE TRIGGER IF NOT EXISTS part_words_insert AFTER INSERT ON "Part" BEGIN
  INSERT INTO part_words(rowid, description, number, maker) VALUES (NEW.id, NEW.description, NEW.number, NEW.maker);
END;

CREATE TRIGGER IF NOT EXISTS part_words_delete AFTER DELETE ON "Part" BEGIN
  INSERT INTO part_words(part_words, rowid, description, number, maker) VALUES ('delete', OLD.id, OLD.description, OLD.number, OLD.maker);
END;

CREATE TRIGGER IF NOT EXISTS part_words_update AFTER UPDATE OF description, number, maker ON "Part" BEGIN
  INSERT INTO part_words(part_words, rowid, description, number, maker) VALUES ('delete', OLD.id, OLD.description, OLD.number, OLD.maker);
  INSERT INTO part_words(rowid, description, number, maker) VALUES (NEW.id, NEW.description, NEW.number, NEW.maker);
END;

-- What a job was about, in the words of whoever wrote it.
CREATE VIRTUAL TABLE IF NOT EXISTS job_words USING fts5(complaint, cause, correction, content='Job', content_rowid='id', tokenize='unicode61 remove_diacritics 2', prefix='3', columnsize=0);

CREATE TRIGGER IF NOT EXISTS job_words_insert AFTER INSERT ON "Job" BEGIN
  INSERT INTO job_words(rowid, complaint, cause, correction) VALUES (NEW.id, NEW.complaint, NEW.cause, NEW.correction);
END;

CREATE TRIGGER IF NOT EXISTS job_words_delete AFTER DELETE ON "Job" BEGIN
  INSERT INTO job_words(job_words, rowid, complaint, cause, correction) VALUES ('delete', OLD.id, OLD.complaint, OLD.cause, OLD.correction);
END;

CREATE TRIGGER IF NOT EXISTS job_words_update AFTER UPDATE OF complaint, cause, correction ON "Job" BEGIN
  INSERT INTO job_words(job_words, rowid, complaint, cause, correction) VALUES ('delete', OLD.id, OLD.complaint, OLD.cause, OLD.correction);
  INSERT INTO job_words(rowid, complaint, cause, correction) VALUES (NEW.id, NEW.complaint, NEW.cause, NEW.correction);
END;

-- Figures, models and machines, each by its own words: a trigger that read another table would stop any later migration
-- that makes that table anew. What is said across them ("brake of the T6") is put together when it is asked.
CREATE VIRTUAL TABLE IF NOT EXISTS figure_words USING fts5(title, content='Figure', content_rowid='id', tokenize='unicode61 remove_diacritics 2', prefix='2 3', columnsize=0);

CREATE TRIGGER IF NOT EXISTS figure_words_insert AFTER INSERT ON "Figure" BEGIN
  INSERT INTO figure_words(rowid, title) VALUES (NEW.id, NEW.title);
END;

CREATE TRIGGER IF NOT EXISTS figure_words_delete AFTER DELETE ON "Figure" BEGIN
  INSERT INTO figure_words(figure_words, rowid, title) VALUES ('delete', OLD.id, OLD.title);
END;

CREATE TRIGGER IF NOT EXISTS figure_words_update AFTER UPDATE OF title ON "Figure" BEGIN
  INSERT INTO figure_words(figure_words, rowid, title) VALUES ('delete', OLD.id, OLD.title);
  INSERT INTO figure_words(rowid, title) VALUES (NEW.id, NEW.title);
END;

CREATE VIRTUAL TABLE IF NOT EXISTS model_words USING fts5(maker, name, kind, content='MachineModel', content_rowid='id', tokenize='unicode61 remove_diacritics 2', prefix='2 3', columnsize=0);

CREATE TRIGGER IF NOT EXISTS model_words_insert AFTER INSERT ON "MachineModel" BEGIN
  INSERT INTO model_words(rowid, maker, name, kind) VALUES (NEW.id, NEW.maker, NEW.name, NEW.kind);
END;

CREATE TRIGGER IF NOT EXISTS model_words_delete AFTER DELETE ON "MachineModel" BEGIN
  INSERT INTO model_words(model_words, rowid, maker, name, kind) VALUES ('delete', OLD.id, OLD.maker, OLD.name, OLD.kind);
END;

CREATE TRIGGER IF NOT EXISTS model_words_update AFTER UPDATE OF maker, name, kind ON "MachineModel" BEGIN
  INSERT INTO model_words(model_words, rowid, maker, name, kind) VALUES ('delete', OLD.id, OLD.maker, OLD.name, OLD.kind);
  INSERT INTO model_words(rowid, maker, name, kind) VALUES (NEW.id, NEW.maker, NEW.name, NEW.kind);
END;

CREATE VIRTUAL TABLE IF NOT EXISTS machine_words USING fts5(fleetNumber, name, serialNumber, content='Machine', content_rowid='id', tokenize='unicode61 remove_diacritics 2', prefix='2 3', columnsize=0);

CREATE TRIGGER IF NOT EXISTS machine_words_insert AFTER INSERT ON "Machine" BEGIN
  INSERT INTO machine_words(rowid, fleetNumber, name, serialNumber) VALUES (NEW.id, NEW.fleetNumber, NEW.name, NEW.serialNumber);
END;

CREATE TRIGGER IF NOT EXISTS machine_words_delete AFTER DELETE ON "Machine" BEGIN
  INSERT INTO machine_words(machine_words, rowid, fleetNumber, name, serialNumber) VALUES ('delete', OLD.id, OLD.fleetNumber, OLD.name, OLD.serialNumber);
END;

CREATE TRIGGER IF NOT EXISTS machine_words_update AFTER UPDATE OF fleetNumber, name, serialNumber ON "Machine" BEGIN
  INSERT INTO machine_words(machine_words, rowid, fleetNumber, name, serialNumber) VALUES ('delete', OLD.id, OLD.fleetNumber, OLD.name, OLD.serialNumber);
  INSERT INTO machine_words(rowid, fleetNumber, name, serialNumber) VALUES (NEW.id, NEW.fleetNumber, NEW.name, NEW.serialNumber);
END;

-- Every word that is written somewhere, for telling a slip of the finger from a word of the trade.
CREATE VIRTUAL TABLE IF NOT EXISTS part_vocabulary USING fts5vocab(part_words, row);
CREATE VIRTUAL TABLE IF NOT EXISTS job_vocabulary USING fts5vocab(job_words, row);
CREATE VIRTUAL TABLE IF NOT EXISTS figure_vocabulary USING fts5vocab(figure_words, row);
CREATE VIRTUAL TABLE IF NOT EXISTS model_vocabulary USING fts5vocab(model_words, row);
CREATE VIRTUAL TABLE IF NOT EXISTS machine_vocabulary USING fts5vocab(machine_words, row);

-- What is in the books already.
INSERT INTO part_words(part_words) VALUES ('rebuild');
INSERT INTO job_words(job_words) VALUES ('rebuild');
INSERT INTO figure_words(figure_words) VALUES ('rebuild');
INSERT INTO model_words(model_words) VALUES ('rebuild');
INSERT INTO machine_words(machine_words) VALUES ('rebuild');
