-- AlterTable
ALTER TABLE "PurchaseOrder" ADD COLUMN "note" TEXT;
ALTER TABLE "PurchaseOrder" ADD COLUMN "supplierReference" TEXT;

-- AlterTable
ALTER TABLE "PurchaseOrderLine" ADD COLUMN "confirmedOn" TEXT;
ALTER TABLE "PurchaseOrderLine" ADD COLUMN "promisedOn" TEXT;

-- CreateTable
CREATE TABLE "OrderDraft" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "supplierId" INTEGER NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'draft',
    "version" INTEGER NOT NULL DEFAULT 1,
    "number" INTEGER,
    "orderId" INTEGER,
    "note" TEXT,
    "currency" TEXT,
    "createdAt" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    CONSTRAINT "OrderDraft_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "Supplier" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "OrderDraft_orderId_fkey" FOREIGN KEY ("orderId") REFERENCES "PurchaseOrder" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "OrderDraftLine" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "draftId" INTEGER NOT NULL,
    "partId" INTEGER NOT NULL,
    "quantity" INTEGER NOT NULL,
    "priceMinor" INTEGER NOT NULL,
    "amountMinor" INTEGER,
    "depositMinor" INTEGER,
    "returnDays" INTEGER,
    "reason" TEXT NOT NULL,
    CONSTRAINT "OrderDraftLine_draftId_fkey" FOREIGN KEY ("draftId") REFERENCES "OrderDraft" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "OrderDraftLine_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "OrderEvent" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "draftId" INTEGER,
    "orderId" INTEGER,
    "kind" TEXT NOT NULL,
    "words" TEXT,
    "promisedOn" TEXT,
    "at" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    CONSTRAINT "OrderEvent_draftId_fkey" FOREIGN KEY ("draftId") REFERENCES "OrderDraft" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "OrderEvent_orderId_fkey" FOREIGN KEY ("orderId") REFERENCES "PurchaseOrder" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateIndex
CREATE UNIQUE INDEX "OrderDraft_number_key" ON "OrderDraft"("number");

-- CreateIndex
CREATE UNIQUE INDEX "OrderDraft_orderId_key" ON "OrderDraft"("orderId");

-- CreateIndex
CREATE INDEX "OrderDraft_supplierId_idx" ON "OrderDraft"("supplierId");

-- CreateIndex
CREATE INDEX "OrderDraft_state_idx" ON "OrderDraft"("state");

-- CreateIndex
CREATE INDEX "OrderDraftLine_partId_idx" ON "OrderDraftLine"("partId");

-- CreateIndex
CREATE UNIQUE INDEX "OrderDraftLine_draftId_partId_key" ON "OrderDraftLine"("draftId", "partId");

-- CreateIndex
CREATE INDEX "OrderEvent_draftId_idx" ON "OrderEvent"("draftId");

-- CreateIndex
CREATE INDEX "OrderEvent_orderId_idx" ON "OrderEvent"("orderId");

-- Who did what with an order stays as it was written; an order that went out, was given up or merged is past.
CREATE TRIGGER IF NOT EXISTS order_event_never_updated BEFORE UPDATE ON "OrderEvent" BEGIN
  SELECT RAISE(ABORT, 'buying/append-only: a line of the record of an order is never changed');
END;

CREATE TRIGGER IF NOT EXISTS order_event_never_deleted BEFORE DELETE ON "OrderEvent" BEGIN
  SELECT RAISE(ABORT, 'buying/append-only: a line of the record of an order is never deleted');
END;

CREATE TRIGGER IF NOT EXISTS order_draft_past BEFORE UPDATE ON "OrderDraft" WHEN OLD.state IN ('sent', 'discarded', 'merged') BEGIN
  SELECT RAISE(ABORT, 'buying/draft-past: what was sent, discarded or merged is not changed any more');
END;

CREATE TRIGGER IF NOT EXISTS order_draft_never_deleted BEFORE DELETE ON "OrderDraft" BEGIN
  SELECT RAISE(ABORT, 'buying/draft-past: a draft is discarded, never deleted');
END;

CREATE TRIGGER IF NOT EXISTS order_draft_sent_is_order BEFORE UPDATE ON "OrderDraft" WHEN (NEW.state = 'sent') <> (NEW.orderId IS NOT NULL) OR (NEW.state IN ('sending', 'sent') AND NEW.number IS NULL) BEGIN
  SELECT RAISE(ABORT, 'buying/draft-state: what was sent has its number and its order, and nothing else has');
END;
