-- CreateTable
CREATE TABLE "PartValue" (
    "partId" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "quantity" INTEGER NOT NULL,
    "valueMinor" INTEGER NOT NULL,
    CONSTRAINT "PartValue_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Batch" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "partId" INTEGER NOT NULL,
    "code" TEXT NOT NULL,
    "codeKey" TEXT NOT NULL,
    "expiresOn" TEXT,
    CONSTRAINT "Batch_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE UNIQUE INDEX "Batch_partId_codeKey_key" ON "Batch"("partId", "codeKey");

-- CreateTable
CREATE TABLE "BatchBalance" (
    "batchId" INTEGER NOT NULL,
    "binId" INTEGER NOT NULL,
    "quantity" INTEGER NOT NULL,

    PRIMARY KEY ("batchId", "binId"),
    CONSTRAINT "BatchBalance_batchId_fkey" FOREIGN KEY ("batchId") REFERENCES "Batch" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "BatchBalance_binId_fkey" FOREIGN KEY ("binId") REFERENCES "Bin" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "BatchBalance_binId_idx" ON "BatchBalance"("binId");

-- AlterTable: columns are added in place, because rebuilding the ledger takes minutes on a large one.
ALTER TABLE "Bin" ADD COLUMN "kind" TEXT NOT NULL DEFAULT 'shelf';
ALTER TABLE "Bin" ADD COLUMN "mapColumn" INTEGER;
ALTER TABLE "Bin" ADD COLUMN "mapRow" INTEGER;
ALTER TABLE "Bin" ADD COLUMN "closedAt" DATETIME;
ALTER TABLE "Job" ADD COLUMN "needOn" TEXT;
ALTER TABLE "Job" ADD COLUMN "priority" INTEGER NOT NULL DEFAULT 2;
ALTER TABLE "Movement" ADD COLUMN "valueMinor" INTEGER;
ALTER TABLE "Movement" ADD COLUMN "batchId" INTEGER REFERENCES "Batch" ("id") ON DELETE SET NULL ON UPDATE CASCADE;
ALTER TABLE "Movement" ADD COLUMN "machineId" INTEGER REFERENCES "Machine" ("id") ON DELETE SET NULL ON UPDATE CASCADE;
ALTER TABLE "Movement" ADD COLUMN "costCentre" TEXT;
ALTER TABLE "Movement" ADD COLUMN "forPersonId" TEXT;

-- What lies there already is worth its last known cost, and each old movement its own; what does not add up stands in the
-- part's last movement. The guard of the ledger is put back after the deploy (prisma/migrate.ts).
DROP TRIGGER IF EXISTS movement_never_updated;

UPDATE "Movement" SET "valueMinor" = CASE WHEN "kind" IN ('transfer-in', 'transfer-out') THEN 0 ELSE
  CAST(ROUND("quantity" * 1.0 * COALESCE("costMinor", 0)
    / (SELECT CASE p."unit" WHEN 'each' THEN 1 ELSE 1000 END FROM "Part" p WHERE p."id" = "Movement"."partId")) AS INTEGER) END;

INSERT INTO "PartValue" ("partId", "quantity", "valueMinor")
SELECT p."id", m."quantity",
  CAST(ROUND(m."quantity" * 1.0 * COALESCE(p."costMinor", 0) / CASE p."unit" WHEN 'each' THEN 1 ELSE 1000 END) AS INTEGER)
FROM (SELECT "partId", SUM("quantity") AS "quantity" FROM "Movement" GROUP BY "partId") m JOIN "Part" p ON p."id" = m."partId";

UPDATE "Movement" SET "valueMinor" = "valueMinor"
  + (SELECT v."valueMinor" FROM "PartValue" v WHERE v."partId" = "Movement"."partId")
  - (SELECT SUM(o."valueMinor") FROM "Movement" o WHERE o."partId" = "Movement"."partId")
WHERE "id" IN (SELECT MAX("id") FROM "Movement" GROUP BY "partId");

CREATE TRIGGER IF NOT EXISTS movement_never_updated BEFORE UPDATE ON "Movement" BEGIN
  SELECT RAISE(ABORT, 'ledger/append-only: a movement is never changed, reverse it');
END;

CREATE TRIGGER IF NOT EXISTS batch_balance_insert_not_negative BEFORE INSERT ON "BatchBalance" WHEN NEW.quantity < 0 BEGIN
  SELECT RAISE(ABORT, 'stock/negative: a batch never falls below zero');
END;

CREATE TRIGGER IF NOT EXISTS batch_balance_update_not_negative BEFORE UPDATE ON "BatchBalance" WHEN NEW.quantity < 0 BEGIN
  SELECT RAISE(ABORT, 'stock/negative: a batch never falls below zero');
END;

CREATE TRIGGER IF NOT EXISTS part_value_insert_sound BEFORE INSERT ON "PartValue" WHEN NEW.valueMinor < 0 OR (NEW.quantity = 0 AND NEW.valueMinor <> 0) BEGIN
  SELECT RAISE(ABORT, 'stock/value: stock is never worth less than nothing, and nothing is worth nothing');
END;

CREATE TRIGGER IF NOT EXISTS part_value_update_sound BEFORE UPDATE ON "PartValue" WHEN NEW.valueMinor < 0 OR (NEW.quantity = 0 AND NEW.valueMinor <> 0) BEGIN
  SELECT RAISE(ABORT, 'stock/value: stock is never worth less than nothing, and nothing is worth nothing');
END;
