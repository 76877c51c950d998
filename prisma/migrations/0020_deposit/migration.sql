-- AlterTable
ALTER TABLE "Offer" ADD COLUMN "depositMinor" INTEGER;
ALTER TABLE "Offer" ADD COLUMN "returnDays" INTEGER;

-- AlterTable
ALTER TABLE "PurchaseOrderLine" ADD COLUMN "depositMinor" INTEGER;
ALTER TABLE "PurchaseOrderLine" ADD COLUMN "returnDays" INTEGER;

-- CreateTable
CREATE TABLE "Deposit" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "partId" INTEGER NOT NULL,
    "supplierId" INTEGER NOT NULL,
    "orderLineId" INTEGER,
    "movementId" INTEGER,
    "amountMinor" INTEGER NOT NULL,
    "owedMinor" INTEGER NOT NULL,
    "openedAt" DATETIME NOT NULL,
    "dueOn" TEXT,
    CONSTRAINT "Deposit_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Deposit_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "Supplier" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Deposit_orderLineId_fkey" FOREIGN KEY ("orderLineId") REFERENCES "PurchaseOrderLine" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "OldUnit" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "partId" INTEGER NOT NULL,
    "serialNumber" TEXT,
    "note" TEXT,
    "jobId" INTEGER,
    "machineId" INTEGER,
    "binId" INTEGER,
    "state" TEXT NOT NULL,
    "depositId" INTEGER,
    "returnNoteId" INTEGER,
    "keptAt" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    CONSTRAINT "OldUnit_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "OldUnit_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "OldUnit_machineId_fkey" FOREIGN KEY ("machineId") REFERENCES "Machine" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "OldUnit_binId_fkey" FOREIGN KEY ("binId") REFERENCES "Bin" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "OldUnit_depositId_fkey" FOREIGN KEY ("depositId") REFERENCES "Deposit" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "OldUnit_returnNoteId_fkey" FOREIGN KEY ("returnNoteId") REFERENCES "ReturnNote" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "ReturnNote" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "number" INTEGER NOT NULL,
    "supplierId" INTEGER NOT NULL,
    "sentAt" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    "words" TEXT,
    CONSTRAINT "ReturnNote_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "Supplier" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "DepositEvent" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "depositId" INTEGER,
    "unitId" INTEGER,
    "kind" TEXT NOT NULL,
    "amountMinor" INTEGER NOT NULL,
    "words" TEXT,
    "at" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    CONSTRAINT "DepositEvent_depositId_fkey" FOREIGN KEY ("depositId") REFERENCES "Deposit" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "DepositEvent_unitId_fkey" FOREIGN KEY ("unitId") REFERENCES "OldUnit" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "Deposit_partId_idx" ON "Deposit"("partId");

-- CreateIndex
CREATE INDEX "Deposit_supplierId_idx" ON "Deposit"("supplierId");

-- CreateIndex
CREATE INDEX "Deposit_movementId_idx" ON "Deposit"("movementId");

-- CreateIndex
CREATE INDEX "Deposit_owedMinor_idx" ON "Deposit"("owedMinor");

-- CreateIndex
CREATE INDEX "Deposit_orderLineId_idx" ON "Deposit"("orderLineId");

-- CreateIndex
CREATE UNIQUE INDEX "OldUnit_depositId_key" ON "OldUnit"("depositId");

-- CreateIndex
CREATE INDEX "OldUnit_partId_idx" ON "OldUnit"("partId");

-- CreateIndex
CREATE INDEX "OldUnit_state_idx" ON "OldUnit"("state");

-- CreateIndex
CREATE INDEX "OldUnit_jobId_idx" ON "OldUnit"("jobId");

-- CreateIndex
CREATE INDEX "OldUnit_machineId_idx" ON "OldUnit"("machineId");

-- CreateIndex
CREATE INDEX "OldUnit_binId_idx" ON "OldUnit"("binId");

-- CreateIndex
CREATE INDEX "OldUnit_returnNoteId_idx" ON "OldUnit"("returnNoteId");

-- CreateIndex
CREATE UNIQUE INDEX "ReturnNote_number_key" ON "ReturnNote"("number");

-- CreateIndex
CREATE INDEX "ReturnNote_supplierId_idx" ON "ReturnNote"("supplierId");

-- CreateIndex
CREATE INDEX "DepositEvent_depositId_idx" ON "DepositEvent"("depositId");

-- CreateIndex
CREATE INDEX "DepositEvent_unitId_idx" ON "DepositEvent"("unitId");

-- What was written of deposits and old units stays as it was written.
CREATE TRIGGER IF NOT EXISTS deposit_event_never_updated BEFORE UPDATE ON "DepositEvent" BEGIN
  SELECT RAISE(ABORT, 'deposit/append-only: a line of a deposit is never changed');
END;

CREATE TRIGGER IF NOT EXISTS deposit_event_never_deleted BEFORE DELETE ON "DepositEvent" BEGIN
  SELECT RAISE(ABORT, 'deposit/append-only: a line of a deposit is never deleted');
END;

CREATE TRIGGER IF NOT EXISTS deposit_insert_sound BEFORE INSERT ON "Deposit" WHEN NEW.amountMinor <= 0 OR NEW.owedMinor <> NEW.amountMinor BEGIN
  SELECT RAISE(ABORT, 'deposit/negative: a deposit is of something, and all of it is owed to begin with');
END;

CREATE TRIGGER IF NOT EXISTS deposit_update_sound BEFORE UPDATE ON "Deposit" WHEN NEW.owedMinor < 0 OR NEW.owedMinor > OLD.owedMinor OR NEW.amountMinor <> OLD.amountMinor BEGIN
  SELECT RAISE(ABORT, 'deposit/negative: what is owed of a deposit never grows and never falls below zero');
END;

CREATE TRIGGER IF NOT EXISTS deposit_never_deleted BEFORE DELETE ON "Deposit" BEGIN
  SELECT RAISE(ABORT, 'deposit/append-only: a deposit is never deleted');
END;

CREATE TRIGGER IF NOT EXISTS old_unit_never_deleted BEFORE DELETE ON "OldUnit" BEGIN
  SELECT RAISE(ABORT, 'deposit/append-only: an old unit is never deleted');
END;

CREATE TRIGGER IF NOT EXISTS return_note_never_updated BEFORE UPDATE ON "ReturnNote" BEGIN
  SELECT RAISE(ABORT, 'deposit/append-only: a return note is never changed');
END;

CREATE TRIGGER IF NOT EXISTS return_note_never_deleted BEFORE DELETE ON "ReturnNote" BEGIN
  SELECT RAISE(ABORT, 'deposit/append-only: a return note is never deleted');
END;
